"""Given cells read back from a workbook, found by the anchors that the writer left."""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from openpyxl import load_workbook
from openpyxl.cell.cell import ERROR_CODES
from openpyxl.workbook import Workbook

from notchbook.base.refusals import RefusedError
from notchbook.language.value_kinds import Kind
from notchbook.measure import Units
from notchbook.merging.cells import Value
from notchbook.sheets.kit.columns import Column, Role
from notchbook.sheets.kit.declare import Book, LineCell, Table
from notchbook.sheets.kit.show import Look
from notchbook.workbook.file.book import sheet_named
from notchbook.workbook.file.merged import without_merges
from notchbook.workbook.file.raw_cells import Cell as SheetCell
from notchbook.workbook.file.raw_cells import cell_at, cells_by_place
from notchbook.workbook.layout.anchor_names import identifier
from notchbook.workbook.memory.contents import formula_text
from notchbook.workbook.read.anchors import Place, address, find_anchors, heads_of
from notchbook.workbook.read.safety import damaged_part
from notchbook.workbook.read.understand import (
    NotUnderstoodError,
    understand,
    without_marks,
)

_FAR = 20_000  # blank rows between two typed ones


@dataclass(frozen=True)
class Stray:
    """A cell that could not be understood: what stands there, and why."""

    place: Place
    raw: object
    why: str
    waits: bool = False  # a formula that no program has worked out yet
    is_word: bool = False  # in a column of words

    @property
    def address(self) -> str:
        """As a maker finds it: `Stock!H9`."""
        return address(self.place)


@dataclass
class TypedTable:
    """A table as the workbook holds it: given cells row by row, blank rows between them too.

    `stray` and `formulas` hold, by row and column, what was not understood and what the maker
    typed as a formula.
    """

    table: Table
    sheet: str
    head_row: int
    columns: dict[str, int]
    rows: list[dict[str, Value]] = field(default_factory=list)
    stray: dict[tuple[int, str], Stray] = field(default_factory=dict)
    formulas: dict[tuple[int, str], str] = field(default_factory=dict)
    unknown: frozenset[str] = frozenset()  # columns that the last compile did not write

    @property
    def lost(self) -> list[Column]:
        """The columns that were deleted from the sheet."""
        return [
            each
            for each in self.table.columns
            if each.role is Role.GIVEN and each.name not in {*self.columns, *self.unknown}
        ]

    def place(self, row: int, column: str) -> Place:
        """Where a cell stands; of a deleted column, where its row begins."""
        first = min(self.columns.values(), default=1)
        return self.sheet, self.head_row + 1 + row, self.columns.get(column, first)

    def is_blank(self, row: int) -> bool:
        """Nothing was typed in this row."""
        return (
            all(value is None for value in self.rows[row].values())
            and not any(at == row for at, _ in self.stray)
            and not any(at == row for at, _ in self.formulas)
        )


@dataclass
class TypedBook:
    """All given cells of a workbook, and the workbook itself."""

    book: Workbook
    data: bytes
    anchors: Mapping[str, Place]
    tables: dict[str, TypedTable] = field(default_factory=dict)
    lines: dict[str, dict[str, Value]] = field(default_factory=dict)
    line_places: dict[tuple[str, str], Place] = field(default_factory=dict)
    line_strays: dict[tuple[str, str], Stray] = field(default_factory=dict)
    line_formulas: dict[tuple[str, str], str] = field(default_factory=dict)
    trimmed: list[Place] = field(default_factory=list)  # words with blanks around them
    gone: list[str] = field(default_factory=list)  # tables that were deleted with their sheets

    @cached_property
    def cached(self) -> Workbook:
        """The same workbook with the last values of its formulas."""
        return load_package(self.data, data_only=True)


def read_typed(data: bytes, book: Book, units: Units) -> TypedBook:
    """The given cells of every table and every sheet of lines.

    Raises RefusedError for what is no workbook of ours.
    """
    workbook = load_package(data)
    anchors = find_anchors(workbook)
    if not anchors:
        raise RefusedError(
            "none of its tables is one of notchbook's; move the file away, or name another with"
            " --output"
        )
    typed = TypedBook(workbook, data, anchors)
    cells = _Cells(workbook)
    reader = _Reader(typed, cells, units)
    for table in book.tables.values():
        if table.row is None:
            continue
        found = _locate(table, anchors, cells)
        if found is None:
            typed.gone.append(table.name)
        else:
            reader.rows(found)
            typed.tables[table.name] = found
    for name, lines in book.lines.items():
        for cell in lines.cells.values():
            place = anchors.get(f"nb_{identifier(name)}_{cell.name}")
            if place is not None:
                typed.line_places[name, cell.name] = place
                if cell.role is Role.GIVEN:
                    reader.line(name, cell, place)
    return typed


