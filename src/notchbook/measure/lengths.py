"""One length: from what a maker writes to an exact number, and back to what a tape shows."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Literal, TypeAlias

from notchbook.measure.commas import with_point

Units: TypeAlias = Literal["inch", "mm"]
"""What a bare length means in a shop, and what every worked-out length is in."""

LONGEST_TEXT = 200
"""Characters; nothing a maker writes for a length comes near it."""

LARGEST = 10**9
"""Inches or millimetres; anything beyond it is a slip of the keyboard."""

FINEST_BITS = 4096
"""Binary digits of a denominator, so that chained sizes cannot grow without end."""

EXAMPLES = """3/8, 1 1/2, 14.375, 5' 3 1/4" or 365 mm"""


class MeasureError(ValueError):
    """A length that cannot be used; the message says what is wrong and what to write instead."""


# The inch is 25.4 mm and the foot 304.8 mm, both exactly: the international yard and pound
# agreement of 1959 (0.9144 m a yard), also in NIST Handbook 44, appendix C.
MILLIMETRES: dict[str, Fraction] = {
    **dict.fromkeys(('"', "in", "inch", "inches"), Fraction(254, 10)),
    **dict.fromkeys(("'", "ft", "foot", "feet"), Fraction(3048, 10)),
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
}

_NUMBER = r"(?:[0-9]+(?:[ ]+|-)[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*\.[0-9]+|[0-9]+)"
_WORD_ENDS = r"(?![A-Za-z0-9_])"
_LITERAL = re.compile(
    rf"""
      (?P<feet>{_NUMBER})[ ]*(?:'|(?:ft|foot|feet){_WORD_ENDS})
      (?:[ ]*|-)(?P<inches>{_NUMBER})[ ]*(?:"|(?:in|inch|inches){_WORD_ENDS})
    | (?P<number>{_NUMBER})
      (?:[ ]*(?P<unit>["']|(?:in|inch|inches|ft|foot|feet|mm|cm|m){_WORD_ENDS}))?
    """,
    re.VERBOSE,
)


def parse_length(text: str | int | float, units: Units) -> Fraction:
    """Read the exact length in `units` that was written, with or without a unit of its own.

    Bare numbers are in `units`. A float is taken as the decimal it was written as, so 0.1 is
    one tenth. Zero and negative lengths are allowed here.

    Raises MeasureError for whatever is not one length.
    """
    if not isinstance(text, str):
        return to_exact(text)
    written = check_text(text)
    negative = written.startswith("-")
    match = _LITERAL.fullmatch(written, 1 if negative else 0)
    if match is None:
        raise MeasureError(f"{quoted(written)} is not a length; write one such as {EXAMPLES}")
    value, _ = _read(match, units)
    return -value if negative else value


def read_literal(text: str, at: int, units: Units) -> tuple[Fraction, bool, int] | None:
    """Read the length that starts at a place in the text, or None where none does.

    Returns its value in `units`, whether it carries a unit of its own, and where it ends.

    Raises MeasureError for a zero denominator, a mixed number such as 1 9/8, and far too much.
    """
    match = _LITERAL.match(text, at)
    if match is None:
        return None
    value, has_unit = _read(match, units)
    return value, has_unit, match.end()


def _read(match: re.Match[str], units: Units) -> tuple[Fraction, bool]:
    if match["feet"] is not None:
        inches = 12 * _number(match["feet"]) + _number(match["inches"])
        return check_bounds(_in_shop_units(inches, '"', units)), True
    value = _number(match["number"])
    if match["unit"] is None:
        return check_bounds(value), False
    return check_bounds(_in_shop_units(value, match["unit"], units)), True


def _in_shop_units(value: Fraction, unit: str, units: Units) -> Fraction:
    return value * MILLIMETRES[unit] / MILLIMETRES[units]


def _number(text: str) -> Fraction:
    whole, _, part = text.replace("-", " ").rpartition(" ")
    if "/" not in part:
        return Fraction(part)
    above, below = (int(digits) for digits in part.split("/"))
    if below == 0:
        raise MeasureError(f"{quoted(text)} divides by zero; write a fraction such as 3/8")
    if whole and above >= below:
        raise MeasureError(
            f"{quoted(text)} has a fraction of one or more after a whole number; "
            "write a mixed number such as 1 1/2"
        )
    return int(whole or "0") + Fraction(above, below)


