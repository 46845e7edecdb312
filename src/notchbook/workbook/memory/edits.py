"""The book as found beside the book as written: cell for cell, wherever the cells were moved."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.workbook.file.raw_cells import Cell, cells_by_place, sheet_of
from notchbook.workbook.layout.anchor_names import SHEET_ANCHOR, Place
from notchbook.workbook.layout.layout import STATE_ROW, quoted
from notchbook.workbook.memory.alignment import align
from notchbook.workbook.memory.book_copy import BookCopy, ColumnCopy, SheetCopy
from notchbook.workbook.memory.contents import (
    Content,
    Look,
    Rules,
    comparable,
    content_of,
    formula_text,
    is_rule,
)

_HEAD = "_head"  # ends the anchor of a table as a whole


@dataclass(frozen=True)
class Edit:
    """A cell of ours that holds something else than was written there."""

    cell: Cell
    then: Content
    now: Content


@dataclass
class Block:
    """A table, or lines, on a sheet: the columns and rows found, by those written."""

    sheet: Worksheet
    copy: SheetCopy
    head: int
    then_head: int
    columns: dict[int, int] = field(default_factory=dict)
    lines: dict[int, int] = field(default_factory=dict)  # known rows, where it is lines
    _looks: dict[int, Sequence[Look]] = field(default_factory=dict)

    def covers(self, row: int, column: int) -> bool:
        """Tell whether a cell stands in it, or above it."""
        inside = row > STATE_ROW and column in self.columns
        return inside and (not self.lines or row <= self._last_line)

    @cached_property
    def _last_line(self) -> int:
        return max(self.lines)

    def row(self, row: int) -> int | None:
        """Return the row as it was written; None for one that the maker put in."""
        if row <= self.head:
            return row - self.head + self.then_head
        return self.lines.get(row) if self.lines else self._rows.get(row)

    def rule(self, column: int) -> Content:
        """Return the formula that a column of a table had in all of its rows."""
        return None if self.lines else self._rules.get(column)

    def looks(self, column: int) -> Sequence[Look]:
        """Return the looks that cells of a column below the header had, the first row's first."""
        if column not in self._looks:
            written = self.copy.columns.get(self.columns[column])
            below = [] if written is None else written.looks[self.then_head + 1 - written.first :]
            self._looks[column] = [*dict.fromkeys(each for each in below if each is not None)]
        return self._looks[column]

    @cached_property
    def _rules(self) -> dict[int, Content]:
        found = {}
        for column, then in self.columns.items():
            written = self.copy.columns.get(then)
            first = written.content(self.then_head + 1) if written is not None else None
            if is_rule(first):
                found[column] = first
        return found

    @cached_property
    def _rows(self) -> dict[int, int]:
        """Rows of a table by what stands in those of its columns that are no formulas."""
        told = [(now, then) for now, then in self.columns.items() if now not in self._rules]
        written = [self.copy.columns.get(then) or ColumnCopy(1) for _, then in told]
        count = max((len(column.below(self.then_head)) for column in written), default=0)
        then_rows = [
            [comparable(column.content(self.then_head + 1 + n)) for column in written]
            for n in range(count)
        ]
        places = {column: n for n, (column, _) in enumerate(told)}
        rows: dict[int, list[str]] = {}
        for (row, column), cell in cells_by_place(self.sheet).items():
            if row > self.head and column in places and cell.value is not None:
                content = content_of(cell.value, cell.data_type == "f")
                rows.setdefault(row, [""] * len(told))[places[column]] = comparable(content)
        nothing = [""] * len(told)
        now_rows = [rows.get(n, nothing) for n in range(self.head + 1, max(rows, default=0) + 1)]
        return {
            self.head + 1 + now: self.then_head + 1 + then
            for now, then in align(then_rows, now_rows).items()
        }


