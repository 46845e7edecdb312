"""One value, read from its text by what its key wants."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from notchbook.base.problems import nearest, quoted
from notchbook.definitions.reading.entries import Scalar
from notchbook.definitions.syntax.keys import Key
from notchbook.measure import EXAMPLES, Units, evaluate, evaluate_size, with_point
from notchbook.sheets.kit.written import Reads
from notchbook.sheets.making.ends import parse_ends

_NUMBER = re.compile(r"[+-]?(?:[0-9]{1,18}(?:\.[0-9]{0,18})?|\.[0-9]{1,18})")
_COMMAS = re.compile(r"[+-]?[0-9][0-9.,]{1,30}")
_FRACTION = re.compile(r"(?:[0-9]{1,3}[ -])?[0-9]{1,3}/[0-9]{1,3}")
_WHOLE = re.compile(r"[+-]?[0-9]{1,9}")
_PERCENT = re.compile(r"(?P<number>.*?) ?%")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_WORD = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")
_YES: Mapping[str, bool] = {"true": True, "yes": True, "false": False, "no": False}
_YAML_TRUTH = ("true", "True", "TRUE", "false", "False", "FALSE")


@dataclass(frozen=True)
class Scope:
    """What lengths are read in: the shop's units, and the sizes a project names.

    `broken` names sizes that have an error of their own; what uses them is not read.
    """

    units: Units
    sizes: Mapping[str, Fraction] = field(default_factory=dict)
    broken: frozenset[str] = frozenset()
    has_sizes: bool = False  # a project's lengths may be named; no others


class UnreadableError(ValueError):
    """A value that is not what its key wants; the message says what to write instead."""


class BrokenError(Exception):
    """A value that hangs on a size whose own error is reported elsewhere."""


def read_scalar(key: Key, scalar: Scalar, scope: Scope) -> object:
    """The value of a scalar as its key wants it.

    Raises a ValueError with a sentence for what cannot be read, BrokenError where it hangs on
    another error.
    """
    if scalar.empty:
        hint = "" if key.required else ", or leave the key out"
        raise UnreadableError(f"nothing is written; write a value such as {key.example}{hint}")
    return _READERS[key.reads](key, scalar, scope)


def read_number(text: str, example: str) -> float:
    """A plain decimal number.

    Raises UnreadableError for anything else.
    """
    if not _NUMBER.fullmatch(text):
        meant = with_point(text) if _COMMAS.fullmatch(text) else None
        if meant is not None:
            raise UnreadableError(f"{quoted(text)} has a comma; write it with a point: {meant}")
        raise UnreadableError(
            f"{quoted(text)} is not a number; write it in plain digits, as {example}"
        )
    return float(text)


def _text(key: Key, scalar: Scalar, _: Scope) -> str:
    if not scalar.quoted and scalar.text in _YAML_TRUTH:
        raise UnreadableError(
            f"{scalar.text} is not text; put quotation marks around it or write words"
        )
    text = scalar.text.strip()
    strange = next((sign for sign in text if _unprintable(sign)), None)
    if strange is not None:
        raise UnreadableError(
            f"the character U+{ord(strange):04X} cannot stand in a cell; write a line of plain text"
        )
    if not text:
        raise UnreadableError(f"the text is empty; write a value such as {key.example}")
    return text


def _unprintable(sign: str) -> bool:
    code = ord(sign)
    return code < 32 or 127 <= code < 160 or 0xD800 <= code <= 0xDFFF or code & 0xFFFE == 0xFFFE


def _word(key: Key, scalar: Scalar, _: Scope) -> str:
    text = scalar.text.strip()
    if (truth := _YES.get(text.lower())) is not None:
        text = "yes" if truth else "no"
    if text not in key.choices:
        near = nearest(text, key.choices)
        raise UnreadableError(
            f"{quoted(text)} is not known{near}; write {' or '.join(key.choices)}"
        )
    return text


def _yes(_key: Key, scalar: Scalar, _: Scope) -> str | None:
    truth = _YES.get(scalar.text.strip().lower())
    if truth is None:
        raise UnreadableError(f"{quoted(scalar.text)} is neither yes nor no; write true or false")
    return "yes" if truth else None


def _unbroken(scalar: Scalar, scope: Scope) -> str:
    if scope.broken.intersection(_WORD.findall(scalar.text[:1000])):
        raise BrokenError
    return scalar.text


def _length(_key: Key, scalar: Scalar, scope: Scope) -> Fraction:
    text = _unbroken(scalar, scope)
    if not scope.has_sizes and _WORD.fullmatch(text.strip()):
        raise UnreadableError(f"{quoted(text)} is not a length; write one such as {EXAMPLES}")
    return evaluate(text, scope.units, scope.sizes)


def _size(_key: Key, scalar: Scalar, scope: Scope) -> tuple[Fraction, ...]:
    return evaluate_size(_unbroken(scalar, scope), scope.units, scope.sizes, 3)


def _mark_size(_key: Key, scalar: Scalar, scope: Scope) -> tuple[Fraction, ...]:
    return evaluate_size(_unbroken(scalar, scope), scope.units, scope.sizes, 2)


def _number(key: Key, scalar: Scalar, _: Scope) -> float:
    return read_number(scalar.text.strip(), key.example)


def _amount(key: Key, scalar: Scalar, _: Scope) -> float:
    text = scalar.text.strip()
    if "/" not in text or not _FRACTION.fullmatch(text):
        return read_number(text, key.example)
    return float(evaluate(text, "inch", {}))


def _whole(key: Key, scalar: Scalar, _: Scope) -> int:
    text = scalar.text.strip()
    if not _WHOLE.fullmatch(text):
        meant = with_point(text) if _COMMAS.fullmatch(text) else None
        raise UnreadableError(
            f"{quoted(text)} is not a whole number; write one such as {meant or key.example}"
        )
    return int(text)


def _hundredths(text: str, example: str) -> float | None:
    """The share that a percentage says, to the last digit; None where there is no percent sign."""
    found = _PERCENT.fullmatch(text)
    if found is None:
        return None
    read_number(found["number"], example)
    return float(Fraction(found["number"]) / 100)


def _percent(key: Key, scalar: Scalar, _: Scope) -> float:
    text = scalar.text.strip()
    share = _hundredths(text, key.example)
    if share is not None:
        return share
    share = read_number(text, key.example)
    if share > 1:
        raise UnreadableError(f"{quoted(text)} is no share; write {text}% or a number from 0 to 1")
    return share


def _factor(key: Key, scalar: Scalar, _: Scope) -> float:
    text = scalar.text.strip()
    share = _hundredths(text, key.example)
    return read_number(text, key.example) if share is None else share


def _date(key: Key, scalar: Scalar, _: Scope) -> date:
    text = scalar.text.strip()
    found = _DAY.fullmatch(text)
    try:
        return date.fromisoformat(found[0] if found else "")
    except ValueError:
        raise UnreadableError(
            f"{quoted(text)} is not a day; write year-month-day, as {key.example}"
        ) from None


def _ends(_key: Key, scalar: Scalar, _: Scope) -> str:
    parse_ends(scalar.text)
    return " ".join(scalar.text.split())


_READERS: Mapping[Reads, Callable[[Key, Scalar, Scope], object]] = {
    Reads.NAME: _text,
    Reads.TEXT: _text,
    Reads.WORD: _word,
    Reads.YES: _yes,
    Reads.LENGTH: _length,
    Reads.SIDES: _length,
    Reads.MARK_SIZE: _mark_size,
    Reads.SIZE: _size,
    Reads.MONEY: _number,
    Reads.NUMBER: _number,
    Reads.AMOUNT: _amount,
    Reads.WHOLE: _whole,
    Reads.PERCENT: _percent,
    Reads.FACTOR: _factor,
    Reads.DATE: _date,
    Reads.ENDS: _ends,
}
