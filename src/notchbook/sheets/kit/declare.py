"""What a sheet is made of: tables with given, planned and computed columns, and named lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property
from typing import ClassVar

from pydantic import BaseModel, ConfigDict

from notchbook.language.expressions import (
    Expression,
    If,
    IsBlank,
    Kind,
    Literal,
    Operand,
    Own,
    as_node,
)
from notchbook.language.kinds import RuleError
from notchbook.language.order import Name, in_order, needs
from notchbook.sheets.kit.charts import Chart


class Role(Enum):
    """Who fills a cell; the word stands in the header's note."""

    GIVEN = "typed by you"
    COMPUTED = "worked out"
    PLANNED = "planned at compile"
    HANDED = "as handed over"


@dataclass(frozen=True)
class Look:
    """How a value is shown: its kind, the name of its number format, its width in letters."""

    kind: Kind
    format: str
    width: float
    wrap: bool = False
    links: bool = False  # to the sheet that is called so


NAME = Look(Kind.TEXT, "text", 24)
LINK = Look(Kind.TEXT, "text", 24, links=True)
WORD = Look(Kind.TEXT, "text", 13)
LABEL = Look(Kind.TEXT, "text", 18)
TEXT = Look(Kind.TEXT, "text", 38, wrap=True)
LINE = Look(Kind.TEXT, "line", 60)  # words that run on over the empty cells beside them
BOX = Look(Kind.TEXT, "box", 5)  # an empty box to tick with a pencil
LENGTH = Look(Kind.NUMBER, "length", 10.5)
LENGTH_OR_NONE = Look(Kind.NUMBER, "length or none", 10.5)  # shows no 0
EXACT_LENGTH = Look(Kind.NUMBER, "exact length", 10.5)  # decimals: no tape need show it
MONEY = Look(Kind.NUMBER, "money", 11.5)
CASH = Look(Kind.NUMBER, "cash", 14.5)  # money that names its currency in each cell
RATE = Look(Kind.NUMBER, "rate", 11.5)  # money for something small: a use, a unit of length
PERCENT = Look(Kind.NUMBER, "percent", 9.5)
COUNT = Look(Kind.NUMBER, "count", 9.5)
NUMBER_OF = Look(Kind.NUMBER, "count or none", 9.5)  # the number of a row: shows no 0
AMOUNT = Look(Kind.NUMBER, "amount", 10.5)
VOLUME = Look(Kind.NUMBER, "volume", 11)
MINUTES = Look(Kind.NUMBER, "minutes", 10.5)
FACTOR = Look(Kind.NUMBER, "factor", 9.5)
DATE = Look(Kind.DATE, "date", 12)
YEAR = Look(Kind.NUMBER, "year", 8)
ANGLE = Look(Kind.NUMBER, "angle", 9)
TANGENT = Look(Kind.NUMBER, "fine or none", 9)
CHECKSUM = Look(Kind.NUMBER, "amount", 12)


class Row(BaseModel):
    """A row of given cells: what the maker states."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)
    key: ClassVar[tuple[str, ...]] = ()


@dataclass(frozen=True)
class Given:
    """Beside a row model's field: how its column is headed, shown and explained.

    `choices` names the words to pick from, or `Table.column` for a list of keys; `strict` lists
    admit nothing else.
    """

    header: str
    look: Look
    note: str
    choices: tuple[str, ...] | str = ()
    strict: bool = False


@dataclass(frozen=True)
class Column:
    """One column of a table; `rule` only where it is computed."""

    name: str
    header: str
    look: Look
    note: str
    role: Role
    rule: Expression | None = None
    above: Expression | None = None
    choices: tuple[str, ...] | str = ()
    strict: bool = False
    required: bool = False


def computed(
    name: str, header: str, look: Look, rule: Operand, note: str = "", above: Operand | None = None
) -> Column:
    """A worked-out column; its rule in words is added to its note."""
    stands_above = None if above is None else as_node(above)
    return Column(name, header, look, note, Role.COMPUTED, as_node(rule), stands_above)


def planned(name: str, header: str, look: Look, note: str) -> Column:
    """A column that holds what was found at compile."""
    return Column(name, header, look, note, Role.PLANNED)


def given_columns(row: type[Row]) -> tuple[Column, ...]:
    """The given columns of a row model, from the annotations of its fields."""
    columns = []
    for name, info in row.model_fields.items():
        (given,) = (each for each in info.metadata if isinstance(each, Given))
        columns.append(
            Column(
                name,
                given.header,
                given.look,
                given.note,
                Role.GIVEN,
                choices=given.choices,
                strict=given.strict,
                required=info.is_required(),
            )
        )
    return tuple(columns)


@dataclass(frozen=True)
class Table:
    """One table: a header row, one rule a column, and blank rows that stay silent.

    `silent` names the given column without which a row says nothing; `spare` counts the blank
    rows made ready below the last one; `capacity` is the least number of rows that other sheets'
    formulas reach over. `split` names the column by which the rows are laid out over several
    sheets, one sheet a value; `grid` then says in which columns of the sheet the others stand,
    counted from 1, so that tables below one another share their widths. `prints_to` names the last
    column that is printed; those behind it serve formulas and the next compile.
    """

    name: str
    columns: tuple[Column, ...]
    row: type[Row] | None = None
    silent: str | None = None
    spare: int = 0
    capacity: int = 1_000
    split: str | None = None
    grid: tuple[int, ...] = ()
    prints_to: str | None = None

    @cached_property
    def by_name(self) -> dict[str, Column]:
        """The columns by their names."""
        return {column.name: column for column in self.columns}

    def rule(self, column: Column) -> Expression | None:
        """The column's rule, silent in rows without their `silent` column."""
        if column.rule is None or self.silent is None:
            return column.rule
        nothing = Literal("" if column.look.kind is Kind.TEXT else 0)
        return If(IsBlank(Own(self.silent)), nothing, column.rule)


