"""The node kinds of the language and the short spellings that sheets are written in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal as OneOf
from typing import TypeAlias, cast

Operand: TypeAlias = "Expression | int | str"


class Node:
    """Shared spelling: Python's operators build trees, they never calculate."""

    @cached_property
    def children(self) -> tuple[Expression, ...]:
        """The expressions directly inside a node."""
        held = (getattr(self, name) for name in as_node(self).__dataclass_fields__)
        each = (one for value in held for one in (value if isinstance(value, tuple) else (value,)))
        inner = (one.value if isinstance(one, Where) else one for one in each)
        return tuple(as_node(one) for one in inner if isinstance(one, Node))

    @cached_property
    def reads_columns(self) -> bool:
        """Whether it goes through all rows of a table, which takes long in a table of many rows.

        An exact look-up does not count: spreadsheet programs keep an index of what was looked up.
        """
        return isinstance(self, Total | Products) or any(n.reads_columns for n in self.children)

    def __add__(self, other: Operand) -> Arithmetic:
        return Arithmetic("+", as_node(self), as_node(other))

    def __radd__(self, other: Operand) -> Arithmetic:
        return Arithmetic("+", as_node(other), as_node(self))

    def __sub__(self, other: Operand) -> Arithmetic:
        return Arithmetic("-", as_node(self), as_node(other))

    def __rsub__(self, other: Operand) -> Arithmetic:
        return Arithmetic("-", as_node(other), as_node(self))

    def __mul__(self, other: Operand) -> Arithmetic:
        return Arithmetic("*", as_node(self), as_node(other))

    def __rmul__(self, other: Operand) -> Arithmetic:
        return Arithmetic("*", as_node(other), as_node(self))

    def __truediv__(self, other: Operand) -> Arithmetic:
        return Arithmetic("/", as_node(self), as_node(other))

    def __neg__(self) -> Negate:
        return Negate(as_node(self))

    def __lt__(self, other: Operand) -> Compare:
        return Compare("<", as_node(self), as_node(other))

    def __le__(self, other: Operand) -> Compare:
        return Compare("<=", as_node(self), as_node(other))

    def __gt__(self, other: Operand) -> Compare:
        return Compare(">", as_node(self), as_node(other))

    def __ge__(self, other: Operand) -> Compare:
        return Compare(">=", as_node(self), as_node(other))

    def __and__(self, other: Operand) -> Call:
        return _joined("AND", self, other)

    def __or__(self, other: Operand) -> Call:
        return _joined("OR", self, other)

    def __invert__(self) -> Call:
        return Call("NOT", (as_node(self),))

    def equals(self, other: Operand) -> Compare:
        """Equality; text ignores case, a blank equals 0 and "" (== keeps Python's meaning)."""
        return Compare("=", as_node(self), as_node(other))

    def differs(self, other: Operand) -> Compare:
        """The opposite of `equals`."""
        return Compare("<>", as_node(self), as_node(other))


PLAIN_NUMBERS = (0, 1)
"""All that may stand in a formula; every other number is a cell with a label, or a unit."""


@dataclass(frozen=True)
class Literal(Node):
    """One of the plain numbers or a piece of text that stands in the formula itself."""

    value: int | str


@dataclass(frozen=True)
class Unit(Node):
    """A conversion that the measures list, such as square inches in a square foot."""

    name: str


class MayBeBlank(Node):
    """What may hold nothing: a column of the row or a line."""

    def or_else(self, other: Operand) -> If:
        """What stands there, `other` where nothing does."""
        here = cast("Own | Line", self)
        return If(IsBlank(here), as_node(other), here)


@dataclass(frozen=True)
class Own(MayBeBlank):
    """Another column of the same row."""

    name: str


@dataclass(frozen=True)
class Line(MayBeBlank):
    """A single named value of a sheet of lines."""

    sheet: str
    name: str


@dataclass(frozen=True)
class Above(Node):
    """The number that stands above this column's header."""


@dataclass(frozen=True)
class Arithmetic(Node):
    """Plus, minus, times, divided by; a division by zero gives 0."""

    operator: OneOf["+", "-", "*", "/"]
    left: Expression
    right: Expression


@dataclass(frozen=True)
class Negate(Node):
    """Minus the value."""

    value: Expression


Comparison: TypeAlias = OneOf["=", "<>", "<", "<=", ">", ">="]


@dataclass(frozen=True)
class Compare(Node):
    """A comparison of two values of one kind."""

    operator: Comparison
    left: Expression
    right: Expression


@dataclass(frozen=True)
class IsBlank(Node):
    """Whether a column or line holds nothing (0 is not blank)."""

    value: Own | Line


@dataclass(frozen=True)
class Join(Node):
    """Pieces of text one after another."""

    parts: tuple[Expression, ...]


@dataclass(frozen=True)
class If(Node):
    """One value or another."""

    condition: Expression
    then: Expression
    otherwise: Expression


@dataclass(frozen=True)
class Round(Node):
    """Rounded to decimals: half away from zero, always away from zero, or towards it."""

    how: OneOf["half", "up", "down"]
    value: Expression
    digits: int


@dataclass(frozen=True)
class Call(Node):
    """A function of the table in `functions`."""

    function: str
    arguments: tuple[Expression, ...]


