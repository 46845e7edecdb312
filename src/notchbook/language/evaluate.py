"""An expression calculated with pandas, with a spreadsheet's meaning of blanks, case and rounding.

Tables are data frames: numbers and dates (as serial day numbers) are floats with NaN for a blank,
text is an object column with "" for a blank.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import isnan
from typing import Any, assert_never

import numpy as np
import pandas as pd

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

_COMPARE: dict[str, Callable[[Any, Any], Any]] = {
    "=": np.equal,
    "<>": np.not_equal,
    "<": np.less,
    "<=": np.less_equal,
    ">": np.greater,
    ">=": np.greater_equal,
}
_OBJECT = np.dtype(object)
TEXT_THERE = ": text"
"""Behind a column's name: the rows in which text stands in place of its number."""
# a value a hair under a tie is a tie that binary fractions could not hold
_NUDGE = 1 + 8 * np.finfo(float).eps


@dataclass(frozen=True)
class Values:
    """What an expression may see: all tables, all lines, conversions, its row and its header."""

    tables: Mapping[str, pd.DataFrame]
    lines: Mapping[tuple[str, str], float | str]
    units: Mapping[str, int]
    own: pd.DataFrame | None = None
    above: float = 0.0
    # what was already sorted out of tables whose columns are final; shared by all rules of a run
    known: dict[Any, Any] = field(default_factory=dict)

    def once(self, key: Any, make: Callable[[], Any]) -> Any:
        """The result of `make`, kept for the next rule that asks the same."""
        if key not in self.known:
            self.known[key] = make()
        return self.known[key]

    def column(self, table: str, column: str) -> Any:
        """A table's column as an array."""

        def make() -> Any:
            return self.tables[table][column].to_numpy()

        return self.once(("column", table, column), make)

    def folded(self, table: str, column: str) -> Any:
        """A table's column as it is compared."""
        return self.once(("folded", table, column), lambda: _comparable(self.column(table, column)))

    def of_row(self, name: str) -> Any:
        """A column of the table that the rule belongs to; raises ValueError for lines."""
        own = self.own
        if own is None:
            raise ValueError(f"there is no row to take {name!r} from")

        def make() -> Any:
            return own[name].to_numpy()

        return self.once(("own", id(own), name), make)


def evaluate(node: Expression, values: Values) -> Any:
    """Work out the node: an array with one entry a row of `values.own`, or a single value."""
    return _blank_to_zero(_evaluate(node, values))


def _evaluate(node: Expression, values: Values) -> Any:
    def inner(child: Expression) -> Any:
        return _evaluate(child, values)

    def number(child: Expression) -> Any:
        return _blank_to_zero(inner(child))

    match node:
        case Literal(value):
            return float(value) if isinstance(value, int) else value
        case Unit(name):
            return float(values.units[name])
        case Own(name):
            return values.of_row(name)
        case Line(sheet, name):
            return values.lines[sheet, name]
        case Above():
            return values.above
        case Arithmetic(operator, left, right):
            return _arithmetic(operator, number(left), number(right))
        case Negate(value):
            return -number(value)
        case Compare(operator, left, right):
            sides = (_with_words(side, inner(side), values) for side in (left, right))
            return _COMPARE[operator](*map(_comparable, sides))
        case IsBlank(value):
            return _is_blank(_with_words(value, inner(value), values))
        case Join(parts):
            return _join([inner(part) for part in parts])
        case If(condition, then, otherwise):
            return _choose(inner(condition), number(then), number(otherwise))
        case Round(how, value, digits):
            return _round(how, number(value), digits)
        case Call("ISTEXT", (Own() as column,)) if (words := _words(column, values)) is not None:
            return words
        case Call(function, arguments):
            return FUNCTIONS[function].numpy(*(number(argument) for argument in arguments))
        case LookUp():
            return _look_up(node, inner(node.by), inner(node.otherwise), values)
        case Total(table=table) | Products(table=table) if not len(values.tables[table]):
            return 0.0  # as many tables of a shop are; no row to look for conditions in
        case Total():
            return _Matches(node.table, node.where, values).total(node.how, node.column)
        case Products():
            return _Matches(node.table, node.where, values).products(node.columns)
        case SumLines(sheet, names):
            return float(sum(_blank_to_zero(values.lines[sheet, name]) for name in names))
        case SumOwn(names):
            return sum(number(Own(name)) for name in names)
        case RowNumber():
            if values.own is None:
                raise ValueError("a line has no row to number")
            return np.arange(1.0, len(values.own) + 1)
    assert_never(node)


