"""An expression as the text of a spreadsheet formula.

Brackets are decided here from one table of precedence, whoever built the tree. Only functions
that every common spreadsheet program agrees on are used, and no number but 0, 1, digits of
rounding and the unit conversions.
"""

from __future__ import annotations

from collections.abc import Sequence
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

ALLOWED_FUNCTIONS = frozenset(
    {
        *("SUM", "SUMIFS", "SUMPRODUCT", "COUNTIFS", "AVERAGEIFS", "_xlfn.MAXIFS", "_xlfn.MINIFS"),
        *("MIN", "MAX", "IF", "IFERROR", "AND", "OR", "NOT", "ROUND", "ROUNDUP", "ROUNDDOWN"),
        *("INT", "MOD", "ABS", "INDEX", "MATCH", "ROW", "ISTEXT", "N"),
        *("LEFT", "RIGHT", "LEN", "UPPER"),
        *("DATE", "YEAR", "MONTH", "DAY"),
    }
)
ROW = "\0"  # stands for the row number, so that a column's formula is printed once for all rows

_PRECEDENCE = {"=": 1, "<>": 1, "<": 1, "<=": 1, ">": 1, ">=": 1, "&": 2}
_PRECEDENCE |= {"+": 3, "-": 3, "*": 4, "/": 4}
_NEGATION, _ATOM = 6, 9
_ROUND = {"half": "ROUND", "up": "ROUNDUP", "down": "ROUNDDOWN"}
_TOTAL = {
    "sum": "SUMIFS",
    "count": "COUNTIFS",
    "average": "AVERAGEIFS",
    "least": "_xlfn.MINIFS",
    "greatest": "_xlfn.MAXIFS",
}


class CellPlaces(Protocol):
    """Where things stand in the workbook."""

    def own(self, name: str) -> str:
        """The cell of a column in this row, with ROW for the row number."""
        ...

    def above(self) -> str:
        """The cell above this column's header."""
        ...

    def head(self) -> str:
        """A cell of this table's header row."""
        ...

    def column(self, table: str, name: str) -> str:
        """The range of another table's column, from its header over its capacity."""
        ...

    def line(self, sheet: str, name: str) -> str:
        """The cell of a line."""
        ...

    def lines(self, sheet: str, names: Sequence[str]) -> str:
        """Several lines as ranges with commas."""
        ...

    def is_text(self, node: Expression) -> bool:
        """Whether the node gives text."""
        ...

    def may_be_words(self, name: str) -> bool:
        """Whether words may stand in this row's column where a number belongs."""
        ...

    def unit(self, name: str) -> int:
        """A unit conversion as a number."""
        ...


def formula(node: Expression, places: CellPlaces) -> str:
    """Write the formula's text without its equals sign."""
    return _Printer(places).result(node)


