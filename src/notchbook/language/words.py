"""An expression as a sentence, for header notes and the reference."""

from __future__ import annotations

from typing import Protocol, assert_never

from notchbook.language.expressions import (
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


class Names(Protocol):
    """How columns, lines and conversions are called in a sentence."""

    def column(self, table: str | None, name: str) -> str:
        """The name of a column (None: of the same row)."""
        ...

    def line(self, sheet: str, name: str) -> str:
        """The name of a line."""
        ...

    def unit(self, name: str) -> str:
        """A conversion, e.g. `144`."""
        ...


_SIGN = {"+": "+", "-": "−", "*": "×", "/": "÷"}
_COMPARE = {"=": "is", "<>": "is not", "<": "is below", "<=": "is at most"}
_COMPARE |= {">": "is above", ">=": "is at least"}
_TOTAL = {
    "sum": "the sum of",
    "count": "the number of rows",
    "average": "the average of",
    "least": "the least",
    "greatest": "the greatest",
}
_ROUND = {"half": "rounded", "up": "rounded up", "down": "rounded down"}


def words(node: Expression, names: Names) -> str:
    """Tell the rule in words, without a full stop."""

    def inner(child: Expression) -> str:
        return words(child, names)

    def bracketed(child: Expression) -> str:
        text = inner(child)
        return f"({text})" if isinstance(child, Arithmetic | If | Negate | SumOwn) else text

    match node:
        case Literal(value):
            if value == "":
                return "nothing"
            return f"“{value}”" if isinstance(value, str) else str(value)
        case Unit(name):
            return names.unit(name)
        case Own(name):
            return names.column(None, name)
        case Line(sheet, name):
            return names.line(sheet, name)
        case Above():
            return "the number above the header"
        case Arithmetic("+", left, Literal(0)):  # which makes a number of a blank
            return inner(left)
        case Arithmetic(operator, left, right):
            first = inner(left) if operator in "+-" else bracketed(left)
            second = inner(right) if operator == "+" else bracketed(right)
            return f"{first} {_SIGN[operator]} {second}"
        case Negate(value):
            return f"−{bracketed(value)}"
        case Compare(operator, left, right):
            return f"{inner(left)} {_COMPARE[operator]} {inner(right)}"
        case IsBlank(value):
            return f"{inner(value)} is blank"
        case Join(parts):
            return " then ".join(inner(part) for part in parts)
        case If(condition, then, otherwise):
            return f"if {inner(condition)}: {inner(then)}; else {inner(otherwise)}"
        case Round(how, value, digits):
            decimals = "to a whole number" if digits == 0 else f"to {digits} decimals"
            if how == "up" and isinstance(value, Round):
                return f"{bracketed(value.value)} {_ROUND[how]} {decimals}"
            return f"{bracketed(value)} {_ROUND[how]} {decimals}"
        case Call(function, arguments):
            told = [inner(argument) for argument in arguments]
            return FUNCTIONS[function].words.format(*told, all=", ".join(told))
        case LookUp(table, _, by, value, otherwise):
            found = f"{names.column(table, value)} in {table} for {inner(by)}"
            empty = isinstance(otherwise, Literal) and otherwise.value in (0, "")
            return found if empty else f"{found} (if unknown: {inner(otherwise)})"
        case Total(how, table, column, where):
            told_column = "" if how == "count" else f" {names.column(table, column)}"
            return f"{_TOTAL[how]}{told_column} in {table}{_conditions(table, where, names)}"
        case Products(table, columns, where):
            factors = " × ".join(names.column(table, column) for column in columns)
            return f"the sum of {factors} in {table}{_conditions(table, where, names)}"
        case SumLines(sheet, lines):
            if len(lines) > 4:
                first, last = (names.line(sheet, line) for line in (lines[0], lines[-1]))
                return f"the sum of {first} to {last}"
            return " + ".join(names.line(sheet, line) for line in lines)
        case SumOwn(own):
            told_own = [names.column(None, name) for name in own]
            if len(told_own) > 4:
                return f"the sum of {told_own[0]}, {told_own[1]} to {told_own[-1]}"
            return " + ".join(told_own)
        case RowNumber():
            return "the number of the row"
    assert_never(node)


def _conditions(table: str, where: tuple[Where, ...], names: Names) -> str:
    if not where:
        return ""
    told = (
        f"{names.column(table, each.column)} {_COMPARE[each.operator]} {words(each.value, names)}"
        for each in where
    )
    return " where " + " and ".join(told)
