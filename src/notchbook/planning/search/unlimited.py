"""The most valuable guillotine cutting of a rectangle, every piece as often as wanted.

The recurrence of Beasley (J. Operational Research Society 36, 1985) over raster points (Terno,
Lindemann, Scheithauer, 1987): only sums of pieces, and what they leave, are looked at.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from notchbook.planning.model.budget import Budget
from notchbook.planning.search.guillotine import Guillotine

_MOST_POINTS = 10_000
_POINT = 6  # steps for each of them


class ValueTable:
    """The best value of every size up to the rectangle's, cut by a blade of any depth."""

    def __init__(self, section: Guillotine) -> None:
        self.section, k = section, section.kerf
        self.whole = (section.size[0] + k, section.size[1] + k)
        self.across = _raster(section.sums[0], self.whole[0])
        self.up = _raster(section.sums[1], self.whole[1])
        self.points = len(self.across) * len(self.up)
        self.value: NDArray[np.float64] = np.zeros((0, 0))

    @cached_property
    def _halves(self) -> list[list[tuple[NDArray[np.int64], NDArray[np.int64]]]]:
        return [_halves(along) for along in (self.across, self.up)]

    @property
    def worth(self) -> float:
        """The best value of the whole rectangle."""
        return float(self.value[-1, -1])

    def fill(self, values: Sequence[float]) -> None:
        """Work out every size for these values of the kinds."""
        value = np.zeros((len(self.across), len(self.up)))
        for way in self.section.ways:
            if values[way.kind] > 0:
                i = bisect_right(self.across, way.across + self.section.kerf - 1)
                j = bisect_right(self.up, way.up + self.section.kerf - 1)
                np.maximum(value[i:, j:], values[way.kind], out=value[i:, j:])
        for i, (at, rest) in enumerate(self._halves[0]):
            row = value[i]
            if len(at):
                np.maximum(row, (value[at] + value[rest]).max(axis=0), out=row)
            for j, (low, high) in enumerate(self._halves[1]):
                if len(low):
                    row[j] = max(row[j], (row[low] + row[high]).max())
        self.value = value


class UnlimitedSheet:
    """A sheet's worth as if every piece could be had as often as wanted: an upper limit.

    Where the points to look at are too many, extents are measured in coarser steps, the pieces
    rounded down, but never to nothing.
    """

    def __init__(self, board: int, section: Guillotine, budget: Budget) -> None:
        self.boards: tuple[int, ...] = (board,)
        self.budget = budget
        least = min(min(way.across, way.up) for way in section.ways) + section.kerf
        step, coarse = 1, section
        self.table = ValueTable(section)
        while not coarse.every_sum or (self.table.points > _MOST_POINTS and 2 * step <= least):
            step *= 2
            coarse = _coarser(section, step)
            self.table = ValueTable(coarse)

    def prices(self, values: Sequence[float], most: Sequence[int]) -> float:
        """What the sheet is worth."""
        self.budget.spend(self.table.points * _POINT)
        self.table.fill([value if n else 0.0 for value, n in zip(values, most, strict=True)])
        return self.table.worth

    def worth(self, prices: float, _board: int) -> float:
        """What the sheet is worth."""
        return prices


def _coarser(section: Guillotine, step: int) -> Guillotine:
    """The rectangle in coarser steps, a kerf added to everything; at least as much goes in."""
    k = section.kerf
    ways = [
        way._replace(across=(way.across + k) // step, up=(way.up + k) // step)
        for way in section.ways
    ]
    size = ((section.size[0] + k) // step, (section.size[1] + k) // step)
    return Guillotine(size, ways, list(section.most), 0)


def _raster(sums: Sequence[int], whole: int) -> list[int]:
    points = {sums[bisect_right(sums, whole - at) - 1] for at in sums}
    return sorted(points | {0, sums[-1]})


def _halves(points: Sequence[int]) -> list[tuple[NDArray[np.int64], NDArray[np.int64]]]:
    """For every point, the smaller parts it may be cut in two at, and the other parts."""
    array = np.array(points)
    found = []
    for point in points:
        smaller = np.arange(1, bisect_right(points, point // 2))
        rest = np.searchsorted(array, point - array[smaller], side="right") - 1
        found.append((smaller, rest))
    return found
