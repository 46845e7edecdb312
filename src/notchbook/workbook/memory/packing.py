"""A copy of a book made small: runs of equal cells once, each look once, all of it packed."""

from __future__ import annotations

import base64
import json
import zlib
from collections.abc import Iterable, Sequence
from itertools import chain, groupby
from typing import Any

from notchbook.workbook.memory.book_copy import BookCopy, ColumnCopy, SheetCopy
from notchbook.workbook.memory.contents import Look

_MOST = 400_000_000  # bytes that a copy may unpack to; 100,000 sales need a tenth
Runs = list[Any]
"""Values; of several equal ones in a row, how many there are and the value."""


def pack(plain: object) -> str:
    """Turn what JSON takes into a short text of ASCII."""
    text = json.dumps(plain, ensure_ascii=False, separators=(",", ":"))
    return base64.b64encode(zlib.compress(text.encode("utf-8"), 9)).decode("ascii")


def unpack(text: str) -> Any:
    """Turn it back; raises ValueError for what was not packed so."""
    unpacker = zlib.decompressobj()
    try:
        plain = unpacker.decompress(base64.b64decode(text, validate=True), _MOST)
    except zlib.error as error:
        raise ValueError(str(error)) from None
    if not unpacker.eof:
        raise ValueError("a part of it is missing, or it is too much")
    return json.loads(plain)


def plain_copy(copy: BookCopy) -> dict[str, Any]:
    """Return a copy as JSON takes it."""
    looks: dict[Look | None, int] = {}
    titles = {title: n for n, title in enumerate(copy.sheets)}
    return {
        "sheets": [[title, *_plain_sheet(sheet, looks)] for title, sheet in copy.sheets.items()],
        "looks": [list(look) if look is not None else None for look in looks],
        "names": {name: [titles[at[0]], *at[1:]] for name, at in copy.names.items()},
        "lists": copy.lists,
    }


def copy_from(plain: dict[str, Any]) -> BookCopy:
    """Return the copy again; raises KeyError, TypeError, IndexError or ValueError for another."""
    looks = [tuple(look) if look is not None else None for look in plain["looks"]]
    sheets = {title: _sheet(parts, looks) for title, *parts in plain["sheets"]}
    titles = list(sheets)
    names = {name: (titles[at], row, column) for name, (at, row, column) in plain["names"].items()}
    return BookCopy(sheets, names, plain["lists"])


def _plain_sheet(sheet: SheetCopy, looks: dict[Look | None, int]) -> list[Any]:
    columns = [
        [number, column.first, _runs(column.contents), _runs(_numbered(column.looks, looks))]
        for number, column in sheet.columns.items()
    ]
    heights, widths = list(sheet.heights.items()), list(sheet.widths.items())
    folded = None if sheet.folded is None else sorted(sheet.folded)
    rows = None if sheet.folded_rows is None else sorted(sheet.folded_rows)
    return [columns, heights, widths, sheet.frozen, sheet.printed, folded, rows]


def _sheet(parts: Sequence[Any], looks: Sequence[Look | None]) -> SheetCopy:
    columns, heights, widths, frozen, *later = parts
    printed, folded, rows, *_ = (*later, None, None, None)  # not in copies of earlier workbooks
    return SheetCopy(
        {
            number: ColumnCopy(first, _all(contents), [looks[each] for each in _all(of_looks)])
            for number, first, contents, of_looks in columns
        },
        dict(heights),
        dict(widths),
        frozen,
        None if folded is None else frozenset(folded),
        None if rows is None else frozenset(rows),
        printed,
    )


def _numbered(looks: Iterable[Look | None], known: dict[Look | None, int]) -> list[int]:
    return [known.setdefault(look, len(known)) for look in looks]


def _runs(values: Iterable[Any]) -> Runs:
    found: Runs = []
    for value, equal in groupby(values):
        count = sum(1 for _ in equal)
        found.append([count, value] if count > 1 else value)
    return found


def _all(runs: Runs) -> list[Any]:
    return list(
        chain.from_iterable(
            [each[1]] * each[0] if isinstance(each, list) else (each,) for each in runs
        )
    )
