"""The functions of the language: one row each, with every rendering beside the other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import numpy as np

from notchbook.language.value_kinds import Kind

EPOCH = date(1899, 12, 30)  # day 0 of the serial dates that spreadsheets count in


def to_serial(day: date) -> float:
    """Return the spreadsheet's day number of a date."""
    return float((day - EPOCH).days)


def from_serial(number: float) -> date:
    """Return the date of a spreadsheet's day number."""
    return EPOCH + timedelta(days=int(number))


@dataclass(frozen=True)
class Function:
    """A function: argument kinds (the last one repeats), result, numpy rendering, words."""

    arguments: tuple[Kind, ...]
    result: Kind
    numpy: Callable[..., Any]
    words: str  # {0}, {1}: the arguments; {all}: all of them, with commas
    least_arguments: int = 1


def _days(part: str) -> Callable[[Any], Any]:
    def read(serial: Any) -> Any:
        days = np.floor(np.asarray(serial, dtype=float)).astype("int64")
        stamps = np.datetime64(EPOCH, "D") + days.astype("timedelta64[D]")
        years = stamps.astype("datetime64[Y]")
        months = stamps.astype("datetime64[M]")
        if part == "year":
            return (years.astype("int64") + 1970).astype(float)
        if part == "month":
            return ((months - years).astype("int64") + 1).astype(float)
        return ((stamps - months).astype("int64") + 1).astype(float)

    return read


def _date(year: Any, month: Any, day: Any) -> Any:
    whole = [np.floor(np.asarray(part, dtype=float)).astype("int64") for part in (year, month, day)]
    months = (whole[0] - 1970) * 12 + whole[1] - 1
    first = months.astype("datetime64[M]").astype("datetime64[D]")
    return (first + (whole[2] - 1) - np.datetime64(EPOCH, "D")).astype("int64").astype(float)


def _fold(reduce: str) -> Callable[..., Any]:
    def fold(*values: Any) -> Any:
        result = values[0]
        for value in values[1:]:
            result = getattr(np, reduce)(result, value)
        return result

    return fold


def _text(method: Callable[..., str]) -> Callable[..., Any]:
    def apply(value: Any, *more: Any) -> Any:
        return np.vectorize(method, otypes=[object])(value, *more)

    return apply


def _length(value: Any) -> Any:
    return np.vectorize(len, otypes=[float])(value)


def _mod(value: Any, divisor: Any) -> Any:
    with np.errstate(all="ignore"):
        return np.where(np.asarray(divisor) == 0, 0.0, np.mod(value, divisor))


def _never(value: Any) -> Any:
    """Frames hold numbers; only in a workbook can text be typed where a number belongs."""
    return np.zeros(np.shape(value), dtype=bool)


def _found(value: Any, _: Any) -> Any:
    """Frames hold no errors; only in a workbook can words make one of a sum."""
    return value


def _unary(name: str) -> Callable[[Any], Any]:
    def apply(value: Any) -> Any:
        return getattr(np, name)(value)

    return apply


_N, _D, _T, _B = Kind.NUMBER, Kind.DATE, Kind.TEXT, Kind.TRUTH

FUNCTIONS: dict[str, Function] = {
    "ABS": Function((_N,), _N, _unary("abs"), "{0} without its sign"),
    "INT": Function((_N,), _N, _unary("floor"), "the whole part of {0}"),
    "MOD": Function((_N, _N), _N, _mod, "the remainder of {0} ÷ {1}", 2),
    "MIN": Function((_N,), _N, _fold("minimum"), "the smallest of {all}"),
    "MAX": Function((_N,), _N, _fold("maximum"), "the largest of {all}"),
    "AND": Function((_B,), _B, _fold("logical_and"), "all of: {all}"),
    "OR": Function((_B,), _B, _fold("logical_or"), "any of: {all}"),
    "NOT": Function((_B,), _B, _unary("logical_not"), "not {0}"),
    "YEAR": Function((_D,), _N, _days("year"), "the year of {0}"),
    "MONTH": Function((_D,), _N, _days("month"), "the month of {0}"),
    "DAY": Function((_D,), _N, _days("day"), "the day of {0}"),
    "DATE": Function((_N, _N, _N), _D, _date, "the day with year {0}, month {1} and day {2}", 3),
    "ISTEXT": Function((_N,), _B, _never, "{0} is text where a number belongs"),
    "IFERROR": Function((_N, _N), _N, _found, "{0}, or {1} where it is an error", 2),
    "LEN": Function((_T,), _N, _length, "the number of letters of {0}"),
    "LEFT": Function(
        (_T, _N), _T, _text(lambda text, n: text[: int(n)]), "the first {1} letters of {0}", 2
    ),
    "RIGHT": Function(
        (_T, _N),
        _T,
        _text(lambda text, n: text[len(text) - int(n) :]),
        "the last {1} letters of {0}",
        2,
    ),
    "UPPER": Function((_T,), _T, _text(str.upper), "{0} in capitals"),
}
