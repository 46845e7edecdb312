"""Whole numbers without decimals in columns where others have some, live: 2 beside 6.04.

A number format alone leaves a point behind a whole number ("2."), so that a conditional format
shows it, which programs work out anew as the number changes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from openpyxl.formatting.rule import Rule
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.styles.numbers import NumberFormat
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.sheets.kit.columns import Role
from notchbook.workbook.layout.layout import LinesSpot, TableSpot
from notchbook.workbook.layout.style import Formats, WholeFormat

Area = tuple[WholeFormat, str, bool]  # of cells; whether they are typed, and a 0 is shown


def leave_out_decimals(
    page: Worksheet, spots: Iterable[TableSpot], lines: Iterable[LinesSpot], formats: Formats
) -> None:
    """Show whole numbers without decimals where they may change; others are written so."""
    for whole, area, is_typed in (*_in_tables(spots, formats), *_on_lines(lines, formats)):
        first = area.partition(":")[0]
        is_whole = f"ROUND({first},{whole.decimals})=ROUND({first},{whole.least})"
        rule = is_whole if is_typed else f"AND(ROUND({first},{whole.least})<>0,{is_whole})"
        style: Any = DifferentialStyle()  # the stubs know no formats in it
        style.numFmt = NumberFormat(numFmtId=whole.number, formatCode=whole.code)
        page.conditional_formatting.add(area, Rule(type="expression", dxf=style, formula=[rule]))


def _in_tables(spots: Iterable[TableSpot], formats: Formats) -> Iterator[Area]:
    for spot in spots:
        for column in spot.columns:
            whole = formats.whole(column.look, column.role)
            changes = column.role is Role.GIVEN or column.rule is not None
            if whole is not None and changes and not spot.table.is_folded(column):
                letter = spot.letters[column.name]
                is_typed = column.role is Role.GIVEN and not spot.table.is_quiet(column)
                yield whole, f"{letter}{spot.first_row}:{letter}{spot.last_row}", is_typed


def _on_lines(lines: Iterable[LinesSpot], formats: Formats) -> Iterator[Area]:
    """Yield the cells of lines, which stand below values of other kinds: flush with them."""
    for spot in lines:
        for name, (row, column) in spot.addresses.items():
            cell = spot.lines.cells[name]
            whole = formats.whole(cell.look, cell.role)
            if whole is not None and (cell.role is Role.GIVEN or cell.rule is not None):
                place = f"{get_column_letter(column)}{row}"
                yield whole.flush, place, cell.role is Role.GIVEN
