"""Where the offcuts worth keeping lie in a section or on a sheet, so that they can be drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from notchbook.plan_views.boxes import KEEP, LabelledBox


class Place(NamedTuple):
    """A rectangle: its lower corner and its extents."""

    x: Fraction
    y: Fraction
    across: Fraction
    up: Fraction

    def lies_clear_of(self, other: Place, kerf: Fraction) -> bool:
        """Whether a cut's width at least is between the two."""
        beside = self.x + self.across + kerf <= other.x or other.x + other.across + kerf <= self.x
        above = self.y + self.up + kerf <= other.y or other.y + other.up + kerf <= self.y
        return beside or above

    def holds(self, other: Place) -> bool:
        """Whether the other lies within it."""
        return (
            self.x <= other.x
            and self.y <= other.y
            and other.x + other.across <= self.x + self.across
            and other.y + other.up <= self.y + self.up
        )


def place_rests(
    area: Place,
    shapes: Sequence[LabelledBox],
    sizes: Sequence[tuple[Fraction, Fraction]],
    kerf: Fraction,
    show: Sequence[str],
) -> Iterator[LabelledBox]:
    """Place rests of these sizes where nothing else lies, each at an edge of the area or a shape.

    One for which no such place is found, as where cuts join several gaps to one rest, is left out.
    `show` says of each what is written below the word.
    """
    taken = [Place(shape.x, shape.y, shape.across, shape.up) for shape in shapes]
    for (across, up), below in zip(sizes, show, strict=True):
        found = next(_free(area, taken, across, up, kerf), None)
        if found is not None:
            taken.append(found)
            yield LabelledBox(*found, KEEP, below)


def _free(
    area: Place, taken: Sequence[Place], across: Fraction, up: Fraction, kerf: Fraction
) -> Iterator[Place]:
    """The last places first: what is left lies behind what is cut."""
    xs = {area.x, area.x + area.across - across}
    xs |= {each.x + each.across + kerf for each in taken} | {e.x - kerf - across for e in taken}
    ys = {area.y, area.y + area.up - up}
    ys |= {each.y + each.up + kerf for each in taken} | {each.y - kerf - up for each in taken}
    for x in sorted(xs, reverse=True):
        for y in sorted(ys, reverse=True):
            place = Place(x, y, across, up)
            if area.holds(place) and all(place.lies_clear_of(each, kerf) for each in taken):
                yield place
