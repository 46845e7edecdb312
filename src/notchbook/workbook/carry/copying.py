"""Cells, sheets and what stands around them, copied from one workbook into another."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from copy import copy, deepcopy
from typing import Any

from openpyxl.comments import Comment
from openpyxl.formatting.rule import Rule
from openpyxl.worksheet.cell_range import CellRange
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.formula import ArrayFormula
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.table import Table
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.workbook.carry.formula_moves import Moves
from notchbook.workbook.file.book import printed_page, title_of
from notchbook.workbook.file.frozen import frozen_at
from notchbook.workbook.file.raw_cells import (
    Cell,
    Style,
    Styled,
    cell_at,
    cells_by_place,
    own_style,
    share_style,
    style_key,
    style_of,
)
from notchbook.workbook.read.anchors import LAST_COLUMN, LAST_ROW

_PAGE = (
    "page_setup",
    "page_margins",
    "print_options",
    "sheet_properties",
    "sheet_format",
    "HeaderFooter",
    "row_breaks",
    "col_breaks",
)


class Copier:
    """Copies between two workbooks; each style is made once.

    `joined` are the joined ranges of the old one, by sheet.
    """

    def __init__(self, moves: Moves, joined: Mapping[str, Sequence[str]]) -> None:
        self.moves, self.joined = moves, joined
        self.styles: dict[bytes, Style] = {}
        self.lost: list[tuple[str, str]] = []  # cells whose references are gone, and their formula

    def style(self, source: Styled, target: Styled) -> None:
        """The look of a cell, its number format and lock."""
        key = style_key(source)
        if key not in self.styles:
            own_style(target)
            for name in ("font", "fill", "border", "alignment", "number_format", "protection"):
                setattr(target, name, copy(getattr(source, name)))
            self.styles[key] = copy(style_of(target))
        share_style(copy(self.styles[key]), target)

    def value(self, source: Cell, target: Cell, host: str) -> None:
        """A cell's value, a formula following what it refers to."""
        raw = source.value
        if source.data_type == "f":
            self._formula(source, target, host)
            return
        target.value = raw
        if isinstance(raw, str):
            target.data_type = "e" if source.data_type == "e" else "s"

    def _formula(self, source: Cell, target: Cell, host: str) -> None:
        raw = source.value
        if not isinstance(raw, str | ArrayFormula):  # a table of what-ifs
            target.value, target.data_type = copy(raw), "f"
            return
        text = raw if isinstance(raw, str) else str(raw.text)
        formula, whole = self.moves.formula(text, host)
        if not whole:
            self.lost.append((f"{host}!{source.coordinate}", text))
        target.value = formula
        if isinstance(raw, ArrayFormula):
            target.value = several = copy(raw)
            several.text = formula
            if host in self.moves.sheets:
                several.ref = self.moves.ranges(host, raw.ref) or target.coordinate
        target.data_type = "f"

    def note(self, source: Cell, target: Cell) -> None:
        """A cell's note with its size."""
        note = source.comment
        if note is not None:
            target.comment = Comment(note.text, note.author, note.height, note.width)

    def cells(self, source: Iterable[Cell], host: str, target: Worksheet) -> None:
        """Cells of the sheet `host`, each in its place on another."""
        for cell in source:
            new = cell_at(target, cell.row, cell.column)
            if cell.has_style:
                self.style(cell, new)
            if cell.value is not None:
                self.value(cell, new, host)
            self.note(cell, new)
            if getattr(cell, "hyperlink", None) is not None:
                self.link(cell, new)

    def sheet(self, source: Worksheet, target: Worksheet, heights: Mapping[int, float]) -> None:
        """A whole sheet of the maker's; `heights` are those that somebody set."""
        host = title_of(source)
        self.cells(cells_by_place(source).values(), host, target)
        for area in self.joined.get(host, ()):
            self.join(target, area)
        for name, size in source.column_dimensions.items():
            new_size = target.column_dimensions[name]
            for each in ("width", "hidden", "min", "max", "outlineLevel", "bestFit"):
                setattr(new_size, each, getattr(size, each))
            self.whole(size, new_size)
        for row, size in source.row_dimensions.items():
            new_size = target.row_dimensions[row]
            new_size.height = heights.get(row)
            for each in ("hidden", "outlineLevel"):
                setattr(new_size, each, getattr(size, each))
            self.whole(size, new_size)
        self._around(source, target, host)

    def join(self, target: Worksheet, area: str) -> None:
        """Join cells; those beneath the first keep what they hold, as spreadsheet programs do."""
        joined = CellRange(area)
        joined.max_col = min(joined.max_col or 1, LAST_COLUMN)
        joined.max_row = min(joined.max_row or 1, LAST_ROW)
        target.merged_cells.add(joined)

    def whole(self, source: Styled, target: Styled) -> None:
        """The look of a whole column or row, for cells that are not typed yet."""
        if source.has_style:
            self.style(source, target)

    def link(self, source: Cell, target: Cell) -> None:
        """A cell's link."""
        link = source.hyperlink
        if link is None:
            return
        place = link.location
        if place:
            place = self.moves.reference(place, title_of(source.parent))[0]
        target.hyperlink = Hyperlink(
            ref=target.coordinate, location=place, target=link.target, tooltip=link.tooltip
        )

    def _around(self, source: Worksheet, target: Worksheet, host: str) -> None:
        for name in _PAGE:
            setattr(target, name, copy(getattr(source, name)))
        target.sheet_state = source.sheet_state
        target.freeze_panes = frozen_at(source)
        target.sheet_view.showGridLines = source.sheet_view.showGridLines
        target.sheet_view.zoomScale = source.sheet_view.zoomScale
        target.protection = copy(source.protection)
        printed, new = printed_page(source), printed_page(target)
        if printed.print_area:
            new.print_area = printed.print_area
        new.print_title_rows = printed.print_title_rows
        new.print_title_cols = printed.print_title_cols
        if source.auto_filter.ref:
            target.auto_filter = copy(source.auto_filter)
        for rule in source.data_validations.dataValidation:
            self.validation(rule, str(rule.sqref), target, host)
        for area in source.conditional_formatting:
            for rule in area.rules:
                self.format(rule, str(area.sqref), target, host)
        for table in source.tables.values():
            add_table(table, target)

    def validation(self, rule: DataValidation, area: str, target: Worksheet, host: str) -> None:
        """A drop-down or limit, for an area of the new sheet."""
        new = copy(rule)
        new.sqref = type(rule.sqref)(area)
        for name in ("formula1", "formula2"):
            setattr(new, name, self._inner(getattr(rule, name), host))
        target.add_data_validation(new)

    def format(self, rule: Rule, area: str, target: Worksheet, host: str) -> None:
        """A conditional format, for an area of the new sheet."""
        new = copy(rule)
        new.formula = [self._inner(each, host) or "" for each in rule.formula]
        target.conditional_formatting.add(area, new)

    def _inner(self, text: str | None, host: str) -> str | None:
        """A formula as rules hold it, without the sign before it."""
        if not text or text.startswith('"'):
            return text
        return self.moves.formula("=" + text, host)[0][1:]


def add_table(table: Table, target: Any) -> None:
    """Give a sheet a table of the maker's, under a name that no other bears, without own colours.

    Those are numbers into a list of looks, which is another one in the new workbook.
    """
    new = deepcopy(table)
    for part in (new, *new.tableColumns):
        for name in part.__attrs__:
            if name.endswith("DxfId"):
                setattr(part, name, None)
    taken = {other.casefold() for each in target.parent.worksheets for other in each.tables}
    taken |= {name.casefold() for name in target.parent.defined_names}
    stem, number = new.displayName, 2
    while new.displayName.casefold() in taken:
        new.name = new.displayName = f"{stem}_{number}"
        number += 1
    target.add_table(new)
