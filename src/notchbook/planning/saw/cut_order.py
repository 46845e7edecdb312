"""The order of cuts right across that frees given rectangles from a larger one.

Where several orders do it, the one with the fewest odd settings is taken, then the one that turns
the pieces least often, has the fewest cuts, and leaves the rest in the largest pieces.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import islice, pairwise
from typing import NamedTuple

from notchbook.planning.saw.cut_tree import Axis, Box, Freed, Node, Run, SawBlade

MOST_ORDERED = 8  # rectangles up to which every order of cutting is weighed
MOST_WEIGHED = 40  # and up to which it is weighed which way to cut first
MOST_AREAS = 4_000  # areas looked at, after which the next fitting cuts are taken
SCRAP_KERFS = 2  # a rest thinner than so many kerfs is scrap, however long (common practice)


@lru_cache(maxsize=20_000)
def find_cut_tree(
    area: Box,
    boxes: tuple[tuple[Box, str], ...],
    blade: SawBlade,
) -> Node:
    """Find how the marked boxes are freed from the area.

    A remainder under a kerf is sawn off like any other. Raises ValueError where no cuts right
    across free every box.
    """
    return _Bench(boxes, blade).freed(area, tuple(range(len(boxes))))


class _Worth(NamedTuple):
    """The less, the better, from the first on.

    `odd`: cuts that leave no finished side; `stages`: how often a piece is turned at most;
    `rests`: squared and below zero; `depth`: of all cuts together.
    """

    odd: int = 0
    stages: int = 0
    cuts: int = 0
    rests: int = 0
    turns: int = 0
    depth: int = 0

    def plus(self, other: _Worth) -> _Worth:
        """Both together."""
        sums = _Worth(*(a + b for a, b in zip(self, other, strict=True)))
        return sums._replace(stages=max(self.stages, other.stages))


class _Choice(NamedTuple):
    """What to do with an area next: cuts along an axis that begin at these places."""

    worth: _Worth
    axis: Axis
    places: tuple[int, ...]


class _Bench:
    def __init__(self, boxes: Sequence[tuple[Box, str]], blade: SawBlade) -> None:
        self.boxes = [box for box, _ in boxes]
        self.marks = [mark for _, mark in boxes]
        self.blade = blade
        self.known: dict[tuple[Box, Axis | None], _Choice] = {}

    def freed(self, area: Box, held: tuple[int, ...], before: Axis | None = None) -> Node:
        """The tree of the best choices; runs along one axis are joined.

        `before` is the axis of the cut that the area comes from.
        """
        if self.is_free(area, held):
            return Freed((area.across, area.up), self.marks[held[0]])
        choice = self.choice(area, held, before)
        slabs: Counter[Node] = Counter()
        for part, inside in self.parts(area, held, choice.axis, choice.places):
            node = self.freed(part, inside, choice.axis) if inside else None
            if isinstance(node, Run) and node.axis == choice.axis:
                slabs.update(dict(node.slabs))
            elif node is not None:
                slabs[node] += 1
        ordered = sorted(slabs.items(), key=lambda slab: -slab[0].sizes[choice.axis])
        return Run((area.across, area.up), choice.axis, tuple(ordered), self.blade.kerf)

    def is_free(self, area: Box, held: tuple[int, ...]) -> bool:
        return len(held) == 1 and self.boxes[held[0]] == area

    def choice(self, area: Box, held: tuple[int, ...], before: Axis | None) -> _Choice:
        """The best first cut of an area; of many boxes, the first cuts that fit."""
        if (best := self.known.get((area, before))) is None:
            cuts = self.cuts(area, held)
            found = (self.chosen(area, held, axis, places, before) for axis, places in cuts)
            best = min(found, key=lambda choice: choice.worth, default=None)
            if best is None:
                raise ValueError("no cuts right across free these pieces")
            self.known[area, before] = best
        return best

    def cuts(self, area: Box, held: tuple[int, ...]) -> Iterator[tuple[Axis, tuple[int, ...]]]:
        """The cuts to weigh: the fewer, the more there is to free."""
        count = len(held) if len(self.known) < MOST_AREAS else MOST_WEIGHED + 1
        if count <= MOST_ORDERED:
            return self.single(area, held)
        return islice(self.together(area, held), None if count <= MOST_WEIGHED else 1)

    def single(self, area: Box, held: tuple[int, ...]) -> Iterator[tuple[Axis, tuple[int, ...]]]:
        """Every cut that can be the first."""
        for axis in self.allowed(area):
            for at in self.places(area, held, axis):
                yield axis, (at,)

    def together(self, area: Box, held: tuple[int, ...]) -> Iterator[tuple[Axis, tuple[int, ...]]]:
        """All cuts along one axis at once; a cut never hinders a later one."""
        for axis in self.allowed(area):
            if places := self.places(area, held, axis):
                yield axis, places

    def chosen(
        self,
        area: Box,
        held: tuple[int, ...],
        axis: Axis,
        places: tuple[int, ...],
        before: Axis | None,
    ) -> _Choice:
        """A choice and its worth."""
        deep = area.up if axis == 0 else area.across
        parts = list(self.parts(area, held, axis, places))
        sided = sum(
            part.high(axis) in places and self.has_finished(part, inside, axis)
            for part, inside in parts
        )
        count = len(places)
        worth = _Worth(odd=count - sided, cuts=count, depth=count * deep)
        for part, inside in parts:
            if not inside:
                scrap = min(part.across, part.up) < SCRAP_KERFS * self.blade.kerf
                worth = worth.plus(_Worth(rests=0 if scrap else -((part.across * part.up) ** 2)))
            elif not self.is_free(part, inside):
                worth = worth.plus(self.choice(part, inside, axis).worth)
        turned = int(before not in (None, axis))
        worth = worth._replace(turns=worth.turns + turned, stages=worth.stages + turned)
        return _Choice(worth, axis, places)

    def has_finished(self, part: Box, inside: tuple[int, ...], axis: Axis) -> bool:
        size = part.size(axis)
        return any(self.boxes[i].size(axis) == size for i in inside)

    def allowed(self, area: Box) -> list[Axis]:
        """The axes along which the blade gets through the area; the second first."""
        deepest = self.blade.deepest
        depths: tuple[tuple[Axis, int], ...] = ((1, area.across), (0, area.up))
        return [axis for axis, depth in depths if deepest is None or depth <= deepest]

    def places(self, area: Box, held: tuple[int, ...], axis: Axis) -> tuple[int, ...]:
        """Where a cut passes beside boxes without touching one; it begins there."""
        kerf = self.blade.kerf
        spans = sorted((self.boxes[i][axis], self.boxes[i].high(axis)) for i in held)
        found = [spans[0][0] - kerf] if spans[0][0] > area[axis] else []
        high = spans[0][1]
        for low, end in spans[1:]:
            if low - high >= kerf:
                found += [high] if low - high == kerf else [high, low - kerf]
            high = max(high, end)
        if high < area.high(axis):
            found.append(high)
        return tuple(found)

    def parts(
        self, area: Box, held: tuple[int, ...], axis: Axis, places: tuple[int, ...]
    ) -> Iterator[tuple[Box, tuple[int, ...]]]:
        """What cuts that begin at these places leave of an area, each with the boxes in it."""
        edges = (area[axis] - self.blade.kerf, *places, area.high(axis))
        for before, high in pairwise(edges):
            low = before + self.blade.kerf
            if low < high:
                yield (
                    area.part(axis, low, high),
                    tuple(
                        i
                        for i in held
                        if low <= self.boxes[i][axis] and self.boxes[i].high(axis) <= high
                    ),
                )