class SheetAlignment:
    """A sheet as found, and each of its places as it was written."""

    def __init__(self, sheet: Worksheet, copy: SheetCopy, blocks: Iterable[Block]) -> None:
        self.sheet, self.copy, self.blocks = sheet, copy, list(blocks)

    def block(self, row: int, column: int) -> Block | None:
        """Return the block that a cell stands in."""
        for each in self.blocks:
            if each.covers(row, column):
                return each
        return None

    def place(self, row: int, column: int) -> tuple[int, int] | None:
        """Return a place as it was written; None for one in a row or column of the maker's."""
        block = self.block(row, column)
        if block is not None:
            at = block.row(row)
            return None if at is None else (at, block.columns[column])
        if self.blocks:
            return (row, column) if row <= STATE_ROW else None
        at = self._rows.get(row) if row > STATE_ROW else row
        return None if at is None else (at, column)

    def then(self, row: int, column: int) -> Content:
        """Return what was written at a place as found."""
        block = self.block(row, column)
        rule = block.rule(column) if block is not None and row > block.head else None
        if rule is not None:
            return rule
        at = self.place(row, column)
        return None if at is None else self.copy.content(*at)

    def is_ours(self, row: int, column: int) -> bool:
        """Tell whether a cell of ours was written there, or belongs there: in a row of a table."""
        block = self.block(row, column)
        if block is not None and not block.lines and row > block.head:
            return True
        at = self.place(row, column)
        return at is not None and self.copy.is_written(*at)

    def looks(self, row: int, column: int) -> Sequence[Look]:
        """Return how a cell may look as written: of a table, all looks of its column."""
        block = self.block(row, column)
        if block is not None and not block.lines:
            return block.looks(column)
        at = self.place(row, column)
        written = self.copy.columns.get(at[1]) if at is not None else None
        look = written.look(at[0]) if at is not None and written is not None else None
        return (look,) if look is not None else ()

    def width(self, column: int) -> float | None:
        """Return the width that a column was given."""
        return self.copy.widths.get(self._column(column))

    def is_folded(self, column: int) -> bool:
        """Tell whether a column was put into an outline, and that closed."""
        return self._column(column) in (self.copy.folded or ())

    def is_row_folded(self, row: int) -> bool:
        """Tell whether a row was put into an outline, and that closed."""
        at = self.place(row, min(self.blocks[0].columns)) if self.blocks else (row, 1)
        return at is not None and at[0] in (self.copy.folded_rows or ())

    def _column(self, column: int) -> int:
        """Return the number that a column had."""
        return next(
            (each.columns[column] for each in self.blocks if column in each.columns), column
        )

    def height(self, row: int) -> float:
        """Return the height that a row was given, 0 for none."""
        heights = self.copy.heights
        if not self.blocks or row in heights:
            return heights.get(row, 0.0)
        at = self.place(row, min(self.blocks[0].columns))
        return heights.get(at[0], 0.0) if at is not None else 0.0

    @cached_property
    def _rows(self) -> dict[int, int]:
        """Rows of a sheet without anchors, by all that stands in the columns that were written."""
        columns = list(self.copy.columns)
        then = [
            [comparable(self.copy.content(row, column)) for column in columns]
            for row in range(1, self.copy.last_row + 1)
        ]
        cells = cells_by_place(self.sheet)
        last = max((row for row, column in cells if column in self.copy.columns), default=0)
        now = [[_comparable(cells.get((row, at))) for at in columns] for row in range(1, last + 1)]
        blank = {n: n for n in range(min(len(then), len(now))) if then[n] == now[n]}
        return {1 + n: 1 + at for n, at in {**blank, **align(then, now)}.items()}


