"""Sheets cut into strips right across, and every strip crosscut into pieces.

A strip as wide as its widest piece is worth what fills its length best; the strips that go side
by side on the sheet are worth most together. Both are knapsacks (Gilmore and Gomory, Operations
Research 13, 1965). Strips run along the sheet or across it, whichever is worth more. What pieces
narrower than their strip leave beside them is filled afterwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import NamedTuple

from notchbook.planning.model.budget import Budget
from notchbook.planning.search.guillotine import CutNode, Way
from notchbook.planning.search.knapsack import (
    Filling,
    Item,
    LengthScale,
    coarse_enough,
    fill,
)

_MOST_MARKS = 8_000  # sums of lengths that are all looked at
_ITEM, _MARKS = 20, 250  # steps of an item in a knapsack, and lengths for one step more


class StrippedSheet(NamedTuple):
    """What the pieces are worth, how many there are of each part, how the sheet is cut."""

    worth: float
    counts: tuple[int, ...]
    node: CutNode | None


class _Strip(NamedTuple):
    width: int
    worth: float
    ways: tuple[int, ...]  # piece by piece, the widest first


class Strips:
    """Sheets of one size in strips that run along `axis` (0: along the sheet, 1: across it)."""

    def __init__(
        self, size: tuple[int, int], ways: Sequence[Way], kerf: int, axis: int, budget: Budget
    ) -> None:
        self.axis, self.ways, self.budget = axis, ways, budget
        extents = [(way.across + kerf, way.up + kerf) for way in ways]
        self._long = [extent[axis] for extent in extents]
        self._wide = [extent[1 - axis] for extent in extents]
        self._along = _Side(self._long, size[axis] + kerf)
        self._beside = _Side(self._wide, size[1 - axis] + kerf)
        self._order = sorted(range(len(ways)), key=lambda w: (self._wide[w], -self._long[w], w))

    def best(self, values: Sequence[float], most: Sequence[int]) -> StrippedSheet:
        """Strips worth much together, no part more often than `most`.

        Strip by strip, each time the one worth most for its width, until what is best beside each
        other holds no more of a part than may be.
        """
        need, room = list(most), self._beside.room
        strips: list[_Strip] = []
        while chosen := self._side_by_side(values, need, room):
            counts = self._counts(chosen, len(need))
            if any(c > n for c, n in zip(counts, need, strict=True)):
                chosen = [max(chosen, key=lambda strip: (strip.worth / strip.width, strip))]
                counts = self._counts(chosen, len(need))
            strips += chosen
            need = [n - c for n, c in zip(need, counts, strict=True)]
            room -= sum(self._beside.steps(strip.width) for strip in chosen)
        counts = self._counts(strips, len(need))
        worth = sum(v * c for v, c in zip(values, counts, strict=True))
        return StrippedSheet(worth, tuple(counts), self._node(strips))

    def _side_by_side(
        self, values: Sequence[float], need: Sequence[int], room: int
    ) -> list[_Strip]:
        fillings = self._fillings(values, need, room)
        side = self._beside
        items = [
            Item(width, side.steps(width), worth, room // side.steps(width))
            for width, (worth, _) in fillings.items()
        ]
        self._count(len(items), side)
        chosen = fill(side.ruler, items).pieces(side.ruler.below(room))
        made = {width: self._strip(width, fillings[width][1], need) for width in chosen}
        return [made[width] for width, often in sorted(chosen.items()) for _ in range(often)]

    def _fillings(
        self, values: Sequence[float], need: Sequence[int], room: int
    ) -> dict[int, tuple[float, Filling]]:
        """For every width of a strip that is worth more than the narrower ones, its filling."""
        along = self._along
        filling, found, most = fill(along.ruler, ()), {}, 0.0
        for width, ways in groupby(self._order, key=lambda w: self._wide[w]):
            if self._beside.steps(width) > room:
                break
            for w in ways:
                kind = self.ways[w].kind
                if need[kind] and values[kind] > 0:
                    length = along.steps(self._long[w])
                    filling = filling.with_item(Item(w, length, values[kind], need[kind]))
                    self._count(1, along)
            if (worth := float(filling.value[-1])) > most:
                found[width], most = (worth, filling), worth
        return found

    def _count(self, items: int, side: _Side) -> None:
        self.budget.spend(items * (_ITEM + len(side.ruler.marks) // _MARKS))

    def _strip(self, width: int, filling: Filling, need: Sequence[int]) -> _Strip:
        """The strip of a width, without pieces beyond the need (those that may lie both ways)."""
        left, ways = list(need), []
        pieces = filling.pieces(len(self._along.ruler.marks) - 1)
        for w in sorted(pieces, key=lambda w: (-self._wide[w], w)):
            kind = self.ways[w].kind
            often = min(pieces[w], left[kind])
            left[kind] -= often
            ways += [w] * often
        return _Strip(width, float(filling.value[-1]), tuple(ways))

    def _counts(self, strips: Sequence[_Strip], parts: int) -> list[int]:
        counts = [0] * parts
        for strip in strips:
            for w in strip.ways:
                counts[self.ways[w].kind] += 1
        return counts

    def _node(self, strips: Sequence[_Strip]) -> CutNode | None:
        """The cuts: strip after strip, the widest first, and piece after piece."""
        found: CutNode | None = None
        for strip in sorted(strips, key=lambda strip: (strip.width, strip.ways)):
            pieces: CutNode | None = None
            for w in reversed(strip.ways):
                leaf = CutNode(w, 0, 0, None, None)
                cut = CutNode(-1, self.axis, self._long[w], leaf, pieces)
                pieces = cut if pieces else leaf
            found = CutNode(-1, 1 - self.axis, strip.width, pieces, found) if found else pieces
        return found


class _Side:
    """A side of the sheet in steps as coarse as need be; pieces are rounded up."""

    def __init__(self, lengths: Sequence[int], room: int) -> None:
        self.step = coarse_enough(lengths, room, _MOST_MARKS)
        self.room = room // self.step
        self.ruler = LengthScale([self.steps(length) for length in lengths], self.room)

    def steps(self, length: int) -> int:
        """The length in steps of this side."""
        return -(-length // self.step)
