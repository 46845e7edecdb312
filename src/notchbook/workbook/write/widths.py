"""How much room words take in the letters of the workbook.

Widths in thousandths of the letters' size, rounded, measured on Liberation Sans, whose letters are
as wide as those of Arial; other signs are taken as wide as a capital.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import isnan

_WIDTHS = {
    **dict.fromkeys("ijl'|", 222),
    **dict.fromkeys(" ftI.,:;/\\!", 278),
    **dict.fromkeys("r-()[]", 333),
    **dict.fromkeys("ckJsvxyz", 500),
    **dict.fromkeys("abdeghnopquL0123456789_?$", 556),
    **dict.fromkeys("+=<>~×÷−", 584),
    **dict.fromkeys("FTZ", 611),
    **dict.fromkeys("ABEKPSVXY&", 667),
    **dict.fromkeys("CDHNRUw", 722),
    **dict.fromkeys("GOQ", 778),
    "%": 889,
    **dict.fromkeys("mM", 833),
    "W": 944,
    "@": 1015,
}
_OTHER = 722
_BOLD = 1.08
_PIXELS = 96 / 72  # to a point
_UNIT = 7  # pixels to a unit of column width, the widest digit of the default font
PADDING = 0.8  # units that a cell keeps free at its sides
INDENT = 1.3  # units of an indent
_NOTHING = 1e-6  # units; sums of the same widths may differ by so much
MOST = 46.0  # units; no column is made wider for what stands in it


def text_units(text: str, points: float = 10, *, bold: bool = False) -> float:
    """The width of a line of text, in units of column width."""
    thousandths = sum(_WIDTHS.get(sign, _OTHER) for sign in text)
    return thousandths / 1000 * points * _PIXELS / _UNIT * (_BOLD if bold else 1)


def lines_of(text: str, width: float, *, bold: bool = False) -> int:
    """How many lines a text takes in so many units, a word never broken."""
    lines, room = 1, width
    for word in text.split(" "):
        needed = text_units(word, bold=bold)
        if needed > room + _NOTHING and room < width:
            lines, room = lines + 1, width
        room -= needed + text_units(" ", bold=bold)
    return lines


def broken_once(
    text: str, behind: float = 0.0, *, bold: bool = False, right: bool = False
) -> float:
    """The width that a text needs on one line or two, broken between words only.

    `behind` is the room to keep free behind the second line of two; words that stand `right` keep
    it free behind the first, too.
    """
    words = text.split(" ")
    halves = ((" ".join(words[:n]), " ".join(words[n:])) for n in range(1, len(words)))
    broken = [
        max(
            text_units(first, bold=bold) + (behind if right else 0.0),
            text_units(second, bold=bold) + behind,
        )
        for first, second in halves
    ]
    return min((text_units(text, bold=bold), *broken))


def number_units(values: Iterable[float], pattern: str) -> float:
    """The width of the widest of some numbers, as a number format shows them."""
    known = [value for value in values if not isnan(value)]
    if not known:
        return 0.0
    if "/" in pattern:
        return max(text_units(f"{int(value)} 00/00") for value in known)
    shown = pattern.split(";", maxsplit=1)[0]  # what follows is for negative numbers, 0 and words
    decimals = len(shown.partition(".")[2].rstrip("%"))
    scale, sign = (100, "%") if shown.endswith("%") else (1, "")
    return max(text_units(f"{value * scale:,.{decimals}f}{sign}") for value in known)
