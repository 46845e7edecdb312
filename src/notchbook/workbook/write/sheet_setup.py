"""What stands around the cells: tables, names, drop-downs, colours of states."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Font, PatternFill
from openpyxl.utils import column_index_from_string, get_column_letter
from openpyxl.workbook import Workbook
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.filters import AutoFilter
from openpyxl.worksheet.properties import Outline
from openpyxl.worksheet.table import Table as TableObject
from openpyxl.worksheet.table import TableColumn
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.language.value_kinds import Kind
from notchbook.sheets.checks.sheet import ALL_OK, STATE_SAYS
from notchbook.sheets.kit.columns import Column, Role
from notchbook.sheets.kit.declare import LineCell, Sheet
from notchbook.workbook.file.book import names_of
from notchbook.workbook.layout.anchor_names import SHEET_ANCHOR, identifier, list_name
from notchbook.workbook.layout.layout import (
    HEAD_ROW,
    STATE_ROW,
    BookLayout,
    TableSpot,
    quoted,
)
from notchbook.workbook.layout.style import BAD, GOOD, OLD, WARN
from notchbook.workbook.layout.subject import Subject
from notchbook.workbook.write.fitting import LITTLE_AIR
from notchbook.workbook.write.printing import Extent, is_one_table, set_up_page

_FRACTIONS = ("length", "boards")
_WIDE_ZOOM = 85  # percent; so that a laptop's screen shows all of Start's charts


def table_object(ws: Worksheet, spot: TableSpot, headers: Sequence[str], is_filtered: bool) -> None:
    """The table itself, for filtering and growing; tables split over sheets stay plain."""
    if spot.table.split:
        return
    last_column = get_column_letter(spot.first_column + len(headers) - 1)
    first_column = get_column_letter(spot.first_column)
    area = f"{first_column}{spot.head_row}:{last_column}{spot.last_row}"
    table = TableObject(displayName=identifier(spot.table.name), ref=area)
    table.autoFilter = AutoFilter(ref=area) if is_filtered else None
    table.tableColumns = [TableColumn(id=n, name=head) for n, head in enumerate(headers, 1)]
    ws.add_table(table)


def define_names(workbook: Workbook, layout: BookLayout) -> None:
    """An anchor for each table and header, to find them wherever they are moved, and lists."""
    names = names_of(workbook)

    def define(name: str, target: str) -> None:
        names[name] = DefinedName(name, attr_text=target)

    for number, (sheet_name, _) in enumerate(layout.sheets, 1):
        define(f"{SHEET_ANCHOR}{number}", f"{quoted(sheet_name)}!$A$1")
    lists = set()
    for spot in layout.tables.values():
        table = identifier(spot.table.name)
        sheet = quoted(spot.sheet)
        first = get_column_letter(spot.first_column)
        define(f"nb_{table}_head", f"{sheet}!${first}${spot.head_row}")
        for column, letter in spot.letters.items():
            define(f"nb_{table}_{column}", f"{sheet}!${letter}${spot.head_row}")
        for each in spot.table.columns:
            if isinstance(each.choices, str):
                lists.add(each.choices)
    for block in layout.lines.values():
        for cell in block.lines.cells.values():
            row, column_number = block.addresses[cell.name]
            place = f"{quoted(block.sheet)}!${get_column_letter(column_number)}${row}"
            define(f"nb_{identifier(block.lines.name)}_{cell.name}", place)
            if isinstance(cell.choices, str):
                lists.add(cell.choices)
    for choices in sorted(lists):
        table_name, column_name = choices.split(".")
        define(list_name(choices), layout.tables[table_name].area(column_name, whole=False))


def validate(ws: Worksheet, column: Column | LineCell, area: str) -> None:
    """The drop-down or the limits of a typed cell."""
    if column.role is not Role.GIVEN:
        return
    rule = _validation(column)
    if rule is None:
        return
    rule.showErrorMessage = True
    rule.allow_blank = True
    rule.add(area)
    ws.add_data_validation(rule)


def _validation(column: Column | LineCell) -> DataValidation | None:
    strict = "stop" if column.strict else "warning"
    if column.choices:
        named = isinstance(column.choices, str)
        source = list_name(str(column.choices)) if named else '"' + ",".join(column.choices) + '"'
        return DataValidation(
            type="list",
            formula1=source,
            errorStyle=strict,
            errorTitle="Not in the list",
            error="Pick one from the list.",
        )
    if column.look.kind is Kind.DATE:
        return DataValidation(
            type="date",
            operator="between",
            formula1="1",
            formula2="109574",  # 2199-12-31
            errorTitle="A date is needed",
            error="Type a date, such as 2026-03-14.",
        )
    if column.look.kind is Kind.NUMBER:
        fraction = " Fractions: 14 3/8, or 0 3/8." if column.look.format in _FRACTIONS else ""
        return DataValidation(
            type="decimal",
            operator="between",
            formula1="-1000000000",
            formula2="1000000000",
            errorTitle="A number is needed",
            error=f"Type a number.{fraction}",
        )
    return None


def furnish(
    page: Worksheet,
    subject: Subject,
    sheet: Sheet,
    spots: Sequence[TableSpot],
    widths: Mapping[str, float],
    last_line: int,
) -> None:
    """Frozen header, colours of states, and the printed page.

    `widths` are those of the columns in sight by their letters; `last_line` is the last row of
    lines, 0 where there are none.
    """
    split = any(spot.table.split for spot in spots)
    _colour_states(page, spots)
    page.sheet_view.showGridLines = False
    if not page.cell(row=STATE_ROW, column=1).value:
        for row in (STATE_ROW, STATE_ROW + 1):
            page.row_dimensions[row].height = LITTLE_AIR
    if sheet.charts:
        page.freeze_panes = f"A{STATE_ROW + 1}"
        page.sheet_view.zoomScale = _WIDE_ZOOM
    elif not split:
        page.freeze_panes = f"{'B' if is_one_table(spots) else 'A'}{HEAD_ROW + 1}"
    set_up_page(page, subject, sheet, spots, Extent(widths, last_line))


def fold(page: Worksheet, spots: Sequence[TableSpot], is_open: bool) -> None:
    """Put the columns that are folded away into an outline, closed unless `is_open`."""
    for spot in spots:
        for letter in spot.folded:
            size = page.column_dimensions[letter]
            size.outlineLevel, size.hidden = 1, not is_open
        if spot.folded:
            page.column_dimensions.max_outline = 1  # else no room is made for the buttons
        if spot.folded and not is_open:
            behind = get_column_letter(column_index_from_string(spot.folded[-1]) + 1)
            page.column_dimensions[behind].collapsed = True


def fold_rows(page: Worksheet, rows: Sequence[int], is_open: bool) -> None:
    """Put rows that follow each other into an outline below the one above them, closed unless
    `is_open`."""
    for row_number in rows:
        size = page.row_dimensions[row_number]
        size.outlineLevel, size.hidden = 1, not is_open
    page.sheet_properties.outlinePr = Outline(summaryBelow=False)
    page.row_dimensions[rows[0] - 1].collapsed = not is_open


def _colour_states(ws: Worksheet, spots: Sequence[TableSpot]) -> None:
    if ws.cell(row=STATE_ROW, column=1).value:
        area = f"A{STATE_ROW}:C{STATE_ROW}"
        _rule(ws, area, f'$A${STATE_ROW}="{STATE_SAYS}{ALL_OK}"', GOOD)
        _rule(ws, area, f'$A${STATE_ROW}<>"{STATE_SAYS}{ALL_OK}"', BAD)
    for spot in spots:
        if "old" in spot.letters:
            _grey_old(ws, spot)
        for name in ("state", "stale", "enough", "price_flag", "plan", "verdict", "loses"):
            if name not in spot.letters or spot.table.by_name[name].rule is None:
                continue
            cell = f"${spot.letters[name]}{spot.first_row}"
            letter = spot.letters[name]
            area = f"{letter}{spot.first_row}:{letter}{spot.last_row}"
            if name == "verdict":
                _rule(ws, area, f'LEFT({cell},5)="worth"', GOOD)
                _rule(ws, area, f'OR({cell}="skip",{cell}="leave it")', BAD)
                _rule(ws, area, f'{cell}="borderline"', WARN)
            else:
                _rule(ws, area, f'LEFT({cell},5)="loses"', BAD)
                _rule(ws, area, f'{cell}<>""', WARN)


def _grey_old(ws: Worksheet, spot: TableSpot) -> None:
    """Grey what was planned in the rows that say that it is old."""
    for column in spot.columns:
        if column.role is Role.PLANNED and not spot.table.is_folded(column):
            letter = spot.letters[column.name]
            area = f"{letter}{spot.first_row}:{letter}{spot.last_row}"
            _rule(ws, area, f'${spot.letters["old"]}{spot.first_row}="old"', OLD)


def colour_check_states(ws: Worksheet, first: tuple[int, int], last: tuple[int, int]) -> None:
    """OK, look and notice in their colours, from the first to the last (row, column)."""
    letter = get_column_letter(first[1])
    area = f"{letter}{first[0]}:{letter}{last[0]}"
    for word, colours in (("OK", GOOD), ("look", BAD), ("notice", WARN)):
        _rule(ws, area, f'${letter}{first[0]}="{word}"', colours)


def _rule(ws: Worksheet, area: str, formula: str, colours: tuple[str, str]) -> None:
    ink, fill = colours
    look = FormulaRule(
        formula=[formula],
        font=Font(color=ink),
        fill=PatternFill("solid", bgColor=fill, fgColor=fill),
        stopIfTrue=True,
    )
    ws.conditional_formatting.add(area, look)
