"""Panels: what guillotine cuts can free from one sheet; no squaring, no trim.

Where there are not too many sets of pieces, all of them are listed, and a sheet is valued exactly.
Else it is cut by strips (`strips.py`), and limits come from a recurrence as if every piece could
be had as often as wanted (`unlimited.py`).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np

from notchbook.planning.geometry.rectangles import Blade, place
from notchbook.planning.model.budget import Budget
from notchbook.planning.model.filled import FilledBoard, PlacedPiece
from notchbook.planning.model.grid import GridBoard, GridPart, LengthGrid
from notchbook.planning.model.supply import Worths
from notchbook.planning.search.guillotine import CutNode, Guillotine, Placed, StripLayout, Way
from notchbook.planning.search.strips import Strips
from notchbook.planning.search.unlimited import UnlimitedSheet

_EFFORT = 60_000
_PRICING = 100


class SheetCut(NamedTuple):
    """A sheet cut by guillotine cuts, and how many pieces of each part come out.

    `then` are parts that go, in this order, where the cuts leave room.
    """

    counts: tuple[int, ...]
    node: CutNode | None
    then: tuple[int, ...]


class SheetPrices(NamedTuple):
    """The most a sheet can be worth, and the cut worth so much or nearly."""

    worth: float
    counts: tuple[int, ...]
    node: CutNode | None


class SheetSupply:
    """Sheets of one size; `most` is the most pieces of each part that go on one."""

    def __init__(self, grid: LengthGrid, board: int, most: Sequence[int], budget: Budget) -> None:
        self.grid = grid
        self.boards: tuple[int, ...] = (board,)
        size = grid.boards[board]
        self.members = [i for i, part in enumerate(grid.parts) if board in part.boards]
        ways = [way for i in self.members for way in _ways(i, grid.parts[i], size)]
        extent, kerf = (size.length, size.width), grid.saw.kerf
        self.budget = budget
        self.section = Guillotine(extent, ways, most, kerf, effort=_EFFORT, give_up=True)
        self.patterns, self.nodes = self.section.patterns()
        self._complete = self.section.complete
        self._strips = [Strips(extent, ways, kerf, axis, budget) for axis in (0, 1)]

    @property
    def exact(self) -> bool:
        """Whether every set of pieces is listed."""
        return self._complete

    @cached_property
    def limits(self) -> Worths:
        """The same sheets with a worth that is an upper limit."""
        return self if self.exact else UnlimitedSheet(self.boards[0], self.section, self.budget)

    def prices(self, values: Sequence[float], most: Sequence[int]) -> SheetPrices:
        """Exact where every set of pieces is known, else the most found, by strips or known."""
        sets = np.minimum(self.patterns, np.array(most))
        worth = sets @ np.array(values)
        self.budget.spend(sets.size // 100 + _PRICING)
        best = int(worth.argmax())
        found = SheetPrices(float(worth[best]), _counts(sets[best]), self.nodes[best])
        if self.exact:
            return found
        stripped = [strips.best(values, most) for strips in self._strips]
        return max(found, *(SheetPrices(*each) for each in stripped), key=lambda each: each.worth)

    def listed(self) -> list[SheetCut]:
        """Every known set of pieces."""
        pairs = zip(self.patterns, self.nodes, strict=True)
        return [SheetCut(_counts(row), node, ()) for row, node in pairs]

    def worth(self, prices: SheetPrices, _board: int) -> float:
        """What a sheet is worth."""
        return prices.worth

    def relaxed(self, prices: SheetPrices, _board: int) -> list[SheetCut]:
        """The cut worth so much."""
        return [SheetCut(prices.counts, prices.node, ())]

    def cut(self, _board: int, values: Sequence[float], most: Sequence[int]) -> SheetCut:
        """The cut worth much, what is left of the sheet filled with the dearest that go."""
        prices = self.prices(values, most)
        dear = [i for i in self.members if most[i]]
        parts = self.grid.parts
        dear.sort(key=lambda i: (-values[i] / (parts[i].length * parts[i].width), i))
        cut = SheetCut(tuple(most), prices.node, tuple(dear))
        return cut._replace(counts=_counts(self._laid(cut, most)[1]))

    def _laid(self, cut: SheetCut, wanted: Sequence[int]) -> tuple[StripLayout, list[int]]:
        """The pieces in their places, and how many there are of each part."""
        layout = self.section.lay(cut.node, wanted, (0, 0))
        counts = [0] * len(wanted)
        for placed in layout.placed:
            counts[placed.kind] += 1
        size = self.grid.boards[self.boards[0]]
        blade = Blade(self.grid.saw.kerf, max(size.length, size.width))
        for i in cut.then:
            ways = _ways(i, self.grid.parts[i], size)
            extents = tuple((way.across, way.up) for way in ways)
            while counts[i] < wanted[i]:
                found = place(layout.left, extents, blade, wanted[i] - counts[i])
                if found is None:
                    break
                taken = layout.left.pop(found.free)
                layout.left += found.left
                layout.placed.append(Placed(i, taken.x, taken.y, ways[found.way].turned))
                counts[i] += 1
        return layout, counts

    def filled(self, cut: SheetCut, wanted: Sequence[int]) -> FilledBoard:
        """Everything in its place; pieces beyond `wanted` are not cut."""
        layout, counts = self._laid(cut, wanted)
        parts = self.grid.parts
        pieces = []
        for kind, x, y, turned in layout.placed:
            along, across = parts[kind].length, parts[kind].width
            if turned:
                along, across = across, along
            pieces.append(PlacedPiece(kind, x, y, along, across, turned))
        volume = sum(n * part.volume for n, part in zip(counts, parts, strict=True))
        return FilledBoard(_counts(counts), volume, (), tuple(pieces))


def _counts(counts: Sequence[int]) -> tuple[int, ...]:
    return tuple(int(n) for n in counts)


def _ways(number: int, part: GridPart, board: GridBoard) -> list[Way]:
    """The ways a part may lie: with grain, along it, unless the part may be turned."""
    ways = [Way(number, part.length, part.width, False)]
    if part.length != part.width and (part.turn or not board.grain):
        ways.append(Way(number, part.width, part.length, True))
    return ways
