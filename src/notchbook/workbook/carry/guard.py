"""The last look before a workbook is replaced: is everything that the maker put into it still said?

Each value and formula of the old file is looked for in the bytes of the new one: as it was, at the
place to which it belongs now. What is not there must have been written by the last compile, or
have a line in the report, or a note on its cell.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date, datetime
from functools import cached_property

from openpyxl.utils.cell import column_index_from_string

from notchbook.language.functions import to_serial
from notchbook.merging.cells import Value, same
from notchbook.merging.changes import shown
from notchbook.sheets.kit.columns import Role
from notchbook.workbook.carry.carry_over import CarryOver
from notchbook.workbook.file.book import sheets_of
from notchbook.workbook.file.package_cells import PackageCells, SheetCells
from notchbook.workbook.file.raw_cells import Cell, cells_by_place, sheet_of, title_of
from notchbook.workbook.file.snapshot import SHEET
from notchbook.workbook.layout.layout import BookLayout
from notchbook.workbook.memory.contents import formula_text, structure
from notchbook.workbook.memory.edits import WrittenBook
from notchbook.workbook.read.anchors import Place, address
from notchbook.workbook.read.old_book import OldBook

_CELLS = re.compile(r"(.+?)!([A-Z]{1,3})([0-9]+)(?::([A-Z]{1,3})([0-9]+))?: ")
_SAID = 30  # letters of a value that a line must say
_NOTHING = SheetCells({}, {})


def losses(over: CarryOver, new: PackageCells, told: Iterable[str]) -> list[str]:
    """Return what the old workbook held that is neither in the new one nor told, by cell."""
    if over.old is None or over.written is None or over.layout is None:
        return []
    guard = _Guard(over, over.old, over.written, over.layout, new, told)
    return [*guard.values(), *guard.notes()]


class _Guard:
    def __init__(
        self,
        over: CarryOver,
        old: OldBook,
        written: WrittenBook,
        layout: BookLayout,
        new: PackageCells,
        told: Iterable[str],
    ) -> None:
        self.over, self.old, self.written, self.moves = over, old, written, over.moves
        self.layout, self.new, self.told = layout, new, list(told)
        self.rows: dict[str, dict[int, int]] = {}  # of tables, old to new

    def values(self) -> Iterator[str]:
        """Yield the values and formulas that are lost."""
        for sheet in sheets_of(self.old.typed.book):
            title = title_of(sheet)
            if title == SHEET:
                continue
            there = self.new.sheets.get(self.new_title(title), _NOTHING)
            for place, cell in cells_by_place(sheet).items():
                value = cell.value
                if value is None or value == "" or self.stands(cell, there, *place):
                    continue
                if self.is_lost(title, cell):
                    said = formula_text(value)[:60]
                    yield f"{address((title, *place))}, which says {said}"

    def notes(self) -> Iterator[str]:
        """Yield the notes that are lost; those on headers are ours."""
        there = [said for sheet in self.new.sheets.values() for said in sheet.notes.values()]
        everything = "\n".join(there)
        for sheet in sheets_of(self.old.typed.book):
            title = title_of(sheet)
            for (row, column), cell in cells_by_place(sheet).items():
                note = cell.comment
                if note is None or self.is_header(title, row, column):
                    continue
                place = (title, row, column)
                if note.text not in everything and not self.is_told(place):
                    yield f"the note on {address(place)}"

    # --- where a cell belongs ---------------------------------------------------------------------

    def new_title(self, title: str) -> str:
        """Return what a sheet is called now."""
        move = self.moves.sheets.get(title)
        return move.name if move is not None else self.moves.renamed.get(title, title)

    def is_header(self, title: str, row: int, column: int) -> bool:
        """Tell whether a cell is a header, whose note is ours."""
        sheet = self.written.sheets.get(title)
        block = sheet.block(row, column) if sheet is not None else None
        if block is None:
            return sheet is not None and not sheet.blocks
        return not block.lines and row <= block.head

    def is_lost(self, title: str, cell: Cell) -> bool:
        """Tell whether a value that left its place is neither elsewhere nor told."""
        place = (title, cell.row, cell.column)
        given = self.given(place)
        if given is not None:
            return not self.is_told(place, cell) and self.is_given_lost(cell, *given)
        if self.is_told(place):
            return False
        sheet = self.written.sheets.get(title)
        if sheet is not None and sheet.is_ours(cell.row, cell.column):
            return (
                not self.written.copy.made_up
                and self.written.edit(cell) is not None
                and not self.written.wrote(cell.value)
                and not self.is_noted(cell)
            )
        if title in self.moves.gone:
            return not any(
                name.endswith("(left)") and self.follows(cell, there, cell.row, cell.column)
                for name, there in self.new.sheets.items()
            )
        at = self.moves.cell(title, cell.row, cell.column)
        there = self.new.sheets.get(self.new_title(title), _NOTHING)
        return not (
            (at is not None and self.follows(cell, there, *at))
            or (sheet is not None and self.written.wrote(cell.value))
            or (sheet is not None and self.written.copy.made_up)
        )

    def given(self, place: Place) -> tuple[str, int, str] | None:
        """Return the table, row and column of a typed cell of the old workbook."""
        found = self.heads.get((place[0], place[2]))
        if found is not None:
            name, head, column = found
            row = place[1] - head - 1
            inside = 0 <= row < len(self.old.typed.tables[name].rows)
            return (name, row, column) if inside else None
        return self.lines.get(place)

    @cached_property
    def heads(self) -> dict[tuple[str, int], tuple[str, int, str]]:
        """By sheet and column of typed cells: the table, its header row, and the column's name."""
        return {
            (table.sheet, number): (name, table.head_row, column)
            for name, table in self.old.typed.tables.items()
            for column, number in table.columns.items()
            if table.table.by_name[column].role is Role.GIVEN
        }

    @cached_property
    def lines(self) -> dict[Place, tuple[str, int, str]]:
        """The typed cells of lines."""
        typed = self.old.typed
        return {
            place: (name, 0, column)
            for (name, column), place in typed.line_places.items()
            if column in typed.lines.get(name, {})
        }

    def is_given_lost(self, cell: Cell, name: str, row: int, column: str) -> bool:
        """Tell whether a typed cell says something else now, although it was edited."""
        typed = self.old.typed
        if name in typed.tables:
            value = typed.tables[name].rows[row].get(column)
            at = self.new_row(name, row)
            spot = self.layout.tables[name]
            number = spot.first_column + list(spot.letters).index(column)
            now = (spot.sheet, spot.first_row + at, number) if at is not None else None
        else:
            value, lines = typed.lines[name].get(column), self.layout.lines[name]
            now = (lines.sheet, *lines.addresses[column])
        if now is not None:
            there = self.new.sheets[now[0]]
            said = there.value(*now[1:])
            if self.follows(cell, there, *now[1:]) or _says(said, value):
                return False
            if isinstance(value, str) and isinstance(said, str) and self.is_renamed(value, said):
                return False
        return self.written.edit(cell) is not None and not self.names(name, cell.value, value)

    def new_row(self, name: str, row: int) -> int | None:
        """Return the row of a table to which an old one went."""
        if name not in self.rows:
            origins = self.over.origins.get(name, ())
            self.rows[name] = {at: n for n, at in enumerate(origins) if at is not None}
        return self.rows[name].get(row)

    # --- what is said -----------------------------------------------------------------------------

    def stands(self, cell: Cell, there: SheetCells, row: int, column: int) -> bool:
        """Tell whether a place of the new workbook holds what an old cell does."""
        raw = there.cells.get((row, column))
        if raw is None:
            return False
        value = cell.value
        if cell.data_type == "f" and not isinstance(value, str) and not hasattr(value, "text"):
            return True  # a table of what-ifs
        if cell.data_type == "f":
            text, now = formula_text(value), there.formula(row, column)
            return now is not None and ("=" + now == text or structure(now) == structure(text))
        return not raw[1] and _is(there.value(row, column), value)

    def follows(self, cell: Cell, there: SheetCells, row: int, column: int) -> bool:
        """Tell whether a place holds what an old cell does, sheets that it names called anew."""
        if self.stands(cell, there, row, column):
            return True
        now = there.formula(row, column)
        if cell.data_type != "f" or now is None:
            return False
        moved, _ = self.moves.formula(formula_text(cell.value), sheet_of(cell))
        return structure(now) == structure(moved)

    def is_noted(self, cell: Cell) -> bool:
        """Tell whether a note in the new workbook says what stood in a cell."""
        at = self.moves.cell(sheet_of(cell), cell.row, cell.column)
        there = self.new.sheets.get(self.new_title(sheet_of(cell)), _NOTHING)
        return at is not None and formula_text(cell.value) in there.notes.get(at, "")

    def is_told(self, place: Place, typed: Cell | None = None) -> bool:
        """Tell whether a line of the report names a cell, and says what was typed there."""
        words = "" if typed is None else formula_text(typed.value).strip()[:_SAID]
        return any(
            words in line and top <= place[1] <= bottom and left <= place[2] <= right
            for line, left, top, right, bottom in self.told_cells.get(place[0], ())
        )

    @cached_property
    def told_cells(self) -> dict[str, list[tuple[str, int, int, int, int]]]:
        """The lines of the report that name cells, with these, by sheet."""
        found: dict[str, list[tuple[str, int, int, int, int]]] = {}
        for line in self.told:
            match = _CELLS.match(line)
            if match is not None:
                left, top = column_index_from_string(match[2]), int(match[3])
                right = column_index_from_string(match[4]) if match[4] else left
                bottom = int(match[5]) if match[5] else top
                found.setdefault(match[1], []).append((line, left, top, right, bottom))
        return found

    def is_renamed(self, before: str, now: str) -> bool:
        """Tell whether names in a cell only follow new ones, which the report tells."""
        names, new = (list(map(str.strip, each.split(";"))) for each in (before, now))
        told = [line.casefold() for line in self.told]
        return len(names) == len(new) and all(
            old == called
            or any(old.casefold() in line and called.casefold() in line for line in told)
            for old, called in zip(names, new, strict=True)
        )

    def names(self, table: str, raw: object, value: Value) -> bool:
        """Tell whether a line of the report speaks of a table and of a value."""
        words = {shown(value), str(raw).strip()}
        return any(table in line and any(each in line for each in words) for line in self.told)


def _is(found: float | str | None, value: object) -> bool:
    """Tell whether a value as read back is the one of a cell."""
    if isinstance(value, datetime | date):
        day = value if not isinstance(value, datetime) else value.date()
        return isinstance(found, float) and int(found) == int(to_serial(day))
    if isinstance(value, bool) or not isinstance(value, int | float):
        return str(found) == str(value) or found == float(value is True)
    return isinstance(found, float) and same(found, float(value))


def _says(found: float | str | None, value: Value) -> bool:
    """Tell whether a value as read back is the one that was understood."""
    return found == value if value is None or isinstance(value, str) else _is(found, value)
