"""What a sheet is made of: tables with given, planned and computed columns, and named lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, TypedDict, Unpack

from notchbook.base.problems import nearest
from notchbook.language.expressions import Expression, If, IsBlank, Literal, Operand, Own, as_node
from notchbook.language.kinds import RuleError
from notchbook.language.order import Name, in_order, needs
from notchbook.language.value_kinds import Kind
from notchbook.sheets.kit.charts import Chart
from notchbook.sheets.kit.columns import IN_UNITS, Column, Purpose, Role, Row, given_columns
from notchbook.sheets.kit.show import Look

if TYPE_CHECKING:
    from notchbook.sheets.kit.faults import Fault


@dataclass(frozen=True)
class Table:
    """One table: a header row, one rule a column, and blank rows that stay silent.

    `silent` names the given column without which a row says nothing; `spare` counts the blank
    rows made ready below the last one; `capacity` is the least number of rows that other sheets'
    formulas reach over. `split` names the column by which the rows are laid out over several
    sheets, one sheet a value; `grid` then says in which columns of the sheet the others stand,
    counted from 1, so that tables below one another share their widths. `leads` names the columns
    that stand first, as a maker asks for them. `prints_to` names the last column that is printed;
    left out, it is the last that is in sight. `workings` names the columns that only formulas and
    the next compile read, all others that are not typed are told; `details` names those of them
    that show how another comes about. Details and workings stand last, folded away.
    """

    name: str
    columns: tuple[Column, ...]
    row: type[Row] | None = None
    silent: str | None = None
    spare: int = 0
    capacity: int = 1_000
    split: str | None = None
    grid: tuple[int, ...] = ()
    leads: tuple[str, ...] = ()
    details: tuple[str, ...] = ()
    prints_to: str | None = None
    workings: tuple[str, ...] = ()

    def purpose(self, column: Column) -> Purpose:
        """Return what one of the columns is for."""
        if column.role is Role.GIVEN:
            return Purpose.TYPED
        return Purpose.WORKINGS if column.name in self.workings else Purpose.TOLD

    @cached_property
    def drawn(self) -> tuple[Column, ...]:
        """The columns from left to right: those that lead, the others, details, workings."""
        if self.grid:
            return self.columns
        first = [self.by_name[name] for name in self.leads if name in self.by_name]
        others = [each for each in self.columns if each.name not in self.leads]
        return (*first, *sorted(others, key=self._depth))

    def _depth(self, column: Column) -> int:
        return 2 if column.name in self.workings else int(column.name in self.details)

    def is_folded(self, column: Column) -> bool:
        """Tell whether a column is folded away."""
        return not self.grid and self._depth(column) > 0

    def is_quiet(self, column: Column) -> bool:
        """Tell whether a 0 is left out: nobody typed it, or a blank row may hold it."""
        return column.blank_is_none if column.role is Role.GIVEN else self.silent is not None

    @cached_property
    def printed(self) -> tuple[Column, ...]:
        """The columns that are printed: those on the left, up to the last that is to be."""
        told = [n for n, each in enumerate(self.drawn) if self._depth(each) == 0]
        end = told[-1] if told else len(self.drawn) - 1
        if self.prints_to is not None:
            end = self.drawn.index(self.by_name[self.prints_to])
        return self.drawn[: end + 1]

    @cached_property
    def by_name(self) -> dict[str, Column]:
        """The columns by their names."""
        return {column.name: column for column in self.columns}

    @cached_property
    def faults(self) -> tuple[Fault, ...]:
        """What may be wrong with a row, the gravest first."""
        return tuple(fault for column in self.columns for fault in column.faults)

    def rule(self, column: Column) -> Expression | None:
        """The column's rule, silent in rows without their `silent` column."""
        if column.rule is None or self.silent is None:
            return column.rule
        nothing = Literal("" if column.look.kind is Kind.TEXT else 0)
        return If(IsBlank(Own(self.silent)), nothing, column.rule)


class Shape(TypedDict, total=False):
    """What a table may say of itself beside its columns."""

    silent: str
    spare: int
    capacity: int
    split: str
    grid: tuple[int, ...]
    leads: tuple[str, ...]
    details: tuple[str, ...]
    prints_to: str
    workings: tuple[str, ...]


def table(name: str, row: type[Row] | None, *columns: Column, **shape: Unpack[Shape]) -> Table:
    """A table from its row model and the planned and computed columns that follow it."""
    given = given_columns(row) if row else ()
    return Table(name, given + columns, row, **shape)


