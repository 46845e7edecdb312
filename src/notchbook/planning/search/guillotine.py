"""Guillotine cutting of one rectangle: every set of pieces that cuts right across can free.

A kerf is added to every piece and to the rectangle, which makes room and pieces add up exactly;
a last remainder thinner than a kerf then needs no cut of its own.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from notchbook.planning.geometry.rectangles import Blade, Rectangle, cut_out
from notchbook.planning.search.knapsack import list_sums

_MOST_SUMS = 4_000  # along one side; more are not looked at
_DEEPEST_TREE = 150  # cuts within cuts
_MOST_STEPS = 2_000_000  # grid steps on which all sums are looked for

Patterns = tuple[NDArray[np.int32], list["CutNode | None"]]


class Way(NamedTuple):
    """A kind of piece as it may lie: its number, extents across and up, turned or not."""

    kind: int
    across: int
    up: int
    turned: bool


class Placed(NamedTuple):
    """A piece as it lies."""

    kind: int
    x: int
    y: int
    turned: bool


class CutNode(NamedTuple):
    """How a rectangle is cut: a leaf holds one way's piece, else a cut `at` parts it in two.

    `at` is the extent of the first part along `axis` (0: across, 1: up), kerf included.
    """

    way: int
    axis: int
    at: int
    first: CutNode | None
    second: CutNode | None


@dataclass(slots=True)
class StripLayout:
    """Pieces where they lie, and the rectangles left over."""

    placed: list[Placed] = field(default_factory=list)
    left: list[Rectangle] = field(default_factory=list)


class Guillotine:
    """The patterns of one rectangle: at most `most` of each kind, lying in one of `ways`.

    `deepest` limits the depth of a cut, which is the extent it passes through (None: no limit).
    Where more than `effort` combinations would have to be looked at, `complete` turns False:
    patterns that fill less are dropped, and with `give_up` most of the others too.
    """

    def __init__(
        self,
        size: tuple[int, int],
        ways: Sequence[Way],
        most: Sequence[int],
        kerf: int,
        deepest: int | None = None,
        effort: int = 300_000,
        *,
        give_up: bool = False,
    ) -> None:
        self.ways, self.most, self.kerf = tuple(ways), np.array(most, dtype=np.int32), kerf
        self.size = size
        self._limited = deepest is not None and deepest < max(size)
        self._blade = Blade(kerf, max(size) if deepest is None else deepest)
        self._effort, self._give_up = effort, give_up
        self.complete = self.every_sum = True
        self._extents = [(way.across + kerf, way.up + kerf) for way in self.ways]
        areas = {way.kind: way.across * way.up for way in self.ways}
        self._area = np.array([areas.get(kind, 0) for kind in range(len(most))])
        self.sums: list[list[int]] = []
        for axis in (0, 1):
            extents = sorted({extent[axis] for extent in self._extents})
            sums, every = _side(extents, size[axis] + kerf)
            self.sums.append(sums)
            self.every_sum &= every
        self.complete = self.every_sum
        self._known: dict[tuple[int, int], Patterns] = {}

    def patterns(self) -> Patterns:
        """All maximal count vectors, one a row, and how each is cut."""
        return self._patterns(self.size[0] + self.kerf, self.size[1] + self.kerf, 0)

    def _patterns(self, across: int, up: int, depth: int) -> Patterns:
        key = self._shrunk(across, up)
        if (found := self._known.get(key)) is None:
            found = self._known[key] = self._enumerate(*key, depth)
        return found

    def _shrunk(self, across: int, up: int) -> tuple[int, int]:
        """The part of a rectangle that pieces can use, where a cut may take off the rest."""
        for axis in (0, 1, 0):
            depth = up if axis == 0 else across
            if depth - self.kerf <= self._blade.deepest:
                if axis == 0:
                    across = _largest(self.sums[0], across)
                else:
                    up = _largest(self.sums[1], up)
        return across, up

    def _enumerate(self, across: int, up: int, depth: int) -> Patterns:
        rows = [np.zeros((1, len(self.most)), dtype=np.int32)]
        nodes: list[CutNode | None] = [None]
        for number, way in enumerate(self.ways):
            if self.most[way.kind] and self._frees(way, across, up):
                one = np.zeros((1, len(self.most)), dtype=np.int32)
                one[0, way.kind] = 1
                rows.append(one)
                nodes.append(CutNode(number, 0, 0, None, None))
        for axis, at, rest in self._cuts(across, up):
            if depth == _DEEPEST_TREE:
                self.complete = False
                break
            a, first = self._patterns(*((at, up) if axis == 0 else (across, at)), depth + 1)
            b, second = self._patterns(*((rest, up) if axis == 0 else (across, rest)), depth + 1)
            self._effort -= len(a) * len(b)
            if self._effort < 0:
                self.complete = False
                if self._give_up:
                    break
                a, b = a[:4], b[:4]
            both = (a[:, None, :] + b[None, :, :]).reshape(-1, a.shape[1])
            rows.append(np.minimum(both, self.most))
            nodes += [
                CutNode(-1, axis, at, first[i], second[j])
                for i in range(len(a))
                for j in range(len(b))
            ]
            if len(nodes) > 4000:
                found = self._maximal(rows, nodes)
                rows, nodes = [found[0]], found[1]
        return self._maximal(rows, nodes)

    def _frees(self, way: Way, across: int, up: int) -> bool:
        """Whether the piece can be cut from the rectangle's corner within the blade's depth."""
        whole = Rectangle(0, 0, across - self.kerf, up - self.kerf)
        if way.across > whole.across or way.up > whole.up:
            return False
        return cut_out(whole, way.across, way.up, self._blade) is not None

    def _cuts(self, across: int, up: int) -> Iterator[tuple[int, int, int]]:
        """Where it is worth cutting: at sums of pieces, the smaller part first.

        A blade of limited depth may need the larger part first, to cut it where it is narrower.
        """
        for axis, whole, depth in ((0, across, up), (1, up, across)):
            if depth - self.kerf <= self._blade.deepest:
                for at in self.sums[axis]:
                    if 0 < at < whole - self.kerf and (2 * at <= whole or self._limited):
                        yield axis, at, whole - at

    def _maximal(self, rows: list[NDArray[np.int32]], nodes: list[CutNode | None]) -> Patterns:
        """Drop what another set of pieces contains; the largest first."""
        every, first = _distinct(np.vstack(rows), self.most)
        order = np.argsort(-(every @ self._area), kind="stable")
        every, first = every[order], first[order]
        kept: list[int] = []
        pool = np.empty_like(every)
        for i, row in enumerate(every):
            n = len(kept)
            if n and bool(np.any(np.all(pool[:n] >= row, axis=1))):
                continue
            pool[n] = row
            kept.append(i)
        return every[kept], [nodes[first[i]] for i in kept]

    def lay(
        self, node: CutNode | None, wanted: Sequence[int], corner: tuple[int, int]
    ) -> StripLayout:
        """Where the wanted pieces of a pattern lie; pieces not wanted stay in what is left."""
        layout = StripLayout()
        self._lay(node, Rectangle(*corner, *self.size), list(wanted), layout)
        return layout

    def _lay(
        self, node: CutNode | None, area: Rectangle, wanted: list[int], layout: StripLayout
    ) -> None:
        if node is None or not self._useful(node, wanted):
            layout.left.append(area)
            return
        if self._limited:
            area = self._trimmed(area, layout)
        if node.first is None and node.second is None:
            way = self.ways[node.way]
            wanted[way.kind] -= 1
            layout.placed.append(Placed(way.kind, area.x, area.y, way.turned))
            layout.left += cut_out(area, way.across, way.up, self._blade) or ()
            return
        halves = (node.first, node.second)
        useful = [half for half in halves if half and self._useful(half, wanted)]
        if len(useful) == 1 and not self._limited:
            self._lay(useful[0], area, wanted, layout)
            return
        for half, part in zip(halves, _parted(area, node, self.kerf), strict=True):
            self._lay(half, part, wanted, layout)

    def _useful(self, node: CutNode, wanted: Sequence[int]) -> bool:
        if node.way >= 0:
            return wanted[self.ways[node.way].kind] > 0
        first, second = node.first, node.second
        if first is not None and self._useful(first, wanted):
            return True
        return second is not None and self._useful(second, wanted)

    def _trimmed(self, area: Rectangle, layout: StripLayout) -> Rectangle:
        """The area as its patterns were looked for, the trims kept; a limited blade needs that."""
        k, deepest = self.kerf, self._blade.deepest
        for axis in (0, 1, 0):
            x, y, across, up = area
            if axis == 0 and up <= deepest:
                used = _largest(self.sums[0], across + k) - k
                layout.left.append(Rectangle(x + used + k, y, across - used - k, up))
                area = Rectangle(x, y, used, up)
            elif axis == 1 and across <= deepest:
                used = _largest(self.sums[1], up + k) - k
                layout.left.append(Rectangle(x, y + used + k, across, up - used - k))
                area = Rectangle(x, y, across, used)
        layout.left = [left for left in layout.left if left.across > 0 and left.up > 0]
        return area


def _parted(area: Rectangle, node: CutNode, kerf: int) -> tuple[Rectangle, Rectangle]:
    x, y, across, up = area
    if node.axis == 0:
        first = Rectangle(x, y, node.at - kerf, up)
        return first, Rectangle(x + node.at, y, across - node.at, up)
    first = Rectangle(x, y, across, node.at - kerf)
    return first, Rectangle(x, y + node.at, across, up - node.at)


def _side(extents: Sequence[int], room: int) -> tuple[list[int], bool]:
    """Where a side may be cut, and whether those are all sums of extents.

    Where the grid is too fine for that, it is cut at multiples of each extent.
    """
    if room > _MOST_STEPS:
        rows = {at for extent in extents for at in range(0, room + 1, extent)}
        return sorted(rows)[:_MOST_SUMS], False
    sums = list_sums(extents, room)
    return sums[:_MOST_SUMS], len(sums) <= _MOST_SUMS


def _distinct(
    rows: NDArray[np.int32], most: NDArray[np.int32]
) -> tuple[NDArray[np.int32], NDArray[np.int64]]:
    """Each row once, and where it stands first; rows are told apart by one number each."""
    places = [1]
    for count in most:
        places.append(places[-1] * (int(count) + 1))
    if places[-1] >= 1 << 62:
        every, first = np.unique(rows, axis=0, return_index=True)
        return every, first
    _, first = np.unique(rows @ np.array(places[:-1], dtype=np.int64), return_index=True)
    return rows[first], first


def _largest(sums: Sequence[int], room: int) -> int:
    return sums[bisect_right(sums, room) - 1]
