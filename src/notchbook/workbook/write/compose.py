"""A filled book written as a workbook."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from dataclasses import replace
from datetime import date, datetime
from math import isnan

from openpyxl.chart.bar_chart import BarChart
from openpyxl.chart.scatter_chart import ScatterChart
from openpyxl.comments import Comment
from openpyxl.utils import get_column_letter
from openpyxl.workbook import Workbook
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.base.picture import Picture
from notchbook.base.version import VERSION
from notchbook.language.evaluate import Values, evaluate
from notchbook.language.expressions import join
from notchbook.language.formula import ROW
from notchbook.language.functions import from_serial
from notchbook.language.value_kinds import Kind
from notchbook.sheets.checks.lines import STATES, check_line
from notchbook.sheets.checks.sheet import STATE_SAYS
from notchbook.sheets.kit.calculate import Filled, Target
from notchbook.sheets.kit.column_words import ColumnWords
from notchbook.sheets.kit.columns import Column, Role
from notchbook.sheets.kit.declare import Book, LineRow, Sheet
from notchbook.sheets.kit.show import MONEYS, YEAR
from notchbook.workbook.carry.carrier import carry
from notchbook.workbook.carry.carry_over import CarryOver
from notchbook.workbook.file.book import add_sheet, open_on_first_visible, properties_of
from notchbook.workbook.file.cell_data import Stamp
from notchbook.workbook.file.drawings import CHART, put_picture
from notchbook.workbook.file.raw_cells import Cell as SheetCell
from notchbook.workbook.file.raw_cells import Style, cell_at, share_style, style_of
from notchbook.workbook.file.saving import packed
from notchbook.workbook.file.snapshot import write_snapshot
from notchbook.workbook.file.written import HANDED_OVER, PRINTED
from notchbook.workbook.layout.anchor_names import Place
from notchbook.workbook.layout.layout import (
    SAYS_ROW,
    STATE_ROW,
    TITLE_ROW,
    BookLayout,
    LinesSpot,
    TableSpot,
    arrange,
)
from notchbook.workbook.layout.style import TABS, Formats, Styles
from notchbook.workbook.layout.subject import Subject
from notchbook.workbook.memory.book_copy import take
from notchbook.workbook.memory.remembered import memory_text
from notchbook.workbook.read.anchors import find_anchors
from notchbook.workbook.write import chart_places, charts, sheet_setup, whole_numbers
from notchbook.workbook.write.fitting import LINE_HEIGHT, LITTLE_AIR, Fitting
from notchbook.workbook.write.line_fitting import LineFitting, size_of

_ASIDE = "Not printed: what formulas read"
_EDGE = 0.05  # inches left of drawings, so that no printer cuts off their first line
_GAP = 2.5  # the empty column between blocks


def compose(
    book: Book,
    filled: Filled,
    units: Mapping[str, int],
    subject: Subject,
    over: CarryOver | None = None,
    pictures: Mapping[str, Sequence[Picture]] | None = None,
) -> bytes:
    """The workbook as the bytes of a file, every formula with its value.

    `over` holds what belongs to the maker and what the next compile must know; `pictures` are
    drawings by the sheet they belong on.
    """
    return _Writer(arrange(book, filled, units, pictures), filled, subject, over).write()


class _Writer:
    def __init__(
        self, layout: BookLayout, filled: Filled, subject: Subject, over: CarryOver | None
    ) -> None:
        self.layout, self.filled, self.subject, self.over = layout, filled, subject, over
        self.workbook = Workbook()
        self.workbook.remove(self.workbook.active)
        self.styles = Styles(
            self.workbook, Formats(subject.units, subject.currency, subject.decimals)
        )
        self.is_open = subject.category == HANDED_OVER  # nothing is folded away
        self.filters = subject.category != PRINTED  # paper has none
        self.drawn = 0
        self.values: dict[str, dict[str, Stamp]] = {}
        self.told = ColumnWords(layout.book, subject.units)
        self.projects = {title: project for project, title in layout.pieces.items()}
        self.typed_formulas: set[Place] = set()  # given cells in which the maker put one

    def write(self) -> bytes:
        for name, sheet in self.layout.sheets:
            self.sheet(name, sheet)
        self.styles.finish()
        sheet_setup.define_names(self.workbook, self.layout)
        if self.over is not None:
            names = find_anchors(self.workbook)
            copy = take(self.workbook, names, self.values, self.typed_formulas)
            carry(self.over, self.workbook, self.layout, self.filled, self.values, copy)
            write_snapshot(self.workbook, memory_text(copy, self.over.files), self.over.plans)
        properties = properties_of(self.workbook)
        properties.title = f"{self.subject.shop} {self.subject.year}"
        properties.creator, properties.version = "notchbook", VERSION
        properties.category = self.subject.category or None
        properties.created = properties.modified = datetime(self.subject.year, 1, 1)
        open_on_first_visible(self.workbook)
        return packed(self.workbook, self.values)

    def sheet(self, name: str, sheet: Sheet) -> None:
        ws = add_sheet(self.workbook, name)
        self.current = self.values.setdefault(name, {})
        self.widths: dict[str, float] = {}
        self.fitting = Fitting(
            self.filled, self.told, self.styles.formats, sheet.grid, self.filters
        )
        title = sheet.title.format(shop=self.subject.shop, year=self.subject.year)
        title = title or self.projects.get(name, name)
        self.put(ws, TITLE_ROW, 1, title, self.styles.text(14, bold=True))
        spots = list(self.layout.spots(name))
        amounts = f" Amounts in {self.subject.currency}." if self.shows_money(name, spots) else ""
        self.put(ws, SAYS_ROW, 1, sheet.instruction + amounts, self.styles.text())
        if "Checks" in self.layout.lines and name not in self.projects:
            self.state(ws)
        for block in self.layout.lines_on(name):
            self.lines(ws, block)
        self.pictures(ws, name)
        for spot in spots:
            self.table(ws, spot)
            if spot.first_column > 1:
                self.width(ws, spot.first_column - 1, _GAP)
        ws.sheet_properties.tabColor = TABS[sheet.group]
        self.charts(ws, sheet)
        folded = () if self.is_open else {letter for spot in spots for letter in spot.folded}
        seen = {letter: width for letter, width in self.widths.items() if letter not in folded}
        sheet_setup.furnish(ws, self.subject, sheet, spots, seen, self.layout.last_line(name))
        sheet_setup.fold(ws, spots, self.is_open)
        whole_numbers.leave_out_decimals(ws, spots, self.layout.lines_on(name), self.styles.formats)

    def shows_money(self, name: str, spots: Sequence[TableSpot]) -> bool:
        """Tell whether anything on a sheet is an amount of money."""
        lines = self.layout.lines_on(name)
        looks = [cell.look for spot in lines for cell in spot.lines.cells.values()]
        looks += [column.look for spot in spots for column in spot.columns]
        return any(look.format in MONEYS for look in looks)

    def pictures(self, ws: Worksheet, name: str) -> None:
        """The drawings of the sheet, each row of them in one row of cells."""
        for row_number, row in self.layout.pictures.get(name, ()):
            ws.row_dimensions[row_number].height = round(row.height * 72, 2)
            for left, picture in row.placed:
                self.drawn += 1
                put_picture(ws, picture, self.drawn, row_number, (left + _EDGE, 0.0))

    def charts(self, ws: Worksheet, sheet: Sheet) -> None:
        """The charts of the sheet whose tables are there and have rows."""
        drawn: list[tuple[BarChart | ScatterChart, str, str]] = []
        texts = {"currency": self.subject.currency, "year": str(self.subject.year)}
        for chart in sheet.charts:
            spot = self.layout.tables.get(chart.table)
            if spot is None or not spot.filled:
                continue
            headers = dict(zip(spot.letters, self.headers(spot), strict=True))
            source = charts.ChartSource(chart, spot, headers, self.filled, texts)
            name = f"{CHART} {len(drawn) + 1}"
            drawn.append((charts.draw(source), name, chart.says))
        if drawn:
            last = max(self.layout.spots(sheet.name), key=lambda spot: spot.first_column)
            chart_places.place(ws, drawn, self.widths, last)

    def put(self, ws: Worksheet, row: int, column: int, value: object, style: Style) -> SheetCell:
        cell = cell_at(ws, row, column)
        share_style(style, cell)
        if value is not None and value != "":
            cell.value = value
            if isinstance(value, str):
                cell.data_type = "s"  # words are words, whatever they begin with
        return cell

    def put_formula(
        self, ws: Worksheet, row: int, column: int, text: str, value: Stamp, style: Style
    ) -> None:
        cell = cell_at(ws, row, column)
        share_style(style, cell)
        cell.value = "=" + text
        cell.data_type = "f"
        self.current[cell.coordinate] = value

    def state(self, ws: Worksheet) -> None:
        rule = join(STATE_SAYS, check_line("verdict"))
        values = Values(self.filled.tables, self.filled.lines, self.layout.units)
        text = self.layout.free_formula(rule)
        style = self.styles.text(bold=True)
        self.put_formula(ws, STATE_ROW, 1, text, str(evaluate(rule, values)), style)

    # --- lines ---------------------------------------------------------------------------------

    def lines(self, ws: Worksheet, spot: LinesSpot) -> None:
        columns = [*range(1, spot.label_column + 1 + spot.cell_columns), spot.note_column]
        for column, head in zip(columns, spot.lines.heads, strict=True):
            self.put(ws, spot.head_row, column, head, self.styles.header())
        fits = LineFitting(spot, self.fitting, self.beside(spot))
        for row_number, row in spot.placed():
            self.line(ws, spot, row_number, row, fits.wraps(row_number))
        for column, width in fits.widths():
            self.width(ws, column, width)
        for row_number, height in fits.heights():
            ws.row_dimensions[row_number].height = height
        for run in fits.folded():
            sheet_setup.fold_rows(ws, run, self.is_open)
        if states := [at for name, at in spot.addresses.items() if name.endswith(STATES)]:
            sheet_setup.colour_check_states(ws, states[0], states[-1])

    def beside(self, spot: LinesSpot) -> int | None:
        """The last row of the tables beside lines; None where there are none, or charts."""
        tables = [each for each in self.layout.spots(spot.sheet) if each.first_column > 1]
        if not tables or any(
            each.charts for name, each in self.layout.sheets if name == spot.sheet
        ):
            return None
        return max(each.last_row for each in tables)

    def line(
        self, ws: Worksheet, spot: LinesSpot, row_number: int, row: LineRow, wraps: bool
    ) -> None:
        if row.mark:
            self.put(ws, row_number, 1, row.mark, self.styles.text())
        label = self.put(
            ws,
            row_number,
            spot.label_column,
            row.label,
            self.styles.text(11 if row.heading else 10, bold=row.heading),
        )
        size = size_of(row)
        if row.link:
            self.link(label, Target(row.link))
            share_style(self.styles.text(size, link=True), label)
        if row.note:
            style = self.styles.text(size, wrap=wraps, indent=1)
            self.put(ws, row_number, spot.note_column, row.note, style)
        for n, cell in enumerate(row.cells):
            column = spot.label_column + 1 + n
            target = None if cell.look.wrap else self.filled.links.get((spot.lines.name, cell.name))
            look = cell.look if target is None else replace(cell.look, links=True)
            role = Role.COMPUTED if cell.in_files else cell.role
            style = self.styles.cell(look, role)
            value = self.filled.lines[spot.lines.name, cell.name]
            text = self.layout.line_formula(cell)
            own = self.own_formula(spot.lines.name, cell.name) if text is None else None
            if own is not None:
                self.typed_formulas.add((spot.sheet, row_number, column))
                self.put_formula(ws, row_number, column, own, value, style)
            elif text is None:
                self.put(ws, row_number, column, self.shown(value, cell.look.kind), style)
            if text is None:
                sheet_setup.validate(ws, cell, f"{get_column_letter(column)}{row_number}")
            else:
                self.put_formula(ws, row_number, column, text, value, style)
            if target is not None:
                self.link(cell_at(ws, row_number, column), target)

    def own_formula(self, lines: str, name: str) -> str | None:
        """What the maker typed as a formula into a given cell of lines, without its sign."""
        formulas = self.over.formulas.get(lines, {}) if self.over else {}
        text = formulas.get((0, name))
        return None if text is None else text.removeprefix("=")

    def link(self, cell: SheetCell, target: Target) -> None:
        """A way to another cell, or to the top of another sheet."""
        style = style_of(cell)
        cell.hyperlink = Hyperlink(ref=cell.coordinate, location=self.layout.place_of(target))
        share_style(style, cell)

    # --- tables --------------------------------------------------------------------------------

    def table(self, ws: Worksheet, spot: TableSpot) -> None:
        frame = self.filled.tables[spot.table.name]
        shown = list(spot.rows) if spot.table.split else list(range(spot.filled))
        tallest = ws.row_dimensions[spot.head_row].height or 0
        if spot.first_column > 1:  # beside another block, whose title the sheet bears
            name = self.styles.text(11, bold=True)
            self.put(ws, spot.above_row, spot.first_column, spot.title, name)
        aside = [place for place in spot.places if place > len(self.fitting.grid) > 0]
        if aside:
            self.put(ws, spot.above_row, aside[0], _ASIDE, self.styles.text(9, bold=True))
            ws.row_dimensions[spot.above_row].height = LINE_HEIGHT
        for place in set(range(1, len(self.fitting.grid) + 1)) - set(spot.places):
            self.put(ws, spot.head_row, place, None, self.styles.header(bare=True))
        for letter_column, column in zip(spot.places, spot.columns, strict=True):
            lines = self.header(ws, spot, column, letter_column)
            tallest = max(tallest, lines * LINE_HEIGHT + 3)
            series = frame[column.name].tolist()
            self.column(ws, spot, column, letter_column, [series[row] for row in shown])
        ws.row_dimensions[spot.head_row].height = tallest
        if self.fitting.grid:
            ws.row_dimensions[spot.last_row + 1].height = LITTLE_AIR
        for row, height in self.fitting.row_heights(spot, shown):
            ws.row_dimensions[row].height = max(ws.row_dimensions[row].height or 0, height)
        if self.filters:
            sheet_setup.table_object(ws, spot, self.headers(spot), self.fitting.is_filtered(spot))

    def header(self, ws: Worksheet, spot: TableSpot, column: Column, number: int) -> int:
        text = self.fitting.header(column)
        style = self.styles.header(column.look, beside_arrow=self.fitting.keeps_off(spot, column))
        cell = self.put(ws, spot.head_row, number, text, style)
        note = Comment(self.told.note(spot.table, column), "notchbook", height=150, width=280)
        cell.comment = note
        above = self.layout.above_formula(spot, column)
        if above is not None:
            year = self.filled.above[spot.table.name, column.name]
            self.put_formula(
                ws, spot.above_row, number, above, year, self.styles.cell(YEAR, Role.COMPUTED)
            )
        self.width(ws, number, self.fitting.width_of(spot, column))
        return self.fitting.header_lines(spot, column)

    def headers(self, spot: TableSpot) -> list[str]:
        return [self.fitting.header(column) for column in spot.columns]

    def column(
        self,
        ws: Worksheet,
        spot: TableSpot,
        column: Column,
        number: int,
        values: Iterable[float | str],
    ) -> None:
        quiet = spot.table.is_quiet(column)
        look = self.fitting.look_of(spot, column)
        style = self.styles.cell(look, column.role, quiet)
        text = self.layout.column_formula(spot, column)
        silent = "" if column.look.kind is Kind.TEXT else 0.0
        stray = self.filled.stray.get(spot.table.name, {})
        unsure = {at for at, _ in stray} if text is not None else ()
        row = spot.head_row
        for row, value in enumerate(values, spot.first_row):
            if text is None:
                own = self.styles.of(value, look, column.role, quiet)
                cell = self.put(ws, row, number, self.shown(value, look.kind), own)
                if column.look.links and value in self.layout.pieces:
                    self.link(cell, Target(self.layout.pieces[str(value)]))
            else:
                known = None if unsure and row - spot.first_row in unsure else value
                self.put_formula(ws, row, number, text.replace(ROW, str(row)), known, style)
        if column.role is Role.GIVEN:
            self.typed_otherwise(ws, spot, column, number)
        for blank_row in range(row + 1, spot.last_row + 1):
            if text is None or spot.table.silent is None:
                self.put(ws, blank_row, number, None, style)
            else:
                formula = text.replace(ROW, str(blank_row))
                self.put_formula(ws, blank_row, number, formula, silent, style)
        if column.role is Role.GIVEN:
            letter = get_column_letter(number)
            last = spot.head_row + spot.capacity
            sheet_setup.validate(ws, column, f"{letter}{spot.first_row}:{letter}{last}")

    def typed_otherwise(self, ws: Worksheet, spot: TableSpot, column: Column, number: int) -> None:
        """What a maker typed that is no plain value: words nobody understands, and formulas."""
        for (row, name), raw in self.filled.stray.get(spot.table.name, {}).items():
            if name == column.name:
                cell = cell_at(ws, spot.first_row + row, number)
                self.put(ws, cell.row, number, raw, copy(style_of(cell)))  # a day sets a format
        formulas = self.over.formulas.get(spot.table.name, {}) if self.over else {}
        frame = self.filled.tables[spot.table.name]
        for (row, name), text in formulas.items():
            if name == column.name:
                place = cell_at(ws, spot.first_row + row, number)
                self.typed_formulas.add((spot.sheet, place.row, number))
                value = frame[name].iat[row]
                known = None if self.shown(value, column.look.kind) is None else value
                formula = text.removeprefix("=")
                self.put_formula(ws, place.row, number, formula, known, style_of(place))

    @staticmethod
    def shown(value: float | str, kind: Kind) -> float | str | date | None:
        """A stored value as a cell takes it: nothing for a blank, a date for a day number."""
        if value == "" or (isinstance(value, float) and isnan(value)):
            return None
        if kind is Kind.DATE:
            return from_serial(float(value))
        if kind is Kind.NUMBER:
            return int(value) if float(value).is_integer() else float(value)
        return value

    def width(self, ws: Worksheet, column: int, width: float) -> None:
        letter = get_column_letter(column)
        self.widths[letter] = max(width, self.widths.get(letter, 0.0))
        ws.column_dimensions[letter].width = self.widths[letter]
