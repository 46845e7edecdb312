"""What the maker did to cells of ours: notes and colours kept, what was typed over them told."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from copy import copy
from typing import Any

from notchbook.workbook.carry.as_compiled import Keep, fingerprint, planned_word, structure
from notchbook.workbook.carry.copying import Copier
from notchbook.workbook.carry.formula_moves import Moves, Region
from notchbook.workbook.carry.paint import SHAPES, Paints, Shapes
from notchbook.workbook.file.raw_cells import cells_by_place, own_style
from notchbook.workbook.layout.layout import STATE_ROW, quoted
from notchbook.workbook.read.anchors import Place, addresses
from notchbook.workbook.read.old_book import OldBook
from notchbook.workbook.read.typed import formula_text
from notchbook.workbook.read.typed_over import note_formula, note_planned, note_value


class Ours:
    """Cells where compile writes: given, worked out, planned, or words of a sheet."""

    def __init__(self, keep: Keep, old: OldBook, moves: Moves, copier: Copier) -> None:
        self.keep, self.moves, self.copier = keep, moves, copier
        self.paints = Paints()
        rules = old.stored.get("rules", {})
        self.rules = {name: its for name, its in rules.items() if isinstance(its, dict)}
        self.planned = old.stored.get("planned", {})
        self.by_row = bool(old.stored.get("by_row"))  # else each planned value once, in any order
        self.formats, self.shapes = old.stored.get("formats", {}), Shapes()
        self.printed = frozenset(old.stored.get("printed", ()))  # rules of shop sheets
        words = old.stored.get("words")
        self.formulas: list[Place] = []  # of the maker's, where ours belong
        self.counted: dict[tuple[str, int, str], Counter[str]] = {}
        self.names = {
            f"{written}!": f"{quoted(move.name)}!"
            for title, move in moves.sheets.items()
            for written in {title, quoted(title), f"'{title}'"}
            if title != move.name
        }
        self.words = None if words is None else frozenset(words)

    def cell(self, cell: Any, target: Any, region: Region) -> None:
        """A cell of a table or of lines, from the row above its header down."""
        row, column = cell.row, cell.column
        if row > region.head:
            self._look(cell, target)
            self._format(cell, target, region)
        if cell.value is None:
            return
        if region.formula_name(row, column):
            self._formula(cell, target, region)
        elif column in region.planned and row > region.head:
            self._planned(cell, target, region)
        elif row <= region.head or column in region.says:
            self._word(cell)

    def without_anchor(self, cell: Any, target: Any) -> None:
        """A cell of a shop sheet, or of the words on top of a sheet."""
        self.note(cell, target)
        there = self._new(cell, target)
        if cell.value is None:
            return
        if cell.data_type == "f":
            self._strange(cell, there)
        elif there is not None and there.data_type == "f":
            note_value(there, cell.value)
            self._tell(cell, f"{cell.value} was typed over a formula; it is a note there now")
        else:
            self._word(cell)

    def _strange(self, cell: Any, there: Any) -> None:
        """A formula on a shop sheet: the maker's, where no rule of ours was printed so."""
        text = formula_text(cell.value)
        ours = fingerprint(self._structure(text)) in self.printed
        if ours or not self.printed or cell.row <= STATE_ROW:
            return
        if there is not None:
            note_formula(there, text)
        what = "it is a note there now" if there is not None else "its place is gone"
        self._tell(cell, f"{text} was typed where compile writes; {what}")

    def in_gone_column(self, cell: Any, target: Any, region: Region) -> None:
        """A cell of a column that is no more."""
        if cell.row <= region.head:
            return
        self.note(cell, target)
        if cell.value is None or self.wrote(cell.value):
            return
        if cell.data_type != "f":
            self._told_gone(cell, cell.value)
        elif self._is_makers(cell, region.table, region.gone[cell.column], None):
            self._told_gone(cell, formula_text(cell.value))

    def wrote(self, value: object) -> bool:
        """Whether it is one of the words that the last compile wrote."""
        return isinstance(value, str) and planned_word(value) in (self.words or ())

    def note(self, cell: Any, target: Any) -> None:
        """A note of the maker's on a cell of ours."""
        if cell.comment is None:
            return
        new = self._new(cell, target)
        if new is None:
            self._tell(cell, f"its place is gone, and with it the note '{cell.comment.text[:80]}'")
        elif new.comment is None:
            self.copier.note(cell, new)

    # --- what stands there ------------------------------------------------------------------------

    def _new(self, cell: Any, target: Any) -> Any:
        """The new cell; None where its row or column is gone."""
        at = self.moves.cell(cell.parent.title, cell.row, cell.column)
        return None if at is None else target.cell(row=at[0], column=at[1])

    def _look(self, cell: Any, target: Any) -> None:
        """Notes, and fills and letters that are not ours."""
        self.note(cell, target)
        paint = self.paints.of(cell)
        link = getattr(cell, "hyperlink", None)
        new = self._new(cell, target) if paint or link is not None else None
        if new is None:
            return
        if link is not None and new.hyperlink is None and new.value is not None:
            self.copier.link(cell, new)
        own_style(new)
        for name, value in paint.items():
            setattr(new, name, copy(value))

    def _format(self, cell: Any, target: Any, region: Region) -> None:
        """A number format, an alignment or edges that are not as the last compile set them."""
        ours = self.formats.get(region.table, {}).get(region.given.get(cell.column, ""))
        now = self.shapes.of(cell) if ours is not None else None
        if now is None or now == ours:
            return
        new = self._new(cell, target)
        if new is None:
            return
        own_style(new)
        for name, is_so, was in zip(SHAPES, now, ours, strict=True):
            if is_so != was:
                setattr(new, name, copy(getattr(cell, name)))

    def _planned(self, cell: Any, target: Any, region: Region) -> None:
        """What was typed over a planned value becomes a note; it is planned anew."""
        known = self.planned.get(region.table, {}).get(region.planned[cell.column])
        if known is None or self._as_planned(cell, region, known):
            return
        new = self._new(cell, target)
        if new is not None:
            note_planned(new, cell.value)
        what = "it is kept as a note, and planned anew"
        self._tell(cell, f"{cell.value} was typed where compile plans; {what}")

    def _as_planned(self, cell: Any, region: Region, known: Sequence[str]) -> bool:
        """Whether a value may be the one that was planned there.

        Whoever sorts the table moves all of them; so a value counts as typed where it is unknown,
        or stands in another's place and the column holds it more often than it was planned.
        """
        word, at = planned_word(cell.value), cell.row - region.head - 1
        if word not in known:
            return False
        if not self.by_row or (at < len(known) and known[at] == word):
            return True
        return self._counts(cell, region)[word] <= known.count(word)

    def _counts(self, cell: Any, region: Region) -> Counter[str]:
        """How often each value stands in the column of a planned cell."""
        sheet, key = cell.parent, (cell.parent.title, cell.column, region.table)
        if key not in self.counted:
            self.counted[key] = Counter(
                planned_word(each.value)
                for (row, column), each in cells_by_place(sheet).items()
                if column == cell.column and region.head < row <= region.last
            )
        return self.counted[key]

    def _formula(self, cell: Any, target: Any, region: Region) -> None:
        """Where a formula of ours stood: what was typed over it becomes a note."""
        new = self._new(cell, target)
        if cell.data_type != "f":
            if new is not None:
                note_value(new, cell.value)
            else:
                self._told_gone(cell, cell.value)
            return
        name = region.formula_name(cell.row, cell.column) or ""
        if not self._is_makers(cell, region.table, name, new):
            return
        text = formula_text(cell.value)
        if new is None:
            self._told_gone(cell, text)
            return
        note_formula(new, text)
        self.formulas.append((cell.parent.title, cell.row, cell.column))

    def _is_makers(self, cell: Any, table: str, name: str, new: Any) -> bool:
        """Whether a formula is not the one that the last compile wrote there.

        What that one was is remembered, because other rules may stand there now; where the memory
        is lost, any that is not as it is now is the maker's.
        """
        shape = self._structure(formula_text(cell.value))
        then = self.rules.get(table, {}).get(name)
        if then is not None:
            return bool(fingerprint(shape) != then)
        return new is not None and shape != structure(str(new.value))

    def _structure(self, text: str) -> str:
        """The structure of an old formula, with the names that our sheets had at first."""
        for now, then in self.names.items():
            text = text.replace(now, then)
        return structure(text)

    def _word(self, cell: Any) -> None:
        """A word of ours that the maker wrote over."""
        if self.words is None or cell.data_type == "f":  # a formula above a header is ours
            return
        if planned_word(cell.value) not in self.words:
            what = formula_text(cell.value)[:80]
            self._tell(cell, f"'{what}' was typed over words of ours; they are back")

    # --- telling ----------------------------------------------------------------------------------

    def tell_formulas(self) -> None:
        """Tells of the maker's formulas, those below one another in one line."""
        self.keep.look += [
            f"{cells}: a formula of yours stood where one of ours belongs; it is kept as a note"
            for cells in addresses(self.formulas)
        ]

    def _told_gone(self, cell: Any, what: object) -> None:
        """What was typed over a formula of ours whose row or column is gone."""
        self._tell(cell, f"{what} was typed over a formula whose row or column is gone")

    def _tell(self, cell: Any, what: str) -> None:
        self.keep.look.append(f"{cell.parent.title}!{cell.coordinate}: {what}")
