"""Guillotine cutting of a rectangle: cut one piece out of its lower corner, keep what is left."""

from typing import NamedTuple


class Rectangle(NamedTuple):
    """Lower corner and extents, in grid steps."""

    x: int
    y: int
    across: int
    up: int

    @property
    def area(self) -> int:
        """Square grid steps."""
        return self.across * self.up


class Blade(NamedTuple):
    """What a cut takes away, and how deep it reaches, in grid steps.

    `split` says which rest stays whole where a piece is cut from a corner: that which leaves the
    larger rectangle, that beside the piece (0), or that above it (1).
    """

    kerf: int
    deepest: int
    split: int | None = None


class Choice(NamedTuple):
    """Where a piece goes: the free rectangle's number, the way it lies, the rectangles left."""

    free: int
    way: int
    left: tuple[Rectangle, ...]


Way = tuple[int, int]  # the extents of a piece as it lies: across, up


def place(free: list[Rectangle], ways: tuple[Way, ...], blade: Blade, wanted: int) -> Choice | None:
    """Choose the smallest free rectangle that yields the piece, and the way that yields most."""
    kerf = blade.kerf
    found: Choice | None = None
    found_area = 0
    for number, rectangle in enumerate(free):
        room_across, room_up = rectangle.across + kerf, rectangle.up + kerf
        area = rectangle.across * rectangle.up
        if found is not None and area >= found_area:
            continue
        best = 0
        for way, (across, up) in enumerate(ways):
            often = min(wanted, (room_across // (across + kerf)) * (room_up // (up + kerf)))
            if often > best and (left := cut_out(rectangle, across, up, blade)) is not None:
                best, found, found_area = often, Choice(number, way, left), area
    return found


def cut_out(
    rectangle: Rectangle, across: int, up: int, blade: Blade
) -> tuple[Rectangle, ...] | None:
    """Cut a piece from the lower corner; return what is left, None where no two cuts do it.

    Of the two orders of cutting that the blade's depth allows, the one is taken that leaves the
    larger single rectangle, unless the blade is told otherwise.
    """
    x, y, whole, tall = rectangle
    kerf, deepest, split = blade
    beside, above = whole - across - kerf, tall - up - kerf
    narrower, lower = across < whole, up < tall
    found: tuple[Rectangle, ...] | None = None
    largest = -1
    if not (narrower and tall > deepest) and not (lower and across > deepest):
        found, largest = _kept(
            Rectangle(x + across + kerf, y, beside, tall),
            Rectangle(x, y + up + kerf, across, above),
        )
    if split == 0 and found is not None:
        return found
    if not (lower and whole > deepest) and not (narrower and up > deepest):
        other, size = _kept(
            Rectangle(x, y + up + kerf, whole, above), Rectangle(x + across + kerf, y, beside, up)
        )
        found = other if split == 1 or size > largest else found
    return found


def _kept(first: Rectangle, second: Rectangle) -> tuple[tuple[Rectangle, ...], int]:
    """Those of two rectangles that are there at all, and the area of the larger."""
    if first.across <= 0 or first.up <= 0:
        if second.across <= 0 or second.up <= 0:
            return (), 0
        return (second,), second.area
    if second.across <= 0 or second.up <= 0:
        return (first,), first.area
    return (first, second), max(first.area, second.area)