def numbers_of_each_row(table: Table) -> list[str]:
    """The numbers that every row of a table holds: those that must be typed, then others."""
    fields = {} if table.row is None else table.row.model_fields
    numbers = [name for name in fields if table.by_name[name].look.kind is Kind.NUMBER]
    needed = [name for name in numbers if fields[name].is_required()]
    filled_in = [name for name in numbers if fields[name].default is not None]
    return [*needed, *reversed(filled_in)]


@dataclass(frozen=True)
class Drawings:
    """A place between tables for the drawings of a sheet."""

    name: str


@dataclass(frozen=True)
class LineCell:
    """A single named value; without a rule it is typed, or planned where it says so.

    A planned one may name the rows that `names` counts. What is changed `in_files` only is painted
    as what is worked out. `in_one` is the rule of one that is written in steps, before it was.
    """

    name: str
    look: Look
    rule: Expression | None = None
    role: Role = Role.COMPUTED
    choices: tuple[str, ...] | str = ()
    strict: bool = False
    names: Expression | None = None
    in_files: bool = False
    in_one: Expression | None = None

    @property
    def whole(self) -> Expression | None:
        """The rule without its steps, for whoever works it out apart."""
        return self.in_one or self.rule


@dataclass(frozen=True)
class LineRow:
    """A row of a sheet of lines: a mark (such as a form's line number), a label, cells, a note.

    `link` names the sheet that the label leads to. An `optional` row is left out where its first
    cell is blank, or where the sheet that it leads to has no rows. `folded` ones are folded away;
    so are those whose cell `folds_at_0` is 0 when the workbook is written, behind the others under
    their heading.
    """

    label: str
    cells: tuple[LineCell, ...] = ()
    note: str = ""
    mark: str = ""
    link: str | None = None
    heading: bool = False
    optional: bool = False
    folded: bool = False
    folds_at_0: str = ""


@dataclass(frozen=True)
class Lines:
    """Named values drawn downwards; `heads` head the columns."""

    name: str
    heads: tuple[str, ...]
    rows: tuple[LineRow, ...]

    @cached_property
    def cells(self) -> dict[str, LineCell]:
        """The cells by their names."""
        return {cell.name: cell for row in self.rows for cell in row.cells}


def line(
    name: str,
    label: str,
    look: Look,
    rule: Operand,
    note: str = "",
    mark: str = "",
    link: str | None = None,
) -> LineRow:
    """A worked-out line."""
    return LineRow(label, (LineCell(name, look, as_node(rule)),), note, mark, link)


def typed(column: Column, mark: str = "") -> LineRow:
    """A line that the maker types."""
    cell = LineCell(column.name, column.look, None, Role.GIVEN, column.choices, column.strict)
    label = column.header.removesuffix(IN_UNITS)  # the unit has a line of its own
    return LineRow(label, (cell,), column.note, mark)


def heading(label: str) -> LineRow:
    """A heading between lines."""
    return LineRow(label, heading=True)


GROUPS = ("start", "plan", "price", "ledger", "books", "output")
"""What sheets are for; those of one group have tabs of one colour."""


@dataclass(frozen=True)
class Sheet:
    """A sheet: its name, what it says on top, and the tables and lines on it, left to right."""

    name: str
    instruction: str
    blocks: tuple[Table | Lines | Drawings, ...]
    group: str  # one of GROUPS
    after: str = ""  # the sheet that it stands behind
    landscape: bool = True
    grid: tuple[float, ...] = ()  # widths, in letters, of the columns that a printed page holds
    title: str = ""  # in place of its name; may hold {shop} and {year}
    prints: str = ""  # the only table that is printed
    prints_says: str = ""  # on top of its pages
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

    def reach(self, rule: Expression, table: str | None) -> set[Name]:
        """Return every column and line that a rule reads, and that these are worked out from."""
        found: set[Name] = set()
        rest = needs(rule, table)
        while rest:
            found |= rest
            rest = {each for name in rest for each in self.needs.get(name, ())} - found
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
        if table not in self.tables:
            raise RuleError(f"there is no table {table}{nearest(table, self.tables)}")
        columns = self.tables[table].by_name
        if column not in columns:
            raise RuleError(f"there is no column {table}.{column}{nearest(column, columns)}")
        return columns[column].look.kind

    def line_kind(self, sheet: str, line: str) -> Kind:
        """The kind of a line.

        Raises RuleError for an unknown one.
        """
        if sheet not in self.lines:
            raise RuleError(f"there are no lines {sheet}{nearest(sheet, self.lines)}")
        cells = self.lines[sheet].cells
        if line not in cells:
            raise RuleError(f"there is no line {sheet}.{line}{nearest(line, cells)}")
        return cells[line].look.kind

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
