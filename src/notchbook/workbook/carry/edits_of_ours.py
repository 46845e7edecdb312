"""What the maker did to cells of ours: notes and looks kept, what was typed over them told."""

from __future__ import annotations

from copy import copy

from openpyxl.worksheet.worksheet import Worksheet

from notchbook.sheets.kit.column_words import is_header_note
from notchbook.workbook.carry.carry_over import CarryOver
from notchbook.workbook.carry.copying import Copier
from notchbook.workbook.carry.formula_moves import Moves, Region
from notchbook.workbook.file.raw_cells import Cell, cell_at, own_style, sheet_of
from notchbook.workbook.layout.layout import STATE_ROW
from notchbook.workbook.memory.contents import (
    LOOKS,
    Looks,
    content_of,
    formula_text,
    has_lost_places,
    is_rule,
)
from notchbook.workbook.memory.edits import WrittenBook
from notchbook.workbook.read.anchors import Place, addresses
from notchbook.workbook.read.typed_over import note_formula, note_planned, note_value


class EditsOfOurs:
    """Cells where compile writes: given, worked out, planned, or words of a sheet."""

    def __init__(self, over: CarryOver, written: WrittenBook, moves: Moves, copier: Copier) -> None:
        self.over, self.written, self.moves, self.copier = over, written, moves, copier
        self.looks = Looks()
        self.formulas: list[Place] = []  # of the maker's, where ours belong
        self.broken: list[Place] = []  # of ours, that read what was deleted

    def cell(self, cell: Cell, target: Worksheet, region: Region) -> None:
        """Look through a cell of a table or of lines, from the row above its header down."""
        row, column = cell.row, cell.column
        if row > region.head:
            self.look(cell, target)
        if cell.value is None:
            return
        if region.formula_name(row, column):
            self._formula(cell, target)
        elif column in region.planned and row > region.head:
            self._planned(cell, target)
        elif row <= region.head or column in region.says:
            self._word(cell)

    def without_anchor(self, cell: Cell, target: Worksheet) -> None:
        """Look through a cell of a shop sheet, or of the words on top of a sheet."""
        self.look(cell, target)
        edit = self.written.edit(cell) if cell.value is not None else None
        if edit is None or self.written.copy.made_up:
            return
        there = self._new(cell, target)
        if is_rule(edit.now):
            if edit.now not in self.written.sheets[sheet_of(cell)].copy.rules:
                self._strange(cell, there)
        elif is_rule(edit.then):
            if there is not None:
                note_value(there, cell.value)
            self._tell(cell, f"{cell.value} was typed over a formula; it is a note there now")
        else:
            self._word(cell)

    def _strange(self, cell: Cell, there: Cell | None) -> None:
        """Tell of a formula of the maker's on a shop sheet."""
        if cell.row <= STATE_ROW:
            return
        text = formula_text(cell.value)
        if there is not None:
            note_formula(there, text)
        what = "it is a note there now" if there is not None else "its place is gone"
        self._tell(cell, f"{text} was typed where compile writes; {what}")

    def in_gone_column(self, cell: Cell, target: Worksheet, region: Region) -> None:
        """Look through a cell of a column that is no more."""
        if cell.row <= region.head:
            return
        self.note(cell, target)
        if cell.value is None or self.written.wrote(cell.value):
            return
        if cell.data_type != "f":
            if self.written.edit(cell) is not None:
                self._told_gone(cell, cell.value)
        elif self._is_makers(cell, target):
            self._told_gone(cell, formula_text(cell.value))

    def note(self, cell: Cell, target: Worksheet) -> None:
        """Keep a note of the maker's on a cell of ours."""
        if cell.comment is None:
            return
        new = self._new(cell, target)
        if new is None and is_header_note(cell.comment.text):
            return
        if new is None:
            self._tell(cell, f"its place is gone, and with it the note '{cell.comment.text[:80]}'")
        elif new.comment is None:
            self.copier.note(cell, new)

    def look(self, cell: Cell, target: Worksheet) -> None:
        """Keep notes, links, and what of a cell's look is not as it was written."""
        if cell.comment is not None:
            self.note(cell, target)
        changed = self._restyled(cell)
        link = cell.hyperlink if hasattr(cell, "hyperlink") else None
        new = self._new(cell, target) if changed or link is not None else None
        if new is None:
            return
        if link is not None and new.hyperlink is None and new.value is not None:
            self.copier.link(cell, new)
        own_style(new)
        for name in changed:
            setattr(new, name, copy(getattr(cell, name)))

    def tell_formulas(self) -> None:
        """Tell of the maker's formulas, those below one another in one line."""
        self.over.look += [
            f"{cells}: a formula of yours stood where one of ours belongs; it is kept as a note"
            for cells in addresses(self.formulas)
        ]
        self.over.notices += [
            f"{cells}: what this read was deleted (#REF!); it reads it again"
            for cells in addresses(self.broken)
        ]

    # --- what stands there ------------------------------------------------------------------------

    def _new(self, cell: Cell, target: Worksheet) -> Cell | None:
        """Return the new cell; None where its row or column is gone."""
        at = self.moves.cell(sheet_of(cell), cell.row, cell.column)
        return None if at is None else cell_at(target, *at)

    def _restyled(self, cell: Cell) -> list[str]:
        """Return the properties of a cell's look that the maker changed."""
        if not cell.has_style:
            return []
        now, then = self.looks.of(cell), self.written.looks(cell)
        if not then or now in then:
            return []
        return [name for n, name in enumerate(LOOKS) if now[n] != then[0][n]]

    def _planned(self, cell: Cell, target: Worksheet) -> None:
        """Make a note of what was typed over a planned value; it is planned anew."""
        if self.written.copy.made_up or self.written.edit(cell) is None:
            return
        new = self._new(cell, target)
        if new is not None:
            note_planned(new, cell.value)
        what = "it is kept as a note, and planned anew"
        self._tell(cell, f"{cell.value} was typed where compile plans; {what}")

    def _formula(self, cell: Cell, target: Worksheet) -> None:
        """Make a note of what was typed over a formula of ours."""
        if cell.data_type != "f":
            new = self._new(cell, target)
            if new is not None:
                note_value(new, cell.value)
            else:
                self._told_gone(cell, cell.value)
            return
        if not self._is_makers(cell, target):
            return
        new = self._new(cell, target)
        text = formula_text(cell.value)
        if new is not None and has_lost_places(text, formula_text(new.value)):
            self.broken.append((sheet_of(cell), cell.row, cell.column))
            return
        if new is None:
            self._told_gone(cell, text)
            return
        note_formula(new, text)
        self.formulas.append((sheet_of(cell), cell.row, cell.column))

    def _is_makers(self, cell: Cell, target: Worksheet) -> bool:
        """Tell whether a formula is not the one that the last compile wrote there.

        What that one was is remembered, because other rules may stand there now; where none was,
        any that is not as it is now is the maker's.
        """
        then, now = self.written.then(cell), self.written.now(cell)
        if is_rule(then):
            return now != then
        new = self._new(cell, target)
        return new is not None and now != content_of(new.value, True)

    def _word(self, cell: Cell) -> None:
        """Tell of a word of ours that the maker wrote over."""
        if cell.data_type == "f" or self.written.copy.made_up:  # a formula above a header is ours
            return
        if self.written.edit(cell) is not None and not self.written.wrote(cell.value):
            self._tell(
                cell, f"'{str(cell.value)[:80]}' was typed over words of ours; they are back"
            )

    # --- telling ----------------------------------------------------------------------------------

    def _told_gone(self, cell: Cell, what: object) -> None:
        """Tell what was typed over a formula of ours whose row or column is gone."""
        self._tell(cell, f"{what} was typed over a formula whose row or column is gone")

    def _tell(self, cell: Cell, what: str) -> None:
        self.over.look.append(f"{sheet_of(cell)}!{cell.coordinate}: {what}")
