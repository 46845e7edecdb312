"""What kind of value an expression gives, and the refusal of those that make no sense."""

from __future__ import annotations

from typing import Protocol, assert_never

from notchbook.language.expressions import (
    PLAIN_NUMBERS,
    Above,
    Arithmetic,
    Call,
    Compare,
    Expression,
    If,
    IsBlank,
    Join,
    Line,
    Literal,
    LookUp,
    Negate,
    Own,
    Products,
    Round,
    RowNumber,
    SumLines,
    SumOwn,
    Total,
    Unit,
    Where,
)
from notchbook.language.functions import FUNCTIONS
from notchbook.language.value_kinds import Kind


class RuleError(Exception):
    """A rule that names something unknown or mixes kinds; no maker's fault."""


class Schema(Protocol):
    """What the language must know of the tables and lines it speaks about."""

    def column_kind(self, table: str, column: str) -> Kind:
        """The kind of a column; raises RuleError for an unknown one."""
        ...

    def line_kind(self, sheet: str, line: str) -> Kind:
        """The kind of a line; raises RuleError for an unknown one."""
        ...


_NUMERIC = (Kind.NUMBER, Kind.DATE)


def _kind_of_literal(value: int | str) -> Kind:
    if isinstance(value, str):
        return Kind.TEXT
    if value not in PLAIN_NUMBERS:
        raise RuleError(
            f"{value} may not stand in a formula; name a setting, which is a cell with a label, or"
            " a Unit of measure/conversions.py"
        )
    return Kind.NUMBER


def kind_of(node: Expression, table: str | None, schema: Schema) -> Kind:
    """Work out the kind of value `node` gives in a row of `table` (None: in a line).

    Raises RuleError where a name is unknown or a kind does not fit its place.
    """

    def kind(inner: Expression) -> Kind:
        return kind_of(inner, table, schema)

    def numeric(inner: Expression) -> Kind:
        found = kind(inner)
        if found not in _NUMERIC:
            raise RuleError(f"a number is needed where {inner} stands")
        return found

    def truth(inner: Expression) -> None:
        if kind(inner) is not Kind.TRUTH:
            raise RuleError(f"a condition is needed where {inner} stands")

    def conditions(other: str, where: tuple[Where, ...]) -> None:
        for condition in where:
            find_shared_kind(
                schema.column_kind(other, condition.column), kind(condition.value), node
            )

    match node:
        case Literal(value):
            return _kind_of_literal(value)
        case Unit() | Above() | RowNumber() | SumLines() | SumOwn() | Products():
            if isinstance(node, SumLines):
                for name in node.names:
                    numeric(Line(node.sheet, name))
            if isinstance(node, SumOwn):
                for name in node.names:
                    numeric(Own(name))
            if isinstance(node, Products):
                for column in node.columns:
                    find_shared_kind(schema.column_kind(node.table, column), Kind.NUMBER, node)
                conditions(node.table, node.where)
            return Kind.NUMBER
        case Own(name):
            if table is None:
                raise RuleError(f"a line has no row to take {name!r} from")
            return schema.column_kind(table, name)
        case Line(sheet, name):
            return schema.line_kind(sheet, name)
        case Arithmetic(operator, left, right):
            dates = [numeric(left), numeric(right)].count(Kind.DATE)
            return Kind.DATE if dates == 1 and operator in "+-" else Kind.NUMBER
        case Negate(value) | Round(_, value, _):
            numeric(value)
            return Kind.NUMBER
        case Compare(operator, left, right):
            found = find_shared_kind(kind(left), kind(right), node)
            if found is Kind.TEXT and operator not in ("=", "<>"):
                raise RuleError(f"text has no order: {node}")
            return Kind.TRUTH
        case IsBlank(value):
            kind(value)
            return Kind.TRUTH
        case Join(parts):
            for part in parts:
                if kind(part) is not Kind.TEXT and not isinstance(part, Round):
                    raise RuleError(f"only text and rounded numbers are joined: {part}")
            return Kind.TEXT
        case If(condition, then, otherwise):
            truth(condition)
            return find_shared_kind(kind(then), kind(otherwise), node)
        case Call(function, arguments):
            return _call_kind(function, [kind(argument) for argument in arguments])
        case LookUp(other, key, by, value, otherwise):
            find_shared_kind(schema.column_kind(other, key), kind(by), node)
            return find_shared_kind(schema.column_kind(other, value), kind(otherwise), node)
        case Total(how, other, column, where):
            found = schema.column_kind(other, column)
            if how != "count" and found not in _NUMERIC:
                raise RuleError(f"{other}.{column} is text and cannot be added")
            conditions(other, where)
            return found if how in ("least", "greatest") else Kind.NUMBER
    assert_never(node)


def find_shared_kind(left: Kind, right: Kind, node: Expression) -> Kind:
    """Find the kind that two values share; dates and numbers calculate together."""
    if left is right:
        return left
    if left in _NUMERIC and right in _NUMERIC:
        return Kind.DATE
    raise RuleError(f"{left.value} meets {right.value} in {node}")


def _call_kind(function: str, arguments: list[Kind]) -> Kind:
    if function not in FUNCTIONS:
        raise RuleError(f"no function {function!r}; there are {', '.join(FUNCTIONS)}")
    known = FUNCTIONS[function]
    if len(arguments) < known.least_arguments:
        raise RuleError(f"{function} needs {known.least_arguments} arguments")
    for place, found in enumerate(arguments):
        wanted = known.arguments[min(place, len(known.arguments) - 1)]
        fits = found in _NUMERIC if wanted in _NUMERIC else found is wanted
        if not fits:
            raise RuleError(f"{function} takes {wanted.value}, not {found.value}")
    return known.result