def _words(node: Expression, values: Values) -> Any:
    """In which rows of an own column text stands in place of a number; None where nowhere."""
    if values.own is None or not isinstance(node, Own) or node.name + TEXT_THERE not in values.own:
        return None
    return values.own[node.name + TEXT_THERE].to_numpy()


def _with_words(node: Expression, found: Any, values: Values) -> Any:
    """A value as spreadsheets compare it: text is not blank, and above every number."""
    words = _words(node, values)
    return found if words is None or _is_text(found) else np.where(words, np.inf, found)


def _is_text(value: Any) -> bool:
    return isinstance(value, str) or getattr(value, "dtype", None) is _OBJECT


def _blank_to_zero(value: Any) -> Any:
    if _is_text(value):
        return value
    if not isinstance(value, np.ndarray):
        return 0.0 if isnan(value) else value
    if value.dtype == bool:
        return value
    blank = np.isnan(value)
    return np.where(blank, 0.0, value) if blank.any() else value


def _is_blank(value: Any) -> Any:
    return np.equal(value, "") if _is_text(value) else np.isnan(value)


def fold_case(value: Any) -> Any:
    """Return text as it is compared: without case."""
    if isinstance(value, str):
        return value.lower()
    return np.array([text.lower() for text in value], dtype=object)


def _comparable(value: Any) -> Any:
    return fold_case(value) if _is_text(value) else _blank_to_zero(value)


def _arithmetic(operator: str, left: Any, right: Any) -> Any:
    match operator:
        case "+":
            return left + right
        case "-":
            return left - right
        case "*":
            return left * right
    with np.errstate(all="ignore"):
        quotient = np.divide(left, right)
    return np.where(np.equal(right, 0), 0.0, quotient)


def _choose(condition: Any, then: Any, otherwise: Any) -> Any:
    chosen = np.where(condition, then, otherwise)
    if _is_text(then) or _is_text(otherwise):
        chosen = chosen.astype(object)
    return chosen if chosen.ndim else chosen.item()


def _round(how: str, value: Any, digits: int) -> Any:
    scale = 10.0**digits
    size = np.abs(value) * scale
    match how:
        case "half":
            whole = np.floor(size * _NUDGE + 0.5)
        case "up":
            whole = np.ceil(size / _NUDGE)
        case _:
            whole = np.floor(size * _NUDGE)
    return np.sign(value) * whole / scale


def number_text(value: float) -> str:
    """Write a number as a spreadsheet joins it to text."""
    return f"{value:.15g}"


def _join(parts: list[Any]) -> Any:
    def texts(part: Any) -> Any:
        if _is_text(part):
            return part
        part = _blank_to_zero(part)
        if np.ndim(part) == 0:
            return number_text(float(part))
        return np.array([number_text(each) for each in part], dtype=object)

    result = texts(parts[0])
    for part in parts[1:]:
        result = result + texts(part)
    return result


def _look_up(node: LookUp, by: Any, otherwise: Any, values: Values) -> Any:
    def places() -> dict[Any, int]:
        first: dict[Any, int] = {}
        for row, key in enumerate(values.folded(node.table, node.key)):
            if key != "":
                first.setdefault(key, row)
        return first

    place = values.once(("places", node.table, node.key), places)
    found = values.tables[node.table][node.value].to_numpy()
    if np.ndim(by) == 0:
        at = place.get(_comparable(by))
        return otherwise if at is None else found[at]
    rows = np.array([place.get(key, -1) for key in _comparable(by)], dtype=int)
    if not len(found):
        found = np.array(["" if _is_text(found) else np.nan], dtype=found.dtype)
    picked = found[np.maximum(rows, 0)]
    return _choose(rows >= 0, picked if _is_text(picked) else _blank_to_zero(picked), otherwise)