def table(
    name: str,
    row: type[Row] | None,
    *columns: Column,
    silent: str | None = None,
    spare: int = 0,
    capacity: int = 1_000,
    split: str | None = None,
    grid: tuple[int, ...] = (),
    prints_to: str | None = None,
) -> Table:
    """A table from its row model and the planned and computed columns that follow it."""
    given = given_columns(row) if row else ()
    return Table(name, given + columns, row, silent, spare, capacity, split, grid, prints_to)


@dataclass(frozen=True)
class Drawings:
    """A place between tables for the drawings of a sheet."""

    name: str


@dataclass(frozen=True)
class Cell:
    """A single named value; without a rule it is typed, or planned where it says so."""

    name: str
    look: Look
    rule: Expression | None = None
    role: Role = Role.COMPUTED
    choices: tuple[str, ...] | str = ()
    strict: bool = False


@dataclass(frozen=True)
class LineRow:
    """A row of a sheet of lines: a mark (such as a form's line number), a label, cells, a note."""

    label: str
    cells: tuple[Cell, ...] = ()
    note: str = ""
    mark: str = ""
    link: str | None = None
    heading: bool = False


@dataclass(frozen=True)
class Lines:
    """Named values drawn downwards; `heads` head the columns."""

    name: str
    heads: tuple[str, ...]
    rows: tuple[LineRow, ...]

    @cached_property
    def cells(self) -> dict[str, Cell]:
        """The cells by their names."""
        return {cell.name: cell for row in self.rows for cell in row.cells}


def line(
    name: str, label: str, look: Look, rule: Operand, note: str = "", mark: str = ""
) -> LineRow:
    """A worked-out line."""
    return LineRow(label, (Cell(name, look, as_node(rule)),), note, mark)


def typed(name: str, label: str, given: Given, mark: str = "") -> LineRow:
    """A line that the maker types."""
    cell = Cell(name, given.look, None, Role.GIVEN, given.choices, given.strict)
    return LineRow(label, (cell,), given.note, mark)


def heading(label: str) -> LineRow:
    """A heading between lines."""
    return LineRow(label, heading=True)


@dataclass(frozen=True)
class Sheet:
    """A sheet: its name, what it says on top, and the tables and lines on it, left to right."""

    name: str
    instruction: str
    blocks: tuple[Table | Lines | Drawings, ...]
    group: str  # the colour of its tab: plan, price, ledger, books, output
    takes_rows: bool = False
    landscape: bool = True
    grid: tuple[float, ...] = ()  # widths, in letters, of the columns that a printed page holds
    title: str = ""  # in place of its name; may hold {shop} and {year}
    prints: str = ""  # the only table that is printed
    charts: tuple[Chart, ...] = ()  # in a band above the tables and lines

    @property
    def tables(self) -> Iterator[Table]:
        """The tables on the sheet."""
        return (block for block in self.blocks if isinstance(block, Table))


@dataclass(frozen=True)
class Book:
    """All sheets in their order, checked: every name a rule uses is known and fits its place."""

    sheets: tuple[Sheet, ...]
    tables: dict[str, Table] = field(init=False)
    lines: dict[str, Lines] = field(init=False)

    def __post_init__(self) -> None:
        blocks = [block for sheet in self.sheets for block in sheet.blocks]
        tables = {block.name: block for block in blocks if isinstance(block, Table)}
        lines = {block.name: block for block in blocks if isinstance(block, Lines)}
        object.__setattr__(self, "tables", tables)
        object.__setattr__(self, "lines", lines)

    @cached_property
    def needs(self) -> dict[Name, set[Name]]:
        """Every rule by its owner and name, and what it and the cell above its header read."""
        found = {}
        for owner, name, rule, has_rows in self.rules():
            found[owner, name] = needs(rule, owner if has_rows else None)
            above = self.tables[owner].by_name[name].above if has_rows else None
            if above is not None:
                found[owner, name] |= needs(above, None)
        return found

    @cached_property
    def in_order(self) -> list[tuple[Name, Expression]]:
        """Every rule after all that it needs.

        Raises RuleError for a circle.
        """
        rules = {(owner, name): rule for owner, name, rule, _ in self.rules()}
        return [(name, rules[name]) for name in in_order(self.needs)]

    def column_kind(self, table: str, column: str) -> Kind:
        """The kind of a column.

        Raises RuleError for an unknown one.
        """
        try:
            return self.tables[table].by_name[column].look.kind
        except KeyError:
            raise RuleError(f"there is no column {table}.{column}") from None

    def line_kind(self, sheet: str, line: str) -> Kind:
        """The kind of a line.

        Raises RuleError for an unknown one.
        """
        try:
            return self.lines[sheet].cells[line].look.kind
        except KeyError:
            raise RuleError(f"there is no line {sheet}.{line}") from None

    def rules(self) -> Iterator[tuple[str, str, Expression, bool]]:
        """Every rule: where it belongs, its name, the expression, whether it has rows."""
        for each in self.tables.values():
            for column in each.columns:
                rule = each.rule(column)
                if rule is not None:
                    yield each.name, column.name, rule, True
        for block in self.lines.values():
            for cell in block.cells.values():
                if cell.rule is not None:
                    yield block.name, cell.name, cell.rule, False
