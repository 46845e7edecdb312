"""Where everything stands in the workbook, and formulas printed for those places."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import groupby

from openpyxl.utils import get_column_letter

from notchbook.base.picture import Picture
from notchbook.base.picture_page import PictureRow, in_rows
from notchbook.language.expressions import Expression
from notchbook.language.formula import ROW, formula
from notchbook.language.kinds import kind_of
from notchbook.language.value_kinds import Kind
from notchbook.sheets.kit.calculate import Filled, Target
from notchbook.sheets.kit.columns import Column, Role
from notchbook.sheets.kit.declare import Book, Drawings, LineCell, LineRow, Lines, Sheet, Table
from notchbook.sheets.kit.sheet_names import title_pieces

TITLE_ROW, SAYS_ROW, STATE_ROW, HEAD_ROW = 1, 2, 3, 6
_NO_SHEETS = ("R", "C", "RC", "TRUE", "FALSE")  # words that mean something else in formulas


def quoted(sheet: str) -> str:
    """A sheet's name as formulas write it: in quotes, unless nothing else could be meant."""
    plain = sheet.isascii() and sheet.isalpha() and sheet.upper() not in _NO_SHEETS
    return sheet if plain else "'" + sheet.replace("'", "''") + "'"


@dataclass(frozen=True)
class TableSpot:
    """A table on a sheet: its header row, first column, filled and ready rows, and reach."""

    table: Table
    sheet: str
    head_row: int
    first_column: int
    filled: int
    ready: int
    capacity: int
    rows: Sequence[int] = ()  # the frame's rows shown here, where a table is split over sheets

    @cached_property
    def columns(self) -> tuple[Column, ...]:
        """The columns drawn here; the split column stands in the sheet's title instead."""
        return tuple(each for each in self.table.drawn if each.name != self.table.split)

    @cached_property
    def places(self) -> tuple[int, ...]:
        """The number of each column on the sheet."""
        first = self.first_column
        return self.table.grid or tuple(range(first, first + len(self.columns)))

    @cached_property
    def letters(self) -> dict[str, str]:
        """The column letter of each column."""
        return {
            column.name: get_column_letter(place)
            for column, place in zip(self.columns, self.places, strict=True)
        }

    @cached_property
    def folded(self) -> tuple[str, ...]:
        """The letters of the columns that are folded away."""
        return tuple(self.letters[each.name] for each in self.columns if self.table.is_folded(each))

    @property
    def title(self) -> str:
        """What stands above it: its name, and where nothing can be typed, that it has no rows."""
        is_empty = not self.filled and self.table.row is None
        return self.table.name + (": nothing yet" if is_empty else "")

    @property
    def above_row(self) -> int:
        """The row above the header, of names and of numbers that belong to a column."""
        return self.head_row - 1

    @property
    def first_row(self) -> int:
        """The first row below the header."""
        return self.head_row + 1

    @property
    def last_row(self) -> int:
        """The last row that is ready, filled or not."""
        return self.head_row + self.ready

    def area(self, name: str, whole: bool = True) -> str:
        """A column's range from the header (or first row) over the capacity."""
        letter = self.letters[name]
        first = self.head_row if whole else self.first_row
        last = self.head_row + self.capacity
        return f"{quoted(self.sheet)}!${letter}${first}:${letter}${last}"


@dataclass(frozen=True)
class LinesSpot:
    """Lines on a sheet: the columns of mark, label, cells and note, and each cell's address."""

    lines: Lines
    sheet: str
    head_row: int

    @cached_property
    def marked(self) -> bool:
        """Whether any line carries a mark."""
        return any(row.mark for row in self.lines.rows)

    @property
    def label_column(self) -> int:
        """The column of the labels."""
        return 2 if self.marked else 1

    @cached_property
    def cell_columns(self) -> int:
        """How many columns of cells there are."""
        return max((len(row.cells) for row in self.lines.rows), default=1)

    @property
    def note_column(self) -> int:
        """The column of the notes."""
        return self.label_column + self.cell_columns + 1

    @cached_property
    def addresses(self) -> dict[str, tuple[int, int]]:
        """The row and column of each cell by its name."""
        return {
            cell.name: (row_number, self.label_column + 1 + n)
            for row_number, row in self.placed()
            for n, cell in enumerate(row.cells)
        }

    def placed(self) -> Iterator[tuple[int, LineRow]]:
        """The lines with their row numbers."""
        yield from enumerate(self.lines.rows, self.head_row + 1)