def to_exact(number: int | float) -> Fraction:
    """Return the number as the decimal it was written as: 0.1 is one tenth.

    Raises MeasureError for true and false, for infinity and not-a-number, and far too much.
    """
    if isinstance(number, bool) or not isinstance(number, int | float):
        raise MeasureError(f"{quoted(number)} is not a length; write one such as {EXAMPLES}")
    if isinstance(number, int):
        return check_bounds(Fraction(number))
    if not math.isfinite(number):
        raise MeasureError(f"{quoted(number)} is not a length; write one such as {EXAMPLES}")
    return check_bounds(Fraction(float.__repr__(number)))


def check_bounds(value: Fraction) -> Fraction:
    """Return the value itself, where it can be the length of something.

    Raises MeasureError beyond a thousand million, or for an absurdly fine fraction.
    """
    if abs(value) > LARGEST:
        raise MeasureError(f"a length here is over {LARGEST}; write a smaller one")
    if value.denominator.bit_length() > FINEST_BITS:
        raise MeasureError("a length here has an endless fraction; write a rounder one")
    return value


def check_text(text: str) -> str:
    """Return the text without spaces around it, known to be short, plain and not empty.

    Raises MeasureError for text that is too long, empty, or has characters beyond plain ASCII.
    """
    if len(text) > LONGEST_TEXT:
        raise MeasureError(
            f"{quoted(text)} is {len(text)} characters long; write a length or a calculation "
            f"in at most {LONGEST_TEXT}"
        )
    stripped = text.strip(" ")
    if not stripped:
        raise MeasureError(f"the length is empty; write one such as {EXAMPLES}")
    meant = with_point(stripped)
    if meant is not None:
        raise MeasureError(f"{quoted(stripped)} has a comma; write it with a point: {meant}")
    strange = next((sign for sign in stripped if not " " <= sign <= "~"), None)
    if strange is not None:
        raise MeasureError(
            f"{quoted(stripped)} has the character U+{ord(strange):04X}; use plain digits and "
            "letters, single spaces, x between dimensions, ' for feet and \" for inches"
        )
    return stripped


def quoted(written: object) -> str:
    """Quote what was written, for a message: one line of at most 60 characters."""
    if isinstance(written, int) and abs(written) > 10**60:
        return "a number of more than 60 digits"
    text = str(written)
    start = text if len(text) <= 60 else text[:57] + "..."
    return "'" + "".join(sign if sign.isprintable() else "?" for sign in start) + "'"


def show_length(value: Fraction | float, units: Units, finest: Fraction = Fraction(1, 32)) -> str:
    """Show the length as a maker reads it: `14 3/8` in an inch shop, `365.13` in an mm shop.

    Inches are rounded to a multiple of `finest` (in inches), half away from zero, and reduced;
    a leading `~` says that rounding changed the value by more than 1e-9 in. Millimetres have at
    most two decimals and no mark, being finer than any saw.

    Raises MeasureError for a value that is not finite or far too much, or `finest` not above 0.
    """
    length = check_bounds(value) if isinstance(value, Fraction) else to_exact(value)
    if units == "mm":
        hundredths = _rounded(length * 100)
        digits = f"{abs(hundredths) // 100}.{abs(hundredths) % 100:02d}".rstrip("0").rstrip(".")
        return ("-" if hundredths < 0 else "") + digits
    if finest <= 0:
        raise MeasureError("lengths must be shown to a fraction above zero, such as 1/32")
    shown = _rounded(length / finest) * finest
    about = "~" if abs(shown - length) > Fraction(1, 10**9) else ""
    return about + _mixed(shown)


def _rounded(value: Fraction) -> int:
    away = math.floor(abs(value) + Fraction(1, 2))
    return -away if value < 0 else away


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(abs(value), 1)
    words = ([str(whole)] if whole or not rest else []) + ([str(rest)] if rest else [])
    return ("-" if value < 0 else "") + " ".join(words)
