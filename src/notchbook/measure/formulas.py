"""Arithmetic over named sizes: `long - 2 * 3/4`, `(deep + 1/2) / 2`; nothing else is evaluated."""

from __future__ import annotations

import difflib
import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from notchbook.measure.lengths import (
    MeasureError,
    Units,
    check_bounds,
    check_text,
    quoted,
    read_literal,
    to_exact,
)

DEEPEST = 20
"""Brackets inside brackets."""

_WORD = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")
_SUMS = ("+", "-")
_PRODUCTS = ("*", "/")


@dataclass(frozen=True)
class Quantity:
    """A number, and whether it is a length or may still be a plain factor."""

    value: Fraction
    is_length: bool


@dataclass(frozen=True)
class Name:
    """A size that is used by its name."""

    text: str


Token: TypeAlias = Quantity | Name | str
"""What a calculation is made of; the text is an operator or a bracket."""


def evaluate(text: str | int | float, units: Units, sizes: Mapping[str, Fraction]) -> Fraction:
    """Work out the exact value in `units` of a calculation over named sizes.

    `+ - * /` need a space on both sides, so that 1-1/2 stays one and a half; brackets are
    allowed. A number without a unit is a factor beside `*` and `/`, and otherwise a length in
    `units`; a length divided by a length is a plain number again.

    Raises MeasureError for a product of two lengths, a number divided by a length, division by
    zero, an unknown name (naming the nearest known one), and whatever is not a calculation.
    """
    if not isinstance(text, str):
        return to_exact(text)
    return calculate(read_tokens(text, units), sizes)


def read_tokens(text: str, units: Units) -> list[Token]:
    """Read the numbers, names, operators and brackets of a calculation, lengths in `units`.

    Raises MeasureError for anything else, and for an operator without spaces around it.
    """
    written = check_text(text)
    tokens: list[Token] = []
    at = 0
    while at < len(written):
        if written[at] == " ":
            at += 1
            continue
        token, at = _next_token(written, at, units, bool(tokens) and _ends_value(tokens[-1]))
        tokens.append(token)
    return tokens


def find_names(tokens: Iterable[Token]) -> list[str]:
    """Find the sizes that a calculation needs, each once, in the order of their use."""
    return list(dict.fromkeys(token.text for token in tokens if isinstance(token, Name)))


def _ends_value(token: Token) -> bool:
    return token == ")" or not isinstance(token, str)


def _next_token(text: str, at: int, units: Units, after_value: bool) -> tuple[Token, int]:
    sign = text[at]
    if sign in _SUMS + _PRODUCTS:
        if text[:at].endswith(" ") and text[at + 1 :].startswith(" "):
            return sign, at + 1
        if sign != "-" or after_value:
            raise MeasureError(
                f"{quoted(text)} has {sign} without a space and a length on both sides; "
                f"write it as in long {sign} 2"
            )
        return _negative(text, at, units)
    if sign == ")":
        return sign, at + 1
    literal = read_literal(text, at, units)
    word = _WORD.match(text, at)
    if sign != "(" and literal is None and word is None:
        raise MeasureError(
            f"{quoted(text)} has {quoted(sign)}, which has no meaning here; use lengths, "
            "names of sizes, brackets and + - * /"
        )
    if after_value:
        raise _side_by_side(text, at)
    if literal is not None:
        value, has_unit, end = literal
        return Quantity(value, has_unit), end
    return (Name(word[0]), word.end()) if word is not None else (sign, at + 1)


def _negative(text: str, at: int, units: Units) -> tuple[Token, int]:
    literal = read_literal(text, at + 1, units)
    if literal is None:
        raise MeasureError(
            f"{quoted(text)} has a minus before something that is not a number; "
            "write it as in 0 - long"
        )
    value, has_unit, end = literal
    return Quantity(-value, has_unit), end


def _side_by_side(text: str, at: int) -> MeasureError:
    if text[at : at + 2] == "x ":
        hint = "one length is wanted here, not a size of several"
    elif text[at] in "xX":
        hint = "put a space on both sides of a small x between the dimensions of a size"
    elif text[:at].rstrip(" ").endswith("'"):
        hint = "inches after feet need their mark, as in 5' 3 1/4\""
    else:
        hint = "put one of + - * / between them, with a space on both sides"
    return MeasureError(f"{quoted(text)} has two things side by side before {text[at]!r}; {hint}")