class WrittenBook:
    """The whole book as found, beside the copy of what was written."""

    def __init__(self, copy: BookCopy, book: Workbook, anchors: Mapping[str, Place]) -> None:
        self.copy = copy
        titles = dict(_titles(copy, book, anchors))
        blocks = _blocks(copy, book, anchors)
        self.sheets = {
            title: SheetAlignment(book[title], copy.sheets[then], blocks.get(title, ()))
            for title, then in titles.items()
        }
        self._names = {
            f"{written}!": f"{quoted(then)}!"
            for title, then in titles.items()
            for written in (title, quoted(title), f"'{title}'")
            if title != then
        }
        self._rules = Rules()
        self._counted: dict[tuple[str, int], Counter[str]] = {}

    def then(self, cell: Cell) -> Content:
        """Return what was written in a cell as found."""
        sheet = self.sheets.get(sheet_of(cell))
        return None if sheet is None else sheet.then(cell.row, cell.column)

    def looks(self, cell: Cell) -> Sequence[Look]:
        """Return how a cell may have looked when it was written; nothing where it was not."""
        sheet = self.sheets.get(sheet_of(cell))
        return () if sheet is None else sheet.looks(cell.row, cell.column)

    def wrote(self, value: object) -> bool:
        """Tell whether a value is one of the words that were written anywhere in the book."""
        return isinstance(value, str) and value.strip() in self._words

    @cached_property
    def _words(self) -> frozenset[str]:
        return frozenset(word for sheet in self.copy.sheets.values() for word in sheet.words)

    def now(self, cell: Cell) -> Content:
        """Return what a cell holds, sheets called in formulas as they were when it was written."""
        if cell.data_type != "f":
            return content_of(cell.value, False)
        text = formula_text(cell.value)
        for now, then in self._names.items():
            text = text.replace(now, then)
        return self._rules.of(text, cell.row, cell.column)

    def edit(self, cell: Cell) -> Edit | None:
        """Return what the maker put into a cell of ours; None where it is as it was written.

        A value that only moved is no edit: whoever sorts a part of a table moves all of its values.
        """
        then, now = self.then(cell), self.now(cell)
        if comparable(then) == comparable(now) or self._moved(cell, now):
            return None
        return Edit(cell, then, now)

    def _moved(self, cell: Cell, now: Content) -> bool:
        """Tell whether the cells of a column hold a value no more often than it was written."""
        sheet = self.sheets.get(sheet_of(cell))
        block = sheet.block(cell.row, cell.column) if sheet is not None else None
        if sheet is None or block is None or cell.row <= block.head or block.lines:
            return False
        word, at = comparable(now), block.columns[cell.column]
        written = sheet.copy.columns.get(at)
        then = [] if written is None else [*map(comparable, written.below(block.then_head))]
        return 0 < self._count(cell, block)[word] <= then.count(word)

    def _count(self, cell: Cell, block: Block) -> Counter[str]:
        """Count how often each value stands in the column of a cell."""
        key = (sheet_of(cell), cell.column)
        if key not in self._counted:
            self._counted[key] = Counter(
                _comparable(each)
                for (row, column), each in cells_by_place(cell.parent).items()
                if column == cell.column and row > block.head
            )
        return self._counted[key]


def _comparable(cell: Cell | None) -> str:
    return "" if cell is None else comparable(content_of(cell.value, cell.data_type == "f"))


def _titles(
    copy: BookCopy, book: Workbook, anchors: Mapping[str, Place]
) -> Iterable[tuple[str, str]]:
    """Sheets of ours as they are called, with their names when they were written."""
    names = list(copy.sheets)
    for anchor, place in anchors.items():
        then = copy.names.get(anchor)
        if then is not None and then[0] in copy.sheets and place[0] in book.sheetnames:
            yield place[0], then[0]
        elif anchor.startswith(SHEET_ANCHOR) and place[0] in names:
            yield place[0], place[0]


def _blocks(copy: BookCopy, book: Workbook, anchors: Mapping[str, Place]) -> dict[str, list[Block]]:
    """Tables and lines by the sheet on which they are found."""
    tables = [name.removesuffix(_HEAD) + "_" for name in copy.names if name.endswith(_HEAD)]
    found: dict[str, dict[str, list[tuple[Place, Place]]]] = {}
    for name, then in copy.names.items():
        now = anchors.get(name)
        if now is None or name.startswith(SHEET_ANCHOR) or then[0] not in copy.sheets:
            continue
        table = max((each for each in tables if name.startswith(each)), key=len, default="lines")
        if name != table + _HEAD[1:]:
            found.setdefault(now[0], {}).setdefault(table, []).append((now, then))
    return {
        title: [
            _block(book[title], copy.sheets[pairs[0][1][0]], pairs, table == "lines")
            for table, pairs in tables_here.items()
        ]
        for title, tables_here in found.items()
        if title in book.sheetnames
    }


def _block(
    sheet: Worksheet, copy: SheetCopy, pairs: list[tuple[Place, Place]], lines: bool
) -> Block:
    (_, _, column), (_, _, then_column) = pairs[0]
    if not lines:
        heads = Counter((now[1], then[1]) for now, then in pairs)
        (head, then_head), _ = heads.most_common(1)[0]
        columns = {now[2]: then[2] for now, then in pairs if now[1] == head}
        return Block(sheet, copy, head, then_head, columns)
    known = {now[1]: then[1] for now, then in pairs}
    first = min(known)
    rows, above = {}, first
    for row in range(first, max(known) + 1):
        above = row if row in known else above  # headings and the like go with the line above
        rows[row] = known[above] + row - above
    head = first - 1
    columns = {then + column - then_column: then for then in copy.columns}
    return Block(sheet, copy, head, known[first] - 1, columns, rows)