class _Printer:
    def __init__(self, places: CellPlaces) -> None:
        self.places = places

    def result(self, node: Expression) -> str:
        """A value that is shown or returned: a blank text cell must not turn into 0 there."""
        if isinstance(node, Own | Line | LookUp) and self.places.is_text(node):
            return f'{self.text(node)}&""'
        return self.text(node)

    def inside(self, node: Expression, least: int) -> str:
        text = self.text(node)
        return text if _precedence(node) >= least else f"({text})"

    def as_found(self, node: Expression) -> str:
        """A side of a comparison: words where a number belongs are words there, and not 0."""
        return self.places.own(node.name) if isinstance(node, Own) else self.inside(node, 2)

    def text(self, node: Expression) -> str:
        match node:
            case Literal(value):
                return _literal(value)
            case Unit(name):
                return str(self.places.unit(name))
            case Own(name):
                cell = self.places.own(name)
                return self.call("N", cell) if self.places.may_be_words(name) else cell
            case Line(sheet, name):
                return self.places.line(sheet, name)
            case Above():
                return self.places.above()
            case Arithmetic(operator, left, right):
                return self.arithmetic(operator, left, right)
            case Negate(value):
                return "-" + self.inside(value, _NEGATION + 1)
            case Compare(operator, left, right):
                return f"{self.as_found(left)}{operator}{self.as_found(right)}"
            case IsBlank(value):
                return f'{self.as_found(value)}=""'
            case Call("AND", arguments):
                return self.all_of(arguments)
            case Call("ISTEXT", (value,)):
                return self.call("ISTEXT", self.as_found(value))
            case Join(parts):
                return "&".join(self.inside(part, _PRECEDENCE["&"] + 1) for part in parts)
            case If(condition, then, otherwise):
                branches = self.result(then), self.result(otherwise)
                return self.call("IF", self.text(condition), *branches)
            case Round(how, value, digits):
                return self.call(_ROUND[how], self.text(value), str(digits))
            case Call(function, arguments):
                text = self.call(function, *(self.argument(function, each) for each in arguments))
                return self.guarded(text, arguments[1]) if function == "MOD" else text
            case LookUp(table, key, by, value, otherwise):
                match_ = self.call("MATCH", self.text(by), self.places.column(table, key), "0")
                found = self.call("INDEX", self.places.column(table, value), match_)
                return self.call("IFERROR", found, self.text(otherwise))
            case Total():
                return self.total(node)
            case Products(table, columns, where):
                ranges = [self.places.column(table, column) for column in columns]
                tests = [self.test(table, condition) for condition in where]
                mask = "*".join(tests if len(tests) > 1 else [*tests, "1"])
                return self.call("SUMPRODUCT", *([mask] if tests else []), *ranges)
            case SumLines(sheet, names):
                return self.call("SUM", self.places.lines(sheet, names))
            case SumOwn(names):
                return self.call("SUM", *(self.places.own(name) for name in names))
            case RowNumber():
                return self.call("ROW") + "-" + self.call("ROW", self.places.head())
        assert_never(node)

    def call(self, function: str, *arguments: str) -> str:
        if function not in ALLOWED_FUNCTIONS:
            raise ValueError(f"{function} is not a function that all spreadsheet programs share")
        return f"{function}({','.join(arguments)})"

    def all_of(self, conditions: Sequence[Expression]) -> str:
        """AND asks all it is given; what reads whole columns is asked where the rest holds."""
        quick = [self.text(each) for each in conditions if not each.reads_columns]
        slow = [self.text(each) for each in conditions if each.reads_columns]
        if not quick or not slow:
            return self.call("AND", *quick, *slow)
        sides = (side[0] if len(side) == 1 else self.call("AND", *side) for side in (quick, slow))
        return self.call("IF", *sides)

    def argument(self, function: str, node: Expression) -> str:
        # MIN and MAX pass over a blank cell; adding 0 makes it the 0 that it is everywhere else
        bare = function in ("MIN", "MAX") and isinstance(node, Own | Line | If | LookUp)
        return self.text(node) + "+0" if bare else self.text(node)

    def arithmetic(self, operator: str, left: Expression, right: Expression) -> str:
        level = _PRECEDENCE[operator]
        text = f"{self.inside(left, level)}{operator}{self.inside(right, level + 1)}"
        return self.guarded(text, right) if operator == "/" else text

    def guarded(self, text: str, divisor: Expression) -> str:
        """0 in place of the error that a division by zero would give."""
        if _never_zero(divisor):
            return text
        return self.call("IF", f"{self.inside(divisor, 2)}=0", "0", text)

    def total(self, node: Total) -> str:
        criteria: list[str] = []
        for condition in node.where:
            criteria.append(self.places.column(node.table, condition.column))
            value = self.inside(condition.value, _PRECEDENCE["&"] + 1)
            if condition.operator == "=":
                criteria.append(self.text(condition.value))
            else:
                criteria.append(f'"{condition.operator}"&{value}')
        column = self.places.column(node.table, node.column)
        if node.how == "count":
            return self.call("COUNTIFS", *criteria)
        if not criteria:
            return self.call({"sum": "SUM", "least": "MIN", "greatest": "MAX"}[node.how], column)
        text = self.call(_TOTAL[node.how], column, *criteria)
        return self.call("IFERROR", text, "0") if node.how == "average" else text

    def test(self, table: str, condition: Where) -> str:
        column = self.places.column(table, condition.column)
        return f"({column}{condition.operator}{self.inside(condition.value, 2)})"


def _precedence(node: Expression) -> int:
    match node:
        case Arithmetic(operator, _, right):
            guarded = operator == "/" and not _never_zero(right)
            return _ATOM if guarded else _PRECEDENCE[operator]
        case Compare(operator, _, _):
            return _PRECEDENCE[operator]
        case IsBlank():
            return _PRECEDENCE["="]
        case Join():
            return _PRECEDENCE["&"]
        case RowNumber():
            return _PRECEDENCE["-"]
        case Negate():
            return _NEGATION
        case _:
            return _ATOM


def _never_zero(node: Expression) -> bool:
    return isinstance(node, Unit) or (isinstance(node, Literal) and node.value != 0)


def _literal(value: int | str) -> str:
    if isinstance(value, str):
        return '"' + value.replace('"', '""') + '"'
    if value not in PLAIN_NUMBERS:
        raise ValueError(f"{value} may not stand in a formula; put it into a cell with a label")
    return str(value)
