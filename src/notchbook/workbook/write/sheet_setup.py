"""What stands around the cells: tables, names, drop-downs, colours of states, print set-up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil

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
from notchbook.workbook.file.book import names_of, printed_page
from notchbook.workbook.file.raw_cells import cell_at, cells_by_place
from notchbook.workbook.file.written import PRINTED
from notchbook.workbook.layout.anchor_names import SHEET_ANCHOR, identifier, list_name
from notchbook.workbook.layout.layout import (
    HEAD_ROW,
    SAYS_ROW,
    STATE_ROW,
    BookLayout,
    TableSpot,
    quoted,
)
from notchbook.workbook.layout.style import BAD, GOOD, OLD, WARN
from notchbook.workbook.layout.subject import Subject
from notchbook.workbook.write.page_breaks import Margins, break_pages
from notchbook.workbook.write.widths import text_units

_FRACTIONS = ("length", "boards")
_PAPERS = {"letter": 1, "a4": 9}
_READABLE_WIDTH = 235.0  # digits across a page, as small as can be read (6 points)
_SQUEEZED = 0.2  # of a page; rather so much smaller than one more page across
_WIDE_ZOOM = 85  # percent; so that a laptop's screen shows all of Start's charts
_BLANK_COLUMN = 8.43  # units, as programs make a column without a width
_SHOWN_BLANK = 15  # blank rows that a printed ledger keeps for writing by hand


def table_object(ws: Worksheet, spot: TableSpot, headers: Sequence[str]) -> None:
    """The table itself, for filtering and growing; tables split over sheets stay plain."""
    if spot.table.split:
        return
    last_column = get_column_letter(spot.first_column + len(headers) - 1)
    first_column = get_column_letter(spot.first_column)
    area = f"{first_column}{spot.head_row}:{last_column}{spot.last_row}"
    table = TableObject(displayName=identifier(spot.table.name), ref=area)
    table.autoFilter = AutoFilter(ref=area)
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
    first = spots[0] if spots else None
    tabular = first is not None and first.first_column == 1 and not split
    landscape = sheet.landscape and not split
    single = tabular and len(spots) == 1  # beside another table's row, the first name misleads
    if sheet.charts:
        page.freeze_panes = f"A{STATE_ROW + 1}"
    elif not split:
        page.freeze_panes = f"{'B' if single else 'A'}{HEAD_ROW + 1}"
        printed_page(page).print_title_rows = f"{HEAD_ROW}:{HEAD_ROW}"
    printed = None
    if spots and not split and not sheet.charts:
        printed = _printed(sheet, spots, last_line)
    width = sum(widths.values())
    if printed is not None:
        left, top, right, bottom = printed
        if top <= SAYS_ROW:  # its words run on over the columns beside a narrow table
            right += _columns_beside(page, sum(widths.values()))
        letters = [get_column_letter(column) for column in range(left, right + 1)]
        printed_page(page).print_area = f"{letters[0]}{top}:{letters[-1]}{bottom}"
        width = sum(widths.get(letter, 0.0) for letter in letters)
    if single:
        printed_page(
            page
        ).print_title_cols = "A:A"  # what the row is about, on each page of a wide table
    _page(page, subject, landscape, width)
    if sheet.grid:
        _whole_pages(page, sheet, spots, subject)
    if split or subject.category == PRINTED:  # numbered by itself, whatever is printed with it
        page.page_setup.firstPageNumber, page.page_setup.useFirstPageNumber = 1, True
        page.HeaderFooter.oddFooter.right.text = "page &P"
    if sheet.charts:
        page.sheet_view.zoomScale = _WIDE_ZOOM


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
    """Put rows into an outline below their heading, closed unless `is_open`."""
    for row_number in rows:
        size = page.row_dimensions[row_number]
        size.outlineLevel, size.hidden = 1, not is_open
    if rows:
        page.sheet_properties.outlinePr = Outline(summaryBelow=False)
        page.row_dimensions[rows[0] - 1].collapsed = not is_open


def _columns_beside(page: Worksheet, width: float) -> int:
    """Count the blank columns that the instruction of a sheet so wide runs on over."""
    words = text_units(str(cell_at(page, SAYS_ROW, 1).value or ""))
    return max(0, ceil((words - width) / _BLANK_COLUMN))


def _printed(sheet: Sheet, spots: Sequence[TableSpot], last_line: int) -> tuple[int, int, int, int]:
    """Left, top, right and bottom of what is printed: of ledgers a few blank rows."""
    if sheet.prints:
        (spot,) = (each for each in spots if each.table.name == sheet.prints)
        right = spot.first_column + len(spot.columns) - 1
        return spot.first_column, spot.above_row, right, spot.last_row
    last = max(spots, key=lambda each: each.first_column)
    right = last.first_column + list(last.letters).index(last.table.printed[-1].name)
    ends = (min(each.head_row + each.filled + _SHOWN_BLANK, each.last_row) for each in spots)
    return 1, 1, right, max(last_line, *ends)


def _whole_pages(
    page: Worksheet, sheet: Sheet, spots: Sequence[TableSpot], subject: Subject
) -> None:
    """The columns of the grid on one page across, and two down where that stays readable."""
    places = cells_by_place(page)
    last = max((row for row, column in places if column <= len(sheet.grid)), default=1)
    printed_page(page).print_area = f"A1:{get_column_letter(len(sheet.grid))}{last}"
    margins = page.page_margins
    blank = Margins(72 * (margins.left + margins.right), 72 * (margins.top + margins.bottom))
    break_pages(page, spots, sheet.grid, last, subject.paper, blank)


def _page(page: Worksheet, subject: Subject, landscape: bool, width: float) -> None:
    page.page_setup.paperSize = _PAPERS[subject.paper]
    page.page_setup.orientation = "landscape" if landscape else "portrait"
    readable = _READABLE_WIDTH if landscape else _READABLE_WIDTH * 0.75
    page.page_setup.fitToWidth = max(1, ceil(width / readable - _SQUEEZED))
    page.page_setup.fitToHeight = 0
    page.sheet_properties.pageSetUpPr.fitToPage = True
    page.page_margins.left = page.page_margins.right = 0.4
    page.page_margins.top, page.page_margins.bottom = 0.5, 0.8
    page.page_margins.footer = 0.35
    footer = page.HeaderFooter.oddFooter
    footer.left.text = f"{subject.shop} {subject.year}".replace("&", "&&")
    footer.center.text = "&A"
    footer.right.text = "&P of &N"


def _colour_states(ws: Worksheet, spots: Sequence[TableSpot]) -> None:
    if ws.cell(row=STATE_ROW, column=1).value:
        area = f"A{STATE_ROW}:C{STATE_ROW}"
        _rule(ws, area, f'$A${STATE_ROW}="{STATE_SAYS}{ALL_OK}"', GOOD)
        _rule(ws, area, f'$A${STATE_ROW}<>"{STATE_SAYS}{ALL_OK}"', BAD)
    for spot in spots:
        if "old" in spot.letters:
            _grey_old(ws, spot)
        for name in ("state", "stale", "enough", "price_flag", "plan", "verdict"):
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
