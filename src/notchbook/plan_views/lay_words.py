"""What a laid surface comes to, in words: strips, what they are trimmed to, what is cut away."""

from __future__ import annotations

from fractions import Fraction

from notchbook.base.sentences import counted
from notchbook.measure import Ruler
from notchbook.planning.geometry.outlines import LaidStrip, Lay

MOST_LENGTHS = 12
"""Lengths told of a lay; strips trimmed to shorter ones are summed up."""


def length_left(strip: LaidStrip, ruler: Ruler) -> str:
    """What is left of a strip along its grain, long point to long point, as a tape shows it."""
    return ruler.show(Fraction(str(round(strip.length, 6))))


def lengths_left(lay: Lay, ruler: Ruler) -> dict[str, int]:
    """How many trimmed strips are left at each length, the longest first."""
    counts: dict[str, int] = {}
    trimmed = (strip for strip in lay.strips if not strip.is_whole)
    for strip in sorted(trimmed, key=lambda each: -round(each.length, 6)):
        shown = length_left(strip, ruler)
        counts[shown] = counts.get(shown, 0) + 1
    return counts


def lengths_told(lay: Lay, ruler: Ruler) -> str:
    """The same in a line, such as `5 of 8; 4 of ~6 9/16`."""
    counts = lengths_left(lay, ruler)
    told = [f"{count} of {shown}" for shown, count in counts.items()]
    if len(told) > MOST_LENGTHS:
        rest = sum(list(counts.values())[MOST_LENGTHS - 1 :])
        told[MOST_LENGTHS - 1 :] = [f"{rest} shorter"]
    return "; ".join(told)


def lay_told(name: str, lay: Lay, ruler: Ruler) -> str:
    """A lay in two sentences."""
    size = ruler.size(lay.strip_width, lay.strip_length)
    return (
        f"{name}, {lay.pattern}: {counted(len(lay.strips), 'strip')} of {size} {ruler.unit}."
        f" {lay.whole} stay whole, {len(lay.strips) - lay.whole} are trimmed,"
        f" {lay.offcut_share:.0%} is cut away."
    )
