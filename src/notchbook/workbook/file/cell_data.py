"""The cells of a sheet as text for its part of the package, each formula with its value.

openpyxl writes a formula without its value. Previews, phones and readers show stored values, and
LibreOffice trusts them, so the values that were calculated here stand beside the formulas. A year
of ledgers is mostly blank rows that are ready: cells one at a time through an XML library would
take longer than all else of a save.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from datetime import date, time, timedelta
from itertools import groupby
from xml.etree import ElementTree
from xml.sax.saxutils import escape

from openpyxl.cell.rich_text import CellRichText
from openpyxl.compat import safe_string
from openpyxl.utils import get_column_letter
from openpyxl.utils.datetime import to_excel
from openpyxl.worksheet.formula import ArrayFormula, DataTableFormula
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.workbook.file.raw_cells import Cell, cells_by_place, style_id, style_of


class UnstampedError(Exception):
    """A formula cell has no value to store, or one that a cell cannot hold."""


Stamp = float | str | None
"""A value; None leaves a cell to the spreadsheet program, which then calculates it."""
Stamps = Mapping[str, Stamp]
"""Values by address."""


def sheet_data(sheet: Worksheet, stamps: Stamps | None) -> str:
    """Return the rows of a sheet; `stamps` None where no formula is to have a value.

    Raises UnstampedError if a formula has no finite number or text.
    """
    cells = sorted(cells_by_place(sheet).items())
    rows = {row: list(found) for row, found in groupby(cells, lambda each: each[0][0])}
    writer = _Writer(sheet, stamps)
    numbers = sorted({*rows, *sheet.row_dimensions})
    return "".join(writer.row(row, [cell for _, cell in rows.get(row, ())]) for row in numbers)


class _Writer:
    def __init__(self, sheet: Worksheet, stamps: Stamps | None) -> None:
        self.sheet, self.stamps = sheet, stamps
        self.styles: dict[int, str] = {}
        self.letters: dict[int, str] = {}

    def row(self, number: int, cells: list[Cell]) -> str:
        sizes = self.sheet.row_dimensions
        said = "".join(f' {name}="{value}"' for name, value in sizes.get(number, ()))
        return f'<row r="{number}"{said}>{"".join(self.cells(number, cells))}</row>'

    def cells(self, row: int, cells: list[Cell]) -> Iterator[str]:
        for cell in cells:
            column = cell.column
            letters = self.letters.get(column)
            if letters is None:
                letters = self.letters[column] = get_column_letter(column)
            place = f"{letters}{row}"
            style, value = self.style(cell), cell.value
            if value is None or value == "":
                if style or cell.comment is not None:
                    yield f'<c r="{place}"{style}/>'
            elif cell.data_type == "f":
                yield self.formula(place, style, value)
            else:
                yield _typed(place, style, value, cell.data_type)

    def style(self, cell: Cell) -> str:
        """The number of a cell's style, each style looked up once."""
        key = id(style_of(cell))
        found = self.styles.get(key)
        if found is None:
            found = self.styles[key] = f' s="{style_id(cell)}"' if cell.has_style else ""
        return found

    def formula(self, place: str, style: str, value: object) -> str:
        """A formula, with its value where it has one; those of several cells never have."""
        if not isinstance(value, str):
            text = getattr(value, "text", None)
            said = "".join(f' {name}="{escape(each)}"' for name, each in _attributes(value))
            inside = escape(text.removeprefix("=")) if text else ""
            return f'<c r="{place}"{style}><f{said}>{inside}</f><v/></c>'
        start = f"<f>{escape(value[1:])}</f>"
        stamp = None if self.stamps is None else self.stamps.get(place, math.nan)
        if stamp is None:
            return f'<c r="{place}"{style}>{start}<v/></c>'
        if isinstance(stamp, str):
            return f'<c r="{place}"{style} t="str">{start}<v>{escape(stamp)}</v></c>'
        if not math.isfinite(stamp):
            raise UnstampedError(f"{self.sheet.title!s}!{place}: {value} has no value ({stamp})")
        number = repr(float(stamp)).removesuffix(".0")
        return f'<c r="{place}"{style}>{start}<v>{number}</v></c>'


def _attributes(value: object) -> Iterator[tuple[str, str]]:
    """What an array formula or a table of what-ifs says of itself."""
    assert isinstance(value, ArrayFormula | DataTableFormula)
    yield from value


def _typed(place: str, style: str, value: object, kind: str) -> str:
    """A value that somebody typed, or words of ours."""
    if isinstance(value, CellRichText):
        tree = ElementTree.tostring(value.to_tree(), "unicode")
        return f'<c r="{place}"{style} t="inlineStr">{tree}</c>'
    if kind == "s":
        text = str(value)
        kept = ' xml:space="preserve"' if text != text.strip() else ""
        inside = escape(text, {"\r": "&#13;"})
        return f'<c r="{place}"{style} t="inlineStr"><is><t{kept}>{inside}</t></is></c>'
    if isinstance(value, date | time | timedelta):
        return f'<c r="{place}"{style}><v>{safe_string(to_excel(value))}</v></c>'
    said = "" if kind in ("n", "d") else f' t="{kind}"'
    return f'<c r="{place}"{style}{said}><v>{escape(safe_string(value))}</v></c>'