def load_package(data: bytes, **how: bool) -> Workbook:
    """A workbook as openpyxl reads it.

    Raises RefusedError where that cannot.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what it cannot keep is looked for in `safety`
        try:
            return load_workbook(io.BytesIO(without_merges(data)), **how)
        except Exception:  # whatever a damaged part makes the library say
            raise RefusedError(
                f"the workbook cannot be read: {damaged_part(data)}; take the newest from"
                " backups, or move it away"
            ) from None


class NoValueError(NotUnderstoodError):
    """A formula that no program has worked out yet."""


class _Cells:
    """The cells of a sheet by row, without making new ones by looking."""

    def __init__(self, workbook: Workbook) -> None:
        self.workbook = workbook
        self.sheets: dict[str, dict[int, dict[int, SheetCell]]] = {}

    def of(self, sheet: str) -> Mapping[int, Mapping[int, SheetCell]]:
        if sheet not in self.sheets:
            rows: dict[int, dict[int, SheetCell]] = {}
            for cell in cells_by_place(sheet_named(self.workbook, sheet)).values():
                if cell.value is not None:
                    rows.setdefault(cell.row, {})[cell.column] = cell
            self.sheets[sheet] = rows
        return self.sheets[sheet]


def _locate(table: Table, anchors: Mapping[str, Place], cells: _Cells) -> TypedTable | None:
    """Where a table stands: by its anchors, and by headers where an anchor was lost."""
    given = [column for column in table.columns if column.role is Role.GIVEN]
    found = heads_of(table.name, anchors)
    places = [found[column.name] for column in given if column.name in found]
    if not places:
        return None
    sheet, head_row, _ = _most(places)
    here = {
        name: place[2]
        for name, place in found.items()
        if place[:2] == (sheet, head_row) and name in table.by_name
    }
    heads = {
        str(cell.value).strip().lower(): column
        for column, cell in cells.of(sheet).get(head_row, {}).items()
        if column not in here.values()
    }
    for column in given:
        head = column.header.split(" (")[0].lower()
        if column.name not in here:
            at = next((at for text, at in heads.items() if text.split(" (")[0] == head), None)
            if at is not None:
                here[column.name] = at
    return TypedTable(table, sheet, head_row, here)


def _most(places: list[Place]) -> Place:
    """The place whose sheet and row most of the headers share."""
    rows = [place[:2] for place in places]
    return max(places, key=lambda place: rows.count(place[:2]))


class _Reader:
    def __init__(self, typed: TypedBook, cells: _Cells, units: Units) -> None:
        self.typed, self.cells, self.units = typed, cells, units

    def rows(self, table: TypedTable) -> None:
        """Reads all rows below the header, however many there are."""
        sheet = self.cells.of(table.sheet)
        given = [each for each in table.table.columns if each.role is Role.GIVEN]
        columns = [(each, table.columns[each.name]) for each in given if each.name in table.columns]
        numbers = [
            row
            for row, cells in sheet.items()
            if row > table.head_row and any(column in cells for _, column in columns)
        ]
        self.refuse_far(table.sheet, table.head_row, numbers)
        nothing: Mapping[int, SheetCell] = {}
        for n, row in enumerate(range(table.head_row + 1, max(numbers, default=0) + 1)):
            cells = sheet.get(row, nothing)
            values: dict[str, Value] = {each.name: None for each in given}
            table.rows.append(values)
            for column, number in columns:
                cell = cells.get(number)
                if cell is not None:
                    place = (table.sheet, row, number)
                    values[column.name] = self.value(table, n, column, cell, place)
        while table.rows and table.is_blank(len(table.rows) - 1):
            table.rows.pop()

    def refuse_far(self, sheet: str, head: int, rows: Iterable[int]) -> None:
        """A row typed at the end of the sheet would have to be written with all above it.

        Raises RefusedError.
        """
        before = head
        for row in sorted(rows):
            if row - before > _FAR:
                raise RefusedError(
                    f"row {row:,} of {sheet} stands {row - before:,} rows below the one before;"
                    " move it up, or delete it"
                )
            before = row

    def value(
        self, table: TypedTable, row: int, column: Column, cell: SheetCell, place: Place
    ) -> Value:
        raw = cell.value
        if cell.data_type == "f":
            table.formulas[row, column.name] = formula_text(raw)
        try:
            return self.understood(raw, cell, column.look, place)
        except NotUnderstoodError as error:
            waits = isinstance(error, NoValueError)
            is_word = column.look.kind is Kind.TEXT
            why = str(error)
            if (bare := without_marks(raw)) != raw:
                why = self.why_not(bare, column.look) or why
            table.stray[row, column.name] = Stray(place, bare, why, waits, is_word)
            return None

    def why_not(self, raw: object, look: Look) -> str:
        """Say why a value cannot be understood; nothing where it can."""
        try:
            understand(raw, look, self.units)
        except NotUnderstoodError as error:
            return str(error)
        return ""

    def understood(self, raw: object, cell: SheetCell, look: Look, place: Place) -> Value:
        if cell.data_type == "f":
            raw = cell_at(sheet_named(self.typed.cached, place[0]), *place[1:]).value
            if raw is None:
                raise NoValueError(
                    "the formula has no value yet; open and save the workbook in a spreadsheet"
                    " program"
                )
        if cell.data_type == "e" or (raw in ERROR_CODES and look.kind is not Kind.TEXT):
            raise NotUnderstoodError("an error stands there; type a value")
        if isinstance(raw, str) and look.kind is Kind.TEXT and raw.strip() not in (raw, ""):
            self.typed.trimmed.append(place)
        return understand(raw, look, self.units)

    def line(self, name: str, cell: LineCell, place: Place) -> None:
        """Reads a single given value."""
        found = self.cells.of(place[0]).get(place[1], {}).get(place[2])
        values = self.typed.lines.setdefault(name, {})
        values[cell.name] = None
        if found is None:
            return
        if found.data_type == "f":
            self.typed.line_formulas[name, cell.name] = formula_text(found.value)
        try:
            values[cell.name] = self.understood(found.value, found, cell.look, place)
        except NotUnderstoodError as error:
            self.typed.line_strays[name, cell.name] = Stray(place, found.value, str(error))