@dataclass
class BookLayout:
    """All spots of a workbook, sheet by sheet in order."""

    book: Book
    units: Mapping[str, int]
    tables: dict[str, TableSpot] = field(default_factory=dict)
    lines: dict[str, LinesSpot] = field(default_factory=dict)
    split: list[TableSpot] = field(default_factory=list)
    pieces: dict[str, str] = field(default_factory=dict)  # shop sheets by their projects
    pictures: dict[str, list[tuple[int, PictureRow]]] = field(default_factory=dict)
    sheets: list[tuple[str, Sheet]] = field(default_factory=list)

    def last_line(self, sheet: str) -> int:
        """The last row of the lines on a sheet, 0 where there are none."""
        blocks = (block for block in self.lines.values() if block.sheet == sheet)
        return max((block.head_row + len(block.lines.rows) for block in blocks), default=0)

    def spots(self, sheet: str) -> Iterator[TableSpot]:
        """The tables on a sheet."""
        for spot in (*self.tables.values(), *self._split_by_sheet.get(sheet, ())):
            if spot.sheet == sheet:
                yield spot

    def lines_on(self, sheet: str) -> Iterator[LinesSpot]:
        """The lines on a sheet."""
        return (spot for spot in self.lines.values() if spot.sheet == sheet)

    @cached_property
    def _split_by_sheet(self) -> dict[str, list[TableSpot]]:
        found: dict[str, list[TableSpot]] = {}
        for spot in self.split:
            found.setdefault(spot.sheet, []).append(spot)
        return found

    def place_of(self, target: Target) -> str:
        """The place that a link leads to, as formulas write it."""
        if target.row is not None:
            spot = self.tables[target.owner]
            return f"{quoted(spot.sheet)}!{spot.letters[target.name]}{spot.first_row + target.row}"
        if target.owner in self.lines and target.name in self.lines[target.owner].addresses:
            lines = self.lines[target.owner]
            row, column = lines.addresses[target.name]
            return f"{quoted(lines.sheet)}!{get_column_letter(column)}{row}"
        return f"{quoted(target.owner)}!{target.name}"

    def column_formula(self, spot: TableSpot, column: Column) -> str | None:
        """A column's formula with ROW for the row number; None where it is not computed."""
        rule = spot.table.rule(column)
        return None if rule is None else formula(rule, RowPlaces(self, spot, column))

    def above_formula(self, spot: TableSpot, column: Column) -> str | None:
        """The formula above a column's header."""
        return None if column.above is None else formula(column.above, LinePlaces(self))

    def line_formula(self, cell: LineCell) -> str | None:
        """A line's formula; None where it is typed or planned."""
        return None if cell.rule is None else formula(cell.rule, LinePlaces(self))

    def free_formula(self, rule: Expression) -> str:
        """A formula that belongs to no line, such as the state of the checks on top of a sheet."""
        return formula(rule, LinePlaces(self))


class LinePlaces:
    """Places as a formula without a row sees them."""

    def __init__(self, layout: BookLayout) -> None:
        self.layout = layout

    def own(self, name: str) -> str:
        """Lines have no row."""
        raise LookupError(f"a line has no column {name!r}")

    def above(self) -> str:
        """Lines have no header."""
        raise LookupError("a line has no header")

    def head(self) -> str:
        """Lines have no header."""
        raise LookupError("a line has no header")

    def column(self, table: str, name: str) -> str:
        """The range of a column over its capacity."""
        return self.layout.tables[table].area(name)

    def line(self, sheet: str, name: str) -> str:
        """The cell of a line."""
        spot = self.layout.lines[sheet]
        row, column = spot.addresses[name]
        return f"{quoted(spot.sheet)}!${get_column_letter(column)}${row}"

    def lines(self, sheet: str, names: Sequence[str]) -> str:
        """Lines as ranges, neighbours below one another joined."""
        spot = self.layout.lines[sheet]
        runs: list[list[tuple[int, int]]] = []
        for row, column in sorted(spot.addresses[name] for name in names):
            if runs and runs[-1][-1] == (row - 1, column):
                runs[-1].append((row, column))
            else:
                runs.append([(row, column)])
        texts = []
        for run in runs:
            letter = get_column_letter(run[0][1])
            first, last = run[0][0], run[-1][0]
            area = f"${letter}${first}" + ("" if first == last else f":${letter}${last}")
            texts.append(f"{quoted(spot.sheet)}!{area}")
        return ",".join(texts)

    def may_be_words(self, _: str) -> bool:
        """Lines have no row."""
        return False

    def is_text(self, node: Expression) -> bool:
        """Whether the node gives text."""
        return kind_of(node, None, self.layout.book) is Kind.TEXT

    def unit(self, name: str) -> int:
        """A conversion in the shop's units."""
        return self.layout.units[name]