def calculate(tokens: list[Token], sizes: Mapping[str, Fraction]) -> Fraction:
    """Work out a calculation that was read by `read_tokens`.

    Raises MeasureError as `evaluate` does.
    """
    reader = _Reader(tokens, sizes)
    result = reader.sum(0)
    if reader.next is not None:
        raise MeasureError("there is a closing bracket too many; give each ( one )")
    return result.value


class _Reader:
    """Walks along the tokens; each method takes what it understands and leaves the rest."""

    def __init__(self, tokens: list[Token], sizes: Mapping[str, Fraction]) -> None:
        self._tokens = tokens
        self._sizes = sizes
        self._at = 0

    @property
    def next(self) -> Token | None:
        return self._tokens[self._at] if self._at < len(self._tokens) else None

    def sum(self, depth: int) -> Quantity:
        result = self._product(depth)
        while self.next in _SUMS:
            operator = self._take()
            right = self._product(depth)
            value = result.value + (right.value if operator == "+" else -right.value)
            result = Quantity(check_bounds(value), result.is_length or right.is_length)
        return result

    def _product(self, depth: int) -> Quantity:
        result = self._operand(depth)
        while self.next in _PRODUCTS:
            operator = self._take()
            right = self._operand(depth)
            result = _times(result, right) if operator == "*" else _divided(result, right)
        return result

    def _operand(self, depth: int) -> Quantity:
        token = self._take()
        if isinstance(token, Quantity):
            return token
        if isinstance(token, Name):
            if token.text not in self._sizes:
                raise MeasureError(say_unknown_name(token.text, self._sizes))
            return Quantity(self._sizes[token.text], is_length=True)
        if token != "(":
            raise MeasureError(f"a length or a name is missing before {token}; put one there")
        if depth == DEEPEST:
            raise MeasureError(
                f"brackets stand more than {DEEPEST} deep; give a part of the calculation a name"
            )
        inside = self.sum(depth + 1)
        if self.next != ")":
            raise MeasureError("a bracket is not closed; give each ( one )")
        self._take()
        return inside

    def _take(self) -> Token:
        token = self.next
        if token is None:
            raise MeasureError("the calculation breaks off; end it with a length or a name")
        self._at += 1
        return token


def _times(left: Quantity, right: Quantity) -> Quantity:
    if left.is_length and right.is_length:
        raise MeasureError(
            "the product of two lengths is an area, not a length; "
            "multiply a length by a plain number, as in 2 * long"
        )
    return Quantity(check_bounds(left.value * right.value), left.is_length or right.is_length)


def _divided(left: Quantity, right: Quantity) -> Quantity:
    if right.value == 0:
        raise MeasureError("the calculation divides by zero; divide by something else")
    if right.is_length and not left.is_length:
        raise MeasureError(
            "a plain number divided by a length is not a length; "
            "divide a length, as in long / 2, or give the number a unit, as in 24 in / long"
        )
    value = check_bounds(left.value / right.value)
    return Quantity(value, left.is_length and not right.is_length)


def say_unknown_name(name: str, known: Collection[str]) -> str:
    """Say that no size has a name, with the nearest known one where one is near."""
    if name in ("x", "X"):
        return "x stands between the dimensions of a size and is no name; use another name"
    # the nearest name is searched among a few hundred, so that a huge file stays quick
    pool = [other for other in known if len(known) <= 200 or other[:1] == name[:1].lower()][:200]
    near = difflib.get_close_matches(name.lower(), pool, n=1) if len(name) <= 40 else []
    if near:
        return f"there is no size named {quoted(name)}; write {near[0]}, or add it to sizes"
    named = ", ".join(list(known)[:8])
    listed = f"; the sizes are {named}{' ...' if len(known) > 8 else ''}" if named else ""
    return f"there is no size named {quoted(name)}{listed}; add it to sizes, or write a length"
