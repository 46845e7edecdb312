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
    kerf, deepest, _ = blade
    found: tuple[int, int] | None = None
    smallest = 0
    for number, (_, _, whole, tall) in enumerate(free):
        area = whole * tall
        if found is not None and area >= smallest:
            continue
        best = 0
        for way, (across, up) in enumerate(ways):
            if across > whole or up > tall:
                continue
            often = min(wanted, (whole + kerf) // (across + kerf) * ((tall + kerf) // (up + kerf)))
            if often > best and any(_list_orders((whole, tall), (across, up), deepest)):
                best, found, smallest = often, (number, way), area
    if found is None:
        return None
    number, way = found
    return Choice(number, way, cut_out(free[number], *ways[way], blade) or ())


def _list_orders(room: Way, piece: Way, deepest: int) -> tuple[bool, bool]:
    """Tell whether a blade that deep frees a piece, across first or up first."""
    (whole, tall), (across, up) = room, piece
    if whole <= deepest and tall <= deepest:
        return True, True
    narrower, lower = across < whole, up < tall
    return (
        not (narrower and tall > deepest) and not (lower and across > deepest),
        not (lower and whole > deepest) and not (narrower and up > deepest),
    )


def cut_out(
    rectangle: Rectangle, across: int, up: int, blade: Blade
) -> tuple[Rectangle, ...] | None:
    """Cut a piece from the lower corner; return what is left, None where no two cuts do it.

    Of the two orders of cutting that the blade's depth allows, the one is taken that leaves the
    larger single rectangle, unless the blade is told otherwise.
    """
    x, y, whole, tall = rectangle
    kerf, deepest, split = blade
    beside, above = max(whole - across - kerf, 0), max(tall - up - kerf, 0)
    across_first, up_first = _list_orders((whole, tall), (across, up), deepest)
    if not across_first and not up_first:
        return None
    if across_first and up_first and split is None:
        across_first = max(beside * tall, across * above) >= max(whole * above, beside * up)
    elif up_first:
        across_first = across_first and split == 0
    if across_first:
        found = (
            Rectangle(x + across + kerf, y, beside, tall),
            Rectangle(x, y + up + kerf, across, above),
        )
    else:
        found = (
            Rectangle(x, y + up + kerf, whole, above),
            Rectangle(x + across + kerf, y, beside, up),
        )
    if beside and above:
        return found
    return tuple([rest for rest in found if rest.across and rest.up])