class RowPlaces(LinePlaces):
    """Places as a formula in a table's row sees them."""

    def __init__(self, layout: BookLayout, spot: TableSpot, column: Column) -> None:
        super().__init__(layout)
        self.spot = spot
        self.named = column
        row = spot.table.row
        self.is_ledger = row is not None and any(each.is_ledger for each in row.written)

    def own(self, name: str) -> str:
        """The cell of a column in the same row, or the sheet's title for the split column."""
        if name == self.spot.table.split:
            return f"$A${TITLE_ROW}"
        return f"${self.spot.letters[name]}{ROW}"

    def may_be_words(self, name: str) -> bool:
        """Whether it is a number typed into a ledger, where no compile refuses words."""
        column = self.spot.table.by_name[name]
        return self.is_ledger and column.role is Role.GIVEN and column.look.kind is Kind.NUMBER

    def above(self) -> str:
        """The cell above this column's header."""
        return f"{self.spot.letters[self.named.name]}${self.spot.above_row}"

    def head(self) -> str:
        """The header cell of this column."""
        return f"${self.spot.letters[self.named.name]}${self.spot.head_row}"

    def is_text(self, node: Expression) -> bool:
        """Whether the node gives text."""
        return kind_of(node, self.spot.table.name, self.layout.book) is Kind.TEXT


def arrange(
    book: Book,
    filled: Filled,
    units: Mapping[str, int],
    pictures: Mapping[str, Sequence[Picture]] | None = None,
) -> BookLayout:
    """A place for every table, line and picture; `pictures` by the sheet they belong on."""
    layout = BookLayout(book, units)
    for sheet in book.sheets:
        if any(table.split for table in sheet.tables):
            _arrange_split(layout, sheet, filled, pictures or {})
        else:
            _arrange_sheet(layout, sheet, filled)
    return layout


def count_ready_rows(block: Table, rows: int) -> int:
    """Return how many rows of a table are written: those that it has, and blank ones to type in."""
    return max(rows + block.spare, 1)


def _arrange_sheet(layout: BookLayout, sheet: Sheet, filled: Filled) -> None:
    layout.sheets.append((sheet.name, sheet))
    head, column = HEAD_ROW, 1
    for block in sheet.blocks:
        if isinstance(block, Lines):
            spot = LinesSpot(_shown(block, layout.book, filled), sheet.name, head)
            layout.lines[block.name] = spot
            column = spot.note_column + 2
        if not isinstance(block, Table):
            continue
        rows = len(filled.tables[block.name])
        ready = count_ready_rows(block, rows)
        reach = max(block.capacity, 2 * rows)
        layout.tables[block.name] = TableSpot(block, sheet.name, head, column, rows, ready, reach)
        column += len(block.columns) + 1


def _shown(lines: Lines, book: Book, filled: Filled) -> Lines:
    """The lines without optional rows that say nothing, and without headings over no row."""
    rows: list[LineRow] = []
    for row in lines.rows:
        if row.heading and rows and rows[-1].heading:
            rows.pop()
        if not (row.optional and _says_nothing(row, lines.name, book, filled)):
            rows.append(row)
    if rows and rows[-1].heading:
        rows.pop()
    return replace(lines, rows=tuple(_folded_last(rows, lines.name, filled)))


def _folded_last(rows: Iterable[LineRow], owner: str, filled: Filled) -> Iterator[LineRow]:
    """The lines, those that fold now behind the others under their heading."""
    for _, group in groupby(rows, key=lambda row: bool(row.folds_at_0)):
        yield from sorted(
            (
                replace(row, folded=True)
                if row.folds_at_0 and filled.lines[owner, row.folds_at_0] == 0
                else row
                for row in group
            ),
            key=lambda row: bool(row.folds_at_0) and row.folded,
        )


def _says_nothing(row: LineRow, owner: str, book: Book, filled: Filled) -> bool:
    if row.cells:
        return filled.lines[owner, row.cells[0].name] == ""
    tables = [table for sheet in book.sheets if sheet.name == row.link for table in sheet.tables]
    return bool(tables) and all(filled.tables[table.name].empty for table in tables)


def _arrange_split(
    layout: BookLayout, sheet: Sheet, filled: Filled, pictures: Mapping[str, Sequence[Picture]]
) -> None:
    """One sheet for each value of the split column, its tables one below another."""
    groups: dict[str, dict[str, list[int]]] = {}
    for table in sheet.tables:
        keys = filled.tables[table.name][table.split].tolist()
        for row, key in enumerate(keys):
            groups.setdefault(key, {}).setdefault(table.name, []).append(row)
    titles = title_pieces(groups, [each.name for each in layout.book.sheets])
    layout.pieces |= titles
    for key, by_table in groups.items():
        title = titles[key]
        layout.sheets.append((title, sheet))
        head = HEAD_ROW - 1
        for block in sheet.blocks:
            if isinstance(block, Drawings):
                rows = in_rows(pictures.get(key, ()))
                layout.pictures[title] = list(enumerate(rows, head))
                head += len(rows) + 1 if rows else 0
            elif isinstance(block, Table) and (at := by_table.get(block.name)):
                count = len(at)
                layout.split.append(TableSpot(block, title, head, 1, count, count, count, at))
                head += count + 2
