"""How values are shown: kind, number format and width, by what they are."""

from __future__ import annotations

from dataclasses import dataclass

from notchbook.language.expressions import Kind


@dataclass(frozen=True)
class Look:
    """How a value is shown: its kind, the name of its number format, its width in letters."""

    kind: Kind
    format: str
    width: float
    wrap: bool = False
    links: bool = False  # to the sheet that is called so


NAME = Look(Kind.TEXT, "text", 24)
LINK = Look(Kind.TEXT, "text", 24, links=True)
WORD = Look(Kind.TEXT, "text", 13)
LABEL = Look(Kind.TEXT, "text", 18)
TEXT = Look(Kind.TEXT, "text", 38, wrap=True)
LINE = Look(Kind.TEXT, "line", 60)  # words that run on over the empty cells beside them
BOX = Look(Kind.TEXT, "box", 5)  # an empty box to tick with a pencil
LENGTH = Look(Kind.NUMBER, "length", 10.5)
LENGTH_OR_NONE = Look(Kind.NUMBER, "length or none", 10.5)  # shows no 0
EXACT_LENGTH = Look(Kind.NUMBER, "exact length", 10.5)  # decimals: no tape need show it
MONEY = Look(Kind.NUMBER, "money", 11.5)
CASH = Look(Kind.NUMBER, "cash", 14.5)  # money that names its currency in each cell
RATE = Look(Kind.NUMBER, "rate", 11.5)  # money for something small: a use, a unit of length
PERCENT = Look(Kind.NUMBER, "percent", 9.5)
COUNT = Look(Kind.NUMBER, "count", 9.5)
NUMBER_OF = Look(Kind.NUMBER, "count or none", 9.5)  # the number of a row: shows no 0
AMOUNT = Look(Kind.NUMBER, "amount", 10.5)
VOLUME = Look(Kind.NUMBER, "volume", 11)
MINUTES = Look(Kind.NUMBER, "minutes", 10.5)
FACTOR = Look(Kind.NUMBER, "factor", 9.5)
DATE = Look(Kind.DATE, "date", 12)
YEAR = Look(Kind.NUMBER, "year", 8)
ANGLE = Look(Kind.NUMBER, "angle", 9)
TANGENT = Look(Kind.NUMBER, "fine or none", 9)
CHECKSUM = Look(Kind.NUMBER, "amount", 12)
