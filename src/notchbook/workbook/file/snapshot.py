"""The hidden sheet on which a compile leaves what it must know next time."""

from __future__ import annotations

import hashlib
from typing import Any

from openpyxl.workbook import Workbook

from notchbook.base.refusals import RefusedError

SHEET = "As compiled"
FORMAT = 2
OLDER = 1
"""The format of the version before this one, which can be read, too."""
_SAYS = "Kept for the next compile; changes here are not read."
_CELL = 30_000  # letters in a cell; spreadsheets take at most 32,767
_FIRST = 5


class DamagedError(Exception):
    """The hidden sheet is gone or was changed."""


def write_snapshot(workbook: Workbook, text: str, plans: str = "") -> None:
    """Put packed text on a very hidden sheet, the last of the workbook.

    Packed plans stand in a column of their own: without them nothing is lost.
    """
    sheet: Any = workbook.create_sheet(SHEET)
    sheet.sheet_state = "veryHidden"
    pieces = _pieces(text)
    column = [_SAYS, FORMAT, len(pieces), _sum(text), *pieces]
    places = [*((row, 1, value) for row, value in enumerate(column, 1))]
    places += [(row, 2, piece) for row, piece in enumerate(_pieces(plans), _FIRST)]
    for row, number, value in places:
        cell = sheet.cell(row=row, column=number, value=value)
        if isinstance(value, str):
            cell.data_type = "s"


def read_snapshot(workbook: Workbook) -> tuple[int, str]:
    """Return what the last compile stored, and in which format.

    Raises RefusedError for a workbook of a newer notchbook, DamagedError where the sheet is gone
    or damaged.
    """
    book: Any = workbook
    if SHEET not in book.sheetnames:
        raise DamagedError("the hidden sheet of the last compile is gone")
    sheet = book[SHEET]

    def at(row: int) -> Any:
        return sheet.cell(row=row, column=1).value

    version, count = at(2), at(3)
    if isinstance(version, int | float) and version > FORMAT:
        raise RefusedError(
            "the workbook was written by a newer notchbook; update this one before you compile"
        )
    if version not in (OLDER, FORMAT) or not isinstance(count, int | float):
        raise DamagedError("the hidden sheet of the last compile was changed")
    text = "".join(str(at(_FIRST + n) or "") for n in range(min(int(count), 10_000)))
    if _sum(text) != at(4):
        raise DamagedError("the hidden sheet of the last compile was changed")
    return int(version), text


def read_plans(workbook: Workbook) -> str:
    """Return the packed plans, as far as they are there."""
    book: Any = workbook
    if SHEET not in book.sheetnames:
        return ""
    cells = book[SHEET].iter_rows(min_row=_FIRST, min_col=2, max_col=2, values_only=True)
    return "".join(str(value or "") for (value,) in cells)


def _pieces(text: str) -> list[str]:
    return [text[n : n + _CELL] for n in range(0, len(text), _CELL)]


def _sum(text: str) -> str:
    return "sum " + hashlib.sha256(text.encode("ascii")).hexdigest()
