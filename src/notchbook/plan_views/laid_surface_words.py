"""What a laid surface comes to, in words: strips, what they are trimmed to, what is cut away."""

from __future__ import annotations

from fractions import Fraction

from notchbook.base.sentences import counted
from notchbook.measure import Ruler
from notchbook.planning.geometry.outlines import LaidStrip, LaidSurface

MOST_LENGTHS = 12
"""Lengths told of a lay; strips trimmed to shorter ones are summed up."""


def show_length_left(strip: LaidStrip, ruler: Ruler) -> str:
    """Show what is left of a strip along its grain, long point to long point, as on a tape."""
    return ruler.show(Fraction(str(round(strip.length, 6))))


def count_lengths_left(lay: LaidSurface, ruler: Ruler) -> dict[str, int]:
    """Count the trimmed strips of each length that is left, the longest first."""
    counts: dict[str, int] = {}
    trimmed = (strip for strip in lay.strips if not strip.is_whole)
    for strip in sorted(trimmed, key=lambda each: -round(each.length, 6)):
        shown = show_length_left(strip, ruler)
        counts[shown] = counts.get(shown, 0) + 1
    return counts


def list_lengths_left(lay: LaidSurface, ruler: Ruler) -> str:
    """List the lengths left in a line, such as `5 of 8; 4 of ~6 9/16`."""
    counts = count_lengths_left(lay, ruler)
    told = [f"{count} of {shown}" for shown, count in counts.items()]
    if len(told) > MOST_LENGTHS:
        rest = sum(list(counts.values())[MOST_LENGTHS - 1 :])
        told[MOST_LENGTHS - 1 :] = [f"{rest} shorter"]
    return "; ".join(told)


def describe_laid_surface(name: str, lay: LaidSurface, ruler: Ruler, cut: int) -> str:
    """Say in two sentences how a surface is laid, of `cut` strips."""
    size = ruler.size(lay.strip_width, lay.strip_length)
    return (
        f"{name}, {lay.pattern}: {counted(len(lay.strips), 'strip')} of {size} {ruler.unit}."
        f" {lay.whole} stay whole, {len(lay.strips) - lay.whole} are trimmed,"
        f" {lay.measure_cut_away(cut):.0%} is cut away."
    )
