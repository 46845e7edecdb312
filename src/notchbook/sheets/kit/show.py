"""How values are shown: kind, number format and width, by what they are."""

from __future__ import annotations

from dataclasses import dataclass

from notchbook.language.value_kinds import Kind


@dataclass(frozen=True)
class Look:
    """How a value is shown: its kind, the name of its number format, its width in letters."""

    kind: Kind
    format: str
    width: float
    wrap: bool = False
    links: bool = False  # to the sheet that is called so


NAME = Look(Kind.TEXT, "text", 14)
LINK = Look(Kind.TEXT, "text", 14, links=True)
WORD = Look(Kind.TEXT, "text", 8)
LABEL = Look(Kind.TEXT, "text", 12)
VERDICT = Look(Kind.TEXT, "text", 22)  # one line of a few words, as "worth it up to 41 minutes"
TEXT = Look(Kind.TEXT, "text", 22, wrap=True)
SENTENCE = Look(Kind.TEXT, "text", 30, wrap=True)
NOTE = Look(Kind.TEXT, "text", 17, wrap=True)
LINE = Look(Kind.TEXT, "line", 60)  # words that run on over the empty cells beside them
BOX = Look(Kind.TEXT, "box", 5)  # an empty box to tick with a pencil
LENGTH = Look(Kind.NUMBER, "length", 8.5)
LENGTH_OR_NONE = Look(Kind.NUMBER, "length or none", 8.5)  # shows no 0
EXACT_LENGTH = Look(Kind.NUMBER, "exact length", 9)  # decimals: no tape need show it
BOARDS = Look(Kind.NUMBER, "boards", 8.5)  # by eye: a typed 1/2 is half a board
MONEY = Look(Kind.NUMBER, "money", 9)
MONEY_OR_NONE = Look(Kind.NUMBER, "money or none", 9)  # shows no 0
RATE = Look(Kind.NUMBER, "rate", 9)  # money for something small: a use, a unit of length
MONEYS = (MONEY.format, MONEY_OR_NONE.format, RATE.format)
"""The formats of amounts of money."""
PERCENT = Look(Kind.NUMBER, "percent", 8)
YES_OR_NO = Look(Kind.NUMBER, "yes or no", 7)  # 1 and 0
COUNT = Look(Kind.NUMBER, "count", 7)
NUMBER_OF = Look(Kind.NUMBER, "count or none", 7)  # the number of a row: shows no 0
AMOUNT = Look(Kind.NUMBER, "amount", 8.5)
VOLUME = Look(Kind.NUMBER, "volume", 8.5)
MINUTES = Look(Kind.NUMBER, "minutes", 8)
FACTOR = Look(Kind.NUMBER, "factor", 7.5)
DATE = Look(Kind.DATE, "date", 10.6)
YEAR = Look(Kind.NUMBER, "year", 7)
ANGLE = Look(Kind.NUMBER, "angle", 7)
TANGENT = Look(Kind.NUMBER, "fine or none", 8)
KEPT = Look(Kind.NUMBER, "kept", 12)  # a sum to compare with, which tells nothing by itself
CHECKSUM = Look(Kind.NUMBER, "amount", 12)