def rows_of(node: Total, values: Values) -> list[int]:
    """Return the rows that a sum of fixed conditions, the same for all rows, is taken over."""
    found: list[int] = _Matches(node.table, node.where, values).groups[()].tolist()
    return found


class _Matches:
    """Which rows of a table meet the conditions, for each asking row.

    Equalities are joined by hash, so that a column of sums costs about the sum of both tables;
    other conditions that change from row to row are tried row by row.
    """

    def __init__(self, table: str, where: tuple[Where, ...], values: Values) -> None:
        self.values, self.name, self.rows = values, table, len(values.tables[table])
        fixed: list[tuple[str, str, Any]] = []
        keyed: list[tuple[str, Any]] = []
        self.ranged: list[tuple[Any, str, Any]] = []
        for condition in where:
            wanted = _comparable(_evaluate(condition.value, values))
            if np.ndim(wanted) == 0:
                single = wanted if isinstance(wanted, str) else float(wanted)
                fixed.append((condition.column, condition.operator, single))
            elif condition.operator == "=":
                keyed.append((condition.column, wanted))
            else:
                column = self.column(condition.column)
                self.ranged.append((column, condition.operator, wanted))
        self.asking = len(values.own) if values.own is not None else 0
        self.asked = list(zip(*(wanted for _, wanted in keyed), strict=True)) if keyed else None
        columns = tuple(column for column, _ in keyed)
        self.groups: dict[Any, Any] = values.once(
            ("rows", table, tuple(fixed), columns),
            lambda: self._groups(fixed, columns),
        )

    def _groups(
        self, fixed: list[tuple[str, str, Any]], columns: tuple[str, ...]
    ) -> dict[Any, Any]:
        mask = np.ones(self.rows, dtype=bool)
        for column, operator, wanted in fixed:
            mask &= _meets(self.column(column), operator, wanted)
        rows = np.flatnonzero(mask)
        if not columns:
            return {(): rows}
        groups: dict[Any, list[int]] = {}
        keys = zip(*(self.column(column)[rows] for column in columns), strict=True)
        for row, key in zip(rows.tolist(), keys, strict=True):
            groups.setdefault(key, []).append(row)
        return {key: np.array(found) for key, found in groups.items()}

    def column(self, name: str) -> Any:
        """A column as conditions compare it: text without case, blank numbers as they are."""
        column = self.values.column(self.name, name)
        return self.values.folded(self.name, name) if _is_text(column) else column

    def _each(self, reduce: Callable[[Any], float]) -> Any:
        nothing = np.array([], dtype=int)
        if self.ranged:
            result = []
            for n in range(self.asking):
                rows = self.groups.get(self.asked[n] if self.asked else (), nothing)
                for column, operator, wanted in self.ranged:
                    rows = rows[_meets(column[rows], operator, wanted[n])]
                result.append(reduce(rows))
            return np.array(result, dtype=float)
        if self.asked is None:
            return reduce(self.groups[()])
        known = {key: reduce(self.groups[key]) for key in set(self.asked) & self.groups.keys()}
        empty = reduce(nothing)
        return np.array([known.get(key, empty) for key in self.asked], dtype=float)

    def total(self, how: str, column: str) -> Any:
        if how == "count":
            return self._each(lambda rows: float(len(rows)))
        numbers = self.values.column(self.name, column).astype(float, copy=False)

        def reduce(rows: Any) -> float:
            present = numbers[rows]
            present = present[~np.isnan(present)]
            if not len(present):
                return 0.0
            match how:
                case "sum":
                    return float(present.sum())
                case "average":
                    return float(present.mean())
                case "least":
                    return float(present.min())
            return float(present.max())

        return self._each(reduce)

    def products(self, columns: tuple[str, ...]) -> Any:
        product = np.ones(self.rows)
        for column in columns:
            numbers = self.values.column(self.name, column).astype(float, copy=False)
            product = product * np.nan_to_num(numbers)
        return self._each(lambda rows: float(product[rows].sum()))


def _meets(column: Any, operator: str, wanted: Any) -> Any:
    met = _COMPARE[operator](column, wanted)  # a blank meets no comparison of order
    if operator == "<>" and not _is_text(column):
        return met | np.isnan(column)
    return np.asarray(met, dtype=bool)