@dataclass(frozen=True)
class LookUp(Node):
    """The value in the first row of a table whose key equals `by`, else `otherwise`."""

    table: str
    key: str
    by: Expression
    value: str
    otherwise: Expression


@dataclass(frozen=True)
class Where:
    """A condition on the rows of another table."""

    column: str
    operator: Comparison
    value: Expression


How: TypeAlias = OneOf["sum", "count", "average", "least", "greatest"]


@dataclass(frozen=True)
class Total(Node):
    """Sum, count, average, least or greatest over the rows that meet all conditions (0 if none)."""

    how: How
    table: str
    column: str
    where: tuple[Where, ...]


@dataclass(frozen=True)
class Products(Node):
    """The sum of row products over given columns; stray text counts as 0."""

    table: str
    columns: tuple[str, ...]
    where: tuple[Where, ...]


@dataclass(frozen=True)
class SumLines(Node):
    """The sum of several lines of one sheet."""

    sheet: str
    names: tuple[str, ...]


@dataclass(frozen=True)
class SumOwn(Node):
    """The sum of several number columns of the same row."""

    names: tuple[str, ...]


@dataclass(frozen=True)
class RowNumber(Node):
    """Which row of its table this is, counted from 1 below the header."""


Expression: TypeAlias = (
    Literal
    | Unit
    | Own
    | Line
    | Above
    | Arithmetic
    | Negate
    | Compare
    | IsBlank
    | Join
    | If
    | Round
    | Call
    | LookUp
    | Total
    | Products
    | SumLines
    | SumOwn
    | RowNumber
)


def as_node(value: Operand | Node) -> Expression:
    """The expression itself, or a literal for a plain number or text.

    Raises TypeError for another number: no formula holds it, and it wants a cell with a label.
    """
    if isinstance(value, float):
        raise TypeError(f"{value} stands in a rule; name a setting, or a Unit of the measures")
    if isinstance(value, int | str):
        return Literal(value)
    return cast(Expression, value)  # a Node is only ever one of the union


class _This:
    """The row itself: `this.price` is its column, `this(name)` the one that a variable names."""

    def __getattr__(self, name: str) -> Own:
        if name.startswith("__"):  # what Python asks of every object
            raise AttributeError(name)
        return Own(name)

    def __call__(self, name: str) -> Own:
        return Own(name)


this = _This()
"""The row that a rule stands in."""


def sum_of(*names: str) -> SumOwn:
    """Columns of the same row added up."""
    return SumOwn(names)


def blank(value: Own | Line) -> IsBlank:
    """Whether nothing stands there."""
    return IsBlank(value)


def when(condition: Expression, then: Operand, otherwise: Operand) -> If:
    """`then` where the condition holds, else `otherwise`."""
    return If(condition, as_node(then), as_node(otherwise))


def cases(*pairs: tuple[Expression, Operand], otherwise: Operand = "") -> Expression:
    """The value beside the first condition that holds, else `otherwise`."""
    result = as_node(otherwise)
    for condition, value in reversed(pairs):
        result = If(condition, as_node(value), result)
    return result


def join(*parts: Operand) -> Join:
    """Text pieces one after another."""
    return Join(tuple(as_node(part) for part in parts))


def rounded(value: Expression, digits: int) -> Round:
    """Rounded half away from zero."""
    return Round("half", value, digits)


def whole_up(value: Expression) -> Round:
    """The next whole number, forgiving the noise of binary fractions in the sixth decimal."""
    return Round("up", Round("half", value, 6), 0)


def whole_down(value: Expression) -> Round:
    """The whole number below, forgiving the noise of binary fractions in the sixth decimal."""
    return Round("down", Round("half", value, 6), 0)


def _joined(word: str, left: Node, right: Operand) -> Call:
    """Both sides under AND or OR; a row of them becomes one call."""
    first = as_node(left)
    row = first.arguments if isinstance(first, Call) and first.function == word else (first,)
    return Call(word, (*row, as_node(right)))


def call(function: str, *arguments: Operand) -> Call:
    """A function of the table by its spreadsheet name."""
    return Call(function, tuple(as_node(argument) for argument in arguments))


def look_up(table: str, value: str, *, otherwise: Operand = 0, **key: Operand) -> LookUp:
    """`look_up("Stock", "price", stock=this("stock"))`: one key column, one value column."""
    ((column, by),) = key.items()
    return LookUp(table, column, as_node(by), value, as_node(otherwise))


def where(column: str, operator: Comparison, value: Operand) -> Where:
    """A condition such as `where("date", ">=", start)`."""
    return Where(column, operator, as_node(value))


def _total(how: How) -> Callable[..., Total]:
    def build(table: str, column: str, *conditions: Where, **equal: Operand) -> Total:
        keys = tuple(Where(name, "=", as_node(value)) for name, value in equal.items())
        return Total(how, table, column, keys + conditions)

    build.__doc__ = f"The {how} of a table's column over the rows that meet the conditions."
    return build


total = _total("sum")
count = _total("count")
average = _total("average")
least = _total("least")
greatest = _total("greatest")


def products(table: str, columns: tuple[str, ...], *where: Where, **equal: Operand) -> Products:
    """Row products of given columns, summed over the rows that meet the conditions."""
    keys = tuple(Where(name, "=", as_node(value)) for name, value in equal.items())
    return Products(table, columns, keys + where)
