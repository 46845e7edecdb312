"""Panels: every set of pieces that guillotine cuts can free from one sheet; no squaring, no trim.

Where there are too many sets to list them all, a sheet is valued as if every piece could be had
without limit, and the pieces beyond the demand are left out and their room filled anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from notchbook.planning.geometry.rectangles import Blade, place
from notchbook.planning.model.filled import FilledBoard, PlacedPiece
from notchbook.planning.model.grid import GridBoard, GridPart, LengthGrid
from notchbook.planning.search.guillotine import CutNode, Guillotine, Placed, StripLayout, Way
from notchbook.planning.search.unlimited import ValueTable

_EFFORT = 60_000


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

    def __init__(self, grid: LengthGrid, board: int, most: Sequence[int]) -> None:
        self.grid = grid
        self.boards: tuple[int, ...] = (board,)
        size = grid.boards[board]
        self.members = [i for i, part in enumerate(grid.parts) if board in part.boards]
        ways = [way for i in self.members for way in _ways(i, grid.parts[i], size)]
        extent = (size.length, size.width)
        self.section = Guillotine(extent, ways, most, grid.saw.kerf, effort=_EFFORT, give_up=True)
        self.patterns, self.nodes = self.section.patterns()
        self.table = None if self.section.complete else ValueTable(self.section)

    @property
    def limits(self) -> SheetSupply | None:
        """The same sheets with a worth that is an upper limit; None where that is not known."""
        return self if self.table is None or self.table.fits else None

    def prices(self, values: Sequence[float], most: Sequence[int]) -> SheetPrices:
        """Exact where every set of pieces is known, else as if there were no limit to a part."""
        sets = np.minimum(self.patterns, np.array(most))
        worth = sets @ np.array(values)
        best = int(worth.argmax())
        listed = SheetPrices(float(worth[best]), _counts(sets[best]), self.nodes[best])
        if self.table is None or not self.table.fits:
            return listed
        self.table.fill([value if n else 0.0 for value, n in zip(values, most, strict=True)])
        if self.table.worth <= listed.worth:
            return listed
        node = self.table.best(*self.table.whole)
        return SheetPrices(self.table.worth, self._held(node), node)

    def listed(self) -> list[SheetCut]:
        """Every known set of pieces."""
        pairs = zip(self.patterns, self.nodes, strict=True)
        return [SheetCut(_counts(row), node, ()) for row, node in pairs]

    def worth(self, prices: SheetPrices, _board: int) -> float:
        """What a sheet is worth."""
        return prices.worth

    def relaxed(self, prices: SheetPrices, _board: int) -> SheetCut:
        """The cut worth so much; it may hold more of a part than the demand."""
        return SheetCut(prices.counts, prices.node, ())

    def cut(self, _board: int, values: Sequence[float], most: Sequence[int]) -> SheetCut:
        """The cut without the pieces beyond `most`, its room filled with the dearest that go."""
        prices = self.prices(values, most)
        dear = [i for i in self.members if most[i]]
        parts = self.grid.parts
        dear.sort(key=lambda i: (-values[i] / (parts[i].length * parts[i].width), i))
        cut = SheetCut(tuple(most), prices.node, tuple(dear))
        return cut._replace(counts=_counts(self._laid(cut, most)[1]))

    def _held(self, node: CutNode | None) -> tuple[int, ...]:
        counts = [0] * len(self.grid.parts)
        waiting = [node]
        while waiting:
            if (node := waiting.pop()) is None:
                continue
            if node.way >= 0:
                counts[self.section.ways[node.way].kind] += 1
            waiting += [node.first, node.second]
        return tuple(counts)

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
