"""The maker's own things carried from the old workbook: columns, sheets, notes, colours, names."""

from __future__ import annotations

import re
from collections.abc import Mapping, MutableMapping
from copy import copy
from typing import Any

from openpyxl.utils import column_index_from_string, get_column_letter
from openpyxl.workbook.defined_name import DefinedName

from notchbook.sheets.calculate import Filled
from notchbook.workbook.copying import Copier
from notchbook.workbook.keep import (
    Areas,
    Keep,
    fingerprints,
    planned_word,
    split_areas,
    structure,
)
from notchbook.workbook.layout import STATE_ROW, Layout
from notchbook.workbook.moves import Moves, Region, SheetMove, cells_in
from notchbook.workbook.notes import resize_notes
from notchbook.workbook.open import OldBook
from notchbook.workbook.read import formula_text
from notchbook.workbook.snapshot import SHEET
from notchbook.workbook.style import BAD, GOOD, PALETTE, WARN
from notchbook.workbook.typed_over import note_formula, note_planned, note_value
from notchbook.workbook.whereto import find_moves

Stamps = MutableMapping[str, dict[str, float | str | None]]
_NAMES_OF_OURS = ("nb_", "list_", "_xlnm.", "_xlfn")
_WIDER = 0.9  # letters; programs round widths when they save
_OWN_COLOURS = {fill for _, fill in (GOOD, BAD, WARN)}


def carry(keep: Keep, workbook: Any, layout: Layout, filled: Filled, stamps: Stamps) -> None:
    """Puts all that is the maker's into the new workbook; what could not follow is told."""
    if keep.old is not None:
        _Carrier(keep, keep.old, workbook, layout, filled, stamps).run()


