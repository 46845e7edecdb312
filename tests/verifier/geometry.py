"""Rectangles freed by cuts right across: the geometry that plans are judged by.

It shares no code with the planner. Lengths are whole grid steps, or fractions.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction

Length = int | Fraction
Box = tuple[Length, Length, Length, Length]  # lower and upper corner: x, y, far x, far y


def separable(
    boxes: Sequence[Box], region: Box, kerf: Length, deepest: Length | None = None
) -> bool:
    """Whether cuts right across free every box from the region, none deeper than `deepest`.

    Any cut that crosses no box may come first: the cuts that would have freed the boxes free them
    from its two sides as well, none of them deeper. A remainder under a kerf is allowed.
    """
    if any(not inside(box, region) for box in boxes):
        return False
    areas = [(region, list(boxes))]
    while areas:
        area, held = areas.pop()
        if not held or held == [area]:
            continue
        parted = _first_cut(area, held, kerf, deepest)
        if parted is None:
            return False
        areas += parted
    return True


def has_room(
    size: tuple[Length, Length],
    boxes: Sequence[Box],
    region: Box,
    kerf: Length,
    deepest: Length | None = None,
) -> bool:
    """Whether one more box, x by y large, could be freed from the region beside the others."""
    return any(
        separable([*boxes, box], region, kerf, deepest)
        for box in _places(size, boxes, region, kerf)
    )


def area_left(boxes: Sequence[Box], region: Box) -> Length:
    """The area of the region that no box takes."""
    return _area(region) - sum(_area(box) for box in boxes)


def inside(box: Box, area: Box) -> bool:
    """Whether the box lies within the area."""
    return area[0] <= box[0] and area[1] <= box[1] and box[2] <= area[2] and box[3] <= area[3]


def _area(box: Box) -> Length:
    return (box[2] - box[0]) * (box[3] - box[1])


def _first_cut(
    area: Box, held: Sequence[Box], kerf: Length, deepest: Length | None
) -> list[tuple[Box, list[Box]]] | None:
    """What a cut that crosses none of the boxes leaves on its two sides; None where none does."""
    for axis in (0, 1):
        if deepest is not None and area[3 - axis] - area[1 - axis] > deepest:
            continue
        for at in _touching(area, held, axis, kerf):
            below = [box for box in held if box[axis + 2] <= at]
            above = [box for box in held if box[axis] >= at + kerf]
            if len(below) + len(above) == len(held):
                low, high = list(area), list(area)
                low[axis + 2], high[axis] = at, at + kerf
                return [
                    ((low[0], low[1], low[2], low[3]), below),
                    ((high[0], high[1], high[2], high[3]), above),
                ]
    return None


def _touching(area: Box, held: Sequence[Box], axis: int, kerf: Length) -> list[Length]:
    """Where a blade that takes something off the area touches a box on one of its sides."""
    places = {box[axis + 2] for box in held} | {box[axis] - kerf for box in held}
    return sorted(at for at in places if area[axis] - kerf < at < area[axis + 2])


def _places(
    size: tuple[Length, Length], boxes: Sequence[Box], region: Box, kerf: Length
) -> Iterator[Box]:
    """Where a box of the size touches, a kerf away, the region's edges or the other boxes."""
    starts = []
    for axis in (0, 1):
        at = {region[axis]} | {box[axis + 2] + kerf for box in boxes}
        at |= {box[axis] - kerf - size[axis] for box in boxes}
        starts.append(sorted(at))
    for x in starts[0]:
        for y in starts[1]:
            box = (x, y, x + size[0], y + size[1])
            if inside(box, region) and not any(_too_near(box, other, kerf) for other in boxes):
                yield box


def _too_near(one: Box, other: Box, kerf: Length) -> bool:
    return all(
        one[axis] < other[axis + 2] + kerf and other[axis] < one[axis + 2] + kerf for axis in (0, 1)
    )
