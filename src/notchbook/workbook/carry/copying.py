"""Cells, sheets and what stands around them, copied from one workbook into another."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from copy import copy
from typing import Any

from openpyxl.comments import Comment
from openpyxl.worksheet.hyperlink import Hyperlink

from notchbook.workbook.carry.formula_moves import Moves
from notchbook.workbook.file.frozen import frozen_at
from notchbook.workbook.file.raw_cells import (
    cells_by_place,
    own_style,
    share_style,
    style_key,
    style_of,
)

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
    """Copies between two workbooks; each style is made once."""

    def __init__(self, moves: Moves) -> None:
        self.moves = moves
        self.styles: dict[tuple[int, ...], Any] = {}
        self.lost: list[tuple[str, str]] = []  # cells whose references are gone, and their formula

    def style(self, source: Any, target: Any) -> None:
        """The look of a cell, its number format and lock."""
        key = style_key(source)
        if key not in self.styles:
            own_style(target)
            for name in ("font", "fill", "border", "alignment", "number_format", "protection"):
                setattr(target, name, copy(getattr(source, name)))
            self.styles[key] = copy(style_of(target))
        share_style(copy(self.styles[key]), target)

    def value(self, source: Any, target: Any, host: str) -> None:
        """A cell's value, a formula following what it refers to."""
        raw = source.value
        if source.data_type == "f":
            self._formula(source, target, host)
            return
        target.value = raw
        if isinstance(raw, str):
            target.data_type = "e" if source.data_type == "e" else "s"

    def _formula(self, source: Any, target: Any, host: str) -> None:
        raw = source.value
        if not isinstance(raw, str) and not hasattr(raw, "text"):  # a table of what-ifs
            target.value, target.data_type = copy(raw), "f"
            return
        text = str(getattr(raw, "text", raw))
        formula, whole = self.moves.formula(text, host)
        if not whole:
            self.lost.append((f"{host}!{source.coordinate}", text))
        if hasattr(raw, "text"):
            raw = copy(raw)
            raw.text = formula
            if host in self.moves.sheets:
                raw.ref = self.moves.ranges(host, raw.ref) or target.coordinate
            target.value = raw
        else:
            target.value = formula
        target.data_type = "f"

    def note(self, source: Any, target: Any) -> None:
        """A cell's note with its size."""
        note = source.comment
        if note is not None:
            target.comment = Comment(note.text, note.author, note.height, note.width)

    def cells(self, source: Iterable[Any], host: str, target: Any) -> None:
        """Cells of the sheet `host`, each in its place on another."""
        for cell in source:
            new = target.cell(row=cell.row, column=cell.column)
            if cell.has_style:
                self.style(cell, new)
            if cell.value is not None and type(cell).__name__ != "MergedCell":
                self.value(cell, new, host)
            self.note(cell, new)
            if getattr(cell, "hyperlink", None) is not None:
                self.link(cell, new)

    def sheet(self, source: Any, target: Any, heights: Mapping[int, float]) -> None:
        """A whole sheet of the maker's; `heights` are those that somebody set."""
        host = source.title
        self.cells(cells_by_place(source).values(), host, target)
        for area in source.merged_cells.ranges:
            target.merge_cells(str(area))
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

    def whole(self, source: Any, target: Any) -> None:
        """The look of a whole column or row, for cells that are not typed yet."""
        if source.has_style:
            self.style(source, target)

    def link(self, source: Any, target: Any) -> None:
        """A cell's link."""
        link = source.hyperlink
        place = link.location
        if place:
            place = self.moves.reference(place, source.parent.title)[0]
        target.hyperlink = Hyperlink(
            ref=target.coordinate, location=place, target=link.target, tooltip=link.tooltip
        )

    def _around(self, source: Any, target: Any, host: str) -> None:
        for name in _PAGE:
            setattr(target, name, copy(getattr(source, name)))
        target.sheet_state = source.sheet_state
        target.freeze_panes = frozen_at(source)
        target.sheet_view.showGridLines = source.sheet_view.showGridLines
        target.sheet_view.zoomScale = source.sheet_view.zoomScale
        target.protection = copy(source.protection)
        if source.print_area:
            target.print_area = source.print_area
        target.print_title_rows = source.print_title_rows
        target.print_title_cols = source.print_title_cols
        if source.auto_filter.ref:
            target.auto_filter = copy(source.auto_filter)
        for rule in source.data_validations.dataValidation:
            self.validation(rule, str(rule.sqref), target, host)
        for area in source.conditional_formatting:
            for rule in area.rules:
                self.format(rule, str(area.sqref), target, host)
        for table in source.tables.values():
            target.add_table(copy(table))

    def validation(self, rule: Any, area: str, target: Any, host: str) -> None:
        """A drop-down or limit, for an area of the new sheet."""
        new = copy(rule)
        new.sqref = type(rule.sqref)(area)
        for name in ("formula1", "formula2"):
            setattr(new, name, self._inner(getattr(rule, name), host))
        target.add_data_validation(new)

    def format(self, rule: Any, area: str, target: Any, host: str) -> None:
        """A conditional format, for an area of the new sheet."""
        new = copy(rule)
        new.formula = [self._inner(each, host) or "" for each in rule.formula]
        target.conditional_formatting.add(area, new)

    def _inner(self, text: str | None, host: str) -> str | None:
        """A formula as rules hold it, without the sign before it."""
        if not text or text.startswith('"'):
            return text
        return self.moves.formula("=" + text, host)[0][1:]