class _Carrier:
    def __init__(
        self,
        keep: Keep,
        old: OldBook,
        workbook: Any,
        layout: Layout,
        filled: Filled,
        stamps: Stamps,
    ) -> None:
        self.keep, self.old, self.workbook, self.stamps = keep, old, workbook, stamps
        self.layout = layout
        self.titles = [sheet.title for sheet in old.typed.book.worksheets]
        self.source = old.typed.book
        self.moves: Moves = find_moves(keep, old, layout, filled)
        self.copier = Copier(self.moves)
        # with other rules of ours nobody can tell whose a formula was
        then = old.stored.get("rules", {})
        self.same_rules = {
            name for name, rules in fingerprints(layout).items() if then.get(name) == rules
        }
        self.rescued: dict[tuple[str, int], int] = {}
        self._paints: dict[tuple[int, int], dict[str, Any]] = {}
        self.areas: Mapping[str, Areas] = old.stored.get("areas", split_areas(layout))

    def run(self) -> None:
        resize_notes(self.old.data, self.source)
        self.own_sheets()
        for name, move in self.moves.sheets.items():
            source, target = self.source[name], self.workbook[move.name]
            self.cells(source, target, move)
            self.widths(source, target, move)
            self.rules(source, target, move)
        self.given_formulas()
        self.names()
        for place, text in self.copier.lost:
            self.keep.look.append(
                f"{place}: {text} refers to a row or sheet that is gone; it says #REF! now"
            )

    # --- own sheets ------------------------------------------------------------------------------

    def own_sheets(self) -> None:
        """All sheets that are not ours, behind the sheets that they stood behind."""
        taken = {title.casefold() for title in self.workbook.sheetnames}
        own = [
            title
            for title in self.titles
            if title not in self.moves.sheets and title not in self.moves.gone and title != SHEET
        ]
        for title in own:
            new, number = title, 2
            while new.casefold() in taken:
                new, number = f"{title[:27]} {number}", number + 1
            taken.add(new.casefold())
            if new != title:
                self.moves.renamed[title] = new
                self.keep.notices.append(f"your sheet {title} is called {new} now")
        before = ""
        for title in self.titles:
            if title in own:
                new = self.moves.renamed.get(title, title)
                place = self.workbook.sheetnames.index(before) + 1 if before else 0
                target = self.workbook.create_sheet(new, place)
                self.copier.sheet(self.source[title], target)
                before = new
            elif title in self.moves.sheets:
                before = self.moves.sheets[title].name

    # --- cells beside ours ------------------------------------------------------------------------

    def cells(self, source: Any, target: Any, move: SheetMove) -> None:
        regions = {column: region for region in move.regions for column in region.columns}
        gone = {column: region.head for region in move.regions for column in region.gone}
        for (row, column), cell in source._cells.items():
            region = regions.get(column)
            if row >= gone.get(column, row + 2) - 1:
                if row > gone[column]:
                    self.note_of(cell, target, move)
                    if cell.value is not None and cell.data_type != "f":
                        self.told_gone(source, cell)
                continue
            if region is not None and row >= region.head - 1:
                if row > region.head:
                    self.look_of_ours(source, target, move, cell)
                if cell.value is not None and region.holds_formula(row, column):
                    self.formula_of_ours(source, target, region, cell)
                elif cell.value is not None and column in region.planned and row > region.head:
                    self.planned_by_us(source, target, region, cell)
            elif self.in_area(move, row, column):
                self.note_of(cell, target, move)
            elif cell.value is not None or cell.has_style:
                self.own(cell, target, move)

    def in_area(self, move: SheetMove, row: int, column: int) -> bool:
        """Within what we wrote on a sheet that has no anchors, or in its title."""
        if column == 1 and row <= STATE_ROW:
            return True
        areas = self.areas.get(move.name, ())
        return any(
            top <= row <= bottom and left <= column <= right for top, left, bottom, right in areas
        )

    def own(self, cell: Any, target: Any, move: SheetMove) -> None:
        """A cell of the maker's, with its row; below all others where that is gone or taken."""
        row = move.row(cell.row, cell.column)
        column = move.column(cell.column)
        if row is None or self.taken(cell, target, row, column):
            if cell.value is None:
                return
            free = 2 + max([target.max_row, *(each.new_last for each in move.regions)])
            row = self.rescued.setdefault((target.title, cell.row), free)
            self.keep.look.append(
                f"{target.title}!{cell.coordinate}: its row is gone or taken; what stood there is"
                f" in {get_column_letter(column)}{row} now"
            )
        new = target.cell(row=row, column=column)
        if new.value is not None:
            return
        if cell.has_style:
            self.copier.style(cell, new)
        if cell.value is None:
            return
        self.copier.value(cell, new, cell.parent.title)
        self.copier.note(cell, new)
        if getattr(cell, "hyperlink", None) is not None:
            self.copier.link(cell, new)
        if new.data_type == "f":
            self.stamps[target.title][new.coordinate] = None

    @staticmethod
    def taken(cell: Any, target: Any, row: int, column: int) -> bool:
        """Whether something of ours stands there now."""
        there = target._cells.get((row, column))
        return there is not None and there.value not in (None, cell.value)

    def note_of(self, cell: Any, target: Any, move: SheetMove) -> None:
        """A note of the maker's on a cell of ours."""
        if cell.comment is None:
            return
        at = self.moves.cell(cell.parent.title, cell.row, cell.column)
        if at is None:
            self.keep.look.append(
                f"{cell.parent.title}!{cell.coordinate}: its place is gone, and with it the note"
                f" '{cell.comment.text[:80]}'"
            )
            return
        new = target.cell(row=at[0], column=at[1])
        if new.comment is None:
            self.copier.note(cell, new)

    def look_of_ours(self, source: Any, target: Any, move: SheetMove, cell: Any) -> None:
        """Notes, and fills and letters that are not ours, on cells of ours."""
        if cell.comment is not None:
            self.note_of(cell, target, move)
        paint = self.paint(cell)
        if not paint:
            return
        at = self.moves.cell(source.title, cell.row, cell.column)
        if at is None:
            return
        new = target.cell(row=at[0], column=at[1])
        for name, value in paint.items():
            setattr(new, name, copy(value))

    def planned_by_us(self, source: Any, target: Any, region: Region, cell: Any) -> None:
        """What was typed over a planned value becomes a note; it is planned anew."""
        column = region.planned[cell.column]
        known = self.old.stored.get("planned", {}).get(region.table, {}).get(column)
        if known is None or planned_word(cell.value) in known:
            return
        at = self.moves.cell(source.title, cell.row, cell.column)
        if at is not None:
            note_planned(target.cell(row=at[0], column=at[1]), cell.value)
        self.keep.look.append(
            f"{source.title}!{cell.coordinate}: {cell.value} was typed where compile plans; it is"
            " kept as a note, and planned anew"
        )

    def formula_of_ours(self, source: Any, target: Any, region: Region, cell: Any) -> None:
        """Where a formula of ours stood: what was typed over it becomes a note."""
        at = self.moves.cell(source.title, cell.row, cell.column)
        there = None if at is None else target.cell(row=at[0], column=at[1])
        if cell.data_type != "f":
            if there is not None:
                note_value(there, cell.value)
            else:
                self.told_gone(source, cell)
            return
        if there is None or there.value == cell.value or region.table not in self.same_rules:
            return
        text = formula_text(cell.value)
        if structure(text) != structure(str(there.value)):
            note_formula(there, text)
            self.keep.look.append(
                f"{cell.parent.title}!{cell.coordinate}: a formula of yours stood where one of"
                " ours belongs; it is kept as a note"
            )

    def told_gone(self, source: Any, cell: Any) -> None:
        """What was typed over a formula of ours whose row or column is gone."""
        self.keep.look.append(
            f"{source.title}!{cell.coordinate}: {cell.value} was typed over a formula whose row or"
            " column is gone"
        )

    def given_formulas(self) -> None:
        """Formulas that the maker typed into given cells, following what they refer to."""
        for name, formulas in self.keep.formulas.items():
            typed, spot = self.old.typed.tables.get(name), self.layout.tables[name]
            for (row, column), text in formulas.items() if typed is not None else ():
                cell = self.workbook[spot.sheet][f"{spot.letters[column]}{spot.first_row + row}"]
                moved, whole = self.moves.formula(text, typed.sheet if typed else "")
                cell.value = moved
                if not whole:
                    self.copier.lost.append((f"{spot.sheet}!{cell.coordinate}", text))

    def paint(self, cell: Any) -> dict[str, Any]:
        """The fill and letters of a cell, as far as they are not ours."""
        key = (cell._style.fillId, cell._style.fontId)
        if key not in self._paints:
            found: dict[str, Any] = {}
            fill, font = cell.fill, cell.font
            colour = _rgb(fill.fgColor)
            if fill.fill_type is not None and colour not in PALETTE:
                found["fill"] = fill
            if font.b or font.i or font.strike or font.u or _rgb(font.color) not in PALETTE:
                found["font"] = font
            self._paints[key] = found
        return self._paints[key]

    # --- widths, rules, names ---------------------------------------------------------------------

    def widths(self, source: Any, target: Any, move: SheetMove) -> None:
        for letter, size in list(source.column_dimensions.items()):
            first = size.min or column_index_from_string(letter)
            last = min(size.max or first, first + 200)
            for column in range(first, last + 1):
                if not move.is_gone(column):
                    ours = move.region_of(column) is not None
                    self.width(size, target, move.column(column), ours)

    def width(self, size: Any, target: Any, column: int, ours: bool) -> None:
        new = target.column_dimensions[get_column_letter(column)]
        if size.hidden:
            new.hidden = True
        if (
            size.width
            and size.customWidth
            and (not ours or abs(size.width - (new.width or 0)) > _WIDER)
        ):
            new.width = size.width

    def rules(self, source: Any, target: Any, move: SheetMove) -> None:
        """Drop-downs in the maker's columns, and conditional formats that are not ours."""
        host = source.title
        for rule in source.data_validations.dataValidation:
            own = [area for area in str(rule.sqref).split() if self.is_own(move, area)]
            new = self.moves.ranges(host, " ".join(own))
            if new:
                self.copier.validation(rule, new, target, host)
        for area in source.merged_cells.ranges:
            if self.is_own(move, str(area)) and (new := self.moves.ranges(host, str(area))):
                target.merge_cells(new)
        for name in source.tables:
            if name not in target.tables:
                self.keep.look.append(f"{host}: your table {name} is plain cells now")
        ours = {_pattern(rule) for area in target.conditional_formatting for rule in area.rules}
        for area in list(source.conditional_formatting):
            for rule in area.rules:
                if _pattern(rule) in ours and _paint_of(rule) in _OWN_COLOURS:
                    continue
                new = self.moves.ranges(host, str(area.sqref))
                if new:
                    self.copier.format(rule, new, target, host)

    @staticmethod
    def is_own(move: SheetMove, area: str) -> bool:
        """Whether an area lies in columns of the maker's alone."""
        return not move.shift and not any(
            move.is_ours(column)
            for _, left, _, right in cells_in(area)
            for column in range(left, right + 1)
        )

    def names(self) -> None:
        """Names that the maker gave to cells."""
        for name, defined in self.source.defined_names.items():
            if name.startswith(_NAMES_OF_OURS) or name in self.workbook.defined_names:
                continue
            text, whole = self.moves.formula("=" + (defined.attr_text or ""), "")
            if not whole:
                self.copier.lost.append((f"the name {name}", defined.attr_text or ""))
            self.workbook.defined_names[name] = DefinedName(name, attr_text=text[1:])
        for title in self.titles:
            for name, defined in self.source[title].defined_names.items():
                new = (
                    self.moves.sheets[title].name
                    if title in self.moves.sheets
                    else (self.moves.renamed.get(title, title))
                )
                if name.startswith(_NAMES_OF_OURS) or new not in self.workbook.sheetnames:
                    continue
                text, _ = self.moves.formula("=" + (defined.attr_text or ""), title)
                self.workbook[new].defined_names[name] = DefinedName(name, attr_text=text[1:])


def _rgb(colour: Any) -> str:
    """The last six digits of a colour; a word for one that has none of its own."""
    if colour is None or (colour.type == "indexed" and colour.indexed >= 64):
        return "none"
    if colour.type == "rgb" and isinstance(colour.rgb, str):
        return colour.rgb[-6:].upper()
    if colour.type == "theme" and colour.theme in (0, 1) and not colour.tint:
        return "none"  # the letters and paper of every program
    return f"{colour.type} {colour.value} {colour.tint}"


def _pattern(rule: Any) -> str:
    """A rule's formula without its places, to tell ours wherever they were moved."""
    return f"{rule.type} " + re.sub(r"\$?[A-Z]{1,3}\$?[0-9]+", "#", ";".join(rule.formula))


def _paint_of(rule: Any) -> str:
    fill = rule.dxf.fill if rule.dxf is not None else None
    return "" if fill is None else _rgb(fill.bgColor)
