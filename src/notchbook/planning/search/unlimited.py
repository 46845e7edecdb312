"""The most valuable guillotine cutting of a rectangle, every piece as often as wanted.

The recurrence of Beasley (J. Operational Research Society 36, 1985) over raster points (Terno,
Lindemann, Scheithauer, 1987): only sums of pieces, and what they leave, are looked at.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from notchbook.planning.search.guillotine import CutNode, Guillotine

_MOST_POINTS = 160_000


class ValueTable:
    """The best value of every size up to the rectangle's, cut by a blade of any depth."""

    def __init__(self, section: Guillotine) -> None:
        self.section, k = section, section.kerf
        self.whole = (section.size[0] + k, section.size[1] + k)
        self.across = _raster(section.sums[0], self.whole[0])
        self.up = _raster(section.sums[1], self.whole[1])
        self.fits = len(self.across) * len(self.up) <= _MOST_POINTS
        points = (self.across, self.up) if self.fits else ([0], [0])
        self._halves = [_halves(along) for along in points]
        self.value: NDArray[np.float64] = np.zeros((len(points[0]), len(points[1])))
        self._choice: NDArray[np.int32] = np.zeros(self.value.shape, dtype=np.int32)

    @property
    def worth(self) -> float:
        """The best value of the whole rectangle."""
        return float(self.value[-1, -1])

    def fill(self, values: Sequence[float]) -> None:
        """Work out every size for these values of the kinds.

        A choice is 0 for nothing, n for way n - 1, and below 0 for a cut: -2n - 1 across at the
        n-th point, -2n - 2 up.
        """
        value, choice = np.zeros_like(self.value), np.zeros_like(self._choice)
        for number, way in enumerate(self.section.ways):
            if values[way.kind] <= 0:
                continue
            i = bisect_right(self.across, way.across + self.section.kerf - 1)
            j = bisect_right(self.up, way.up + self.section.kerf - 1)
            better = value[i:, j:] < values[way.kind]
            value[i:, j:][better] = values[way.kind]
            choice[i:, j:][better] = number + 1
        for i, (at, rest) in enumerate(self._halves[0]):
            if len(at):
                both = value[at] + value[rest]
                best = len(at) - 1 - both[::-1].argmax(axis=0)  # the most even of equal cuts
                offered = both[best, np.arange(both.shape[1])]
                better = offered > value[i]
                value[i][better] = offered[better]
                choice[i][better] = -2 * at[best[better]] - 1
            row, chosen = value[i], choice[i]
            for j, (low, high) in enumerate(self._halves[1]):
                if len(low):
                    sums = row[low] + row[high]
                    n = len(low) - 1 - int(sums[::-1].argmax())
                    if sums[n] > row[j]:
                        row[j], chosen[j] = sums[n], -2 * low[n] - 2
        self.value, self._choice = value, choice

    def best(self, across: int, up: int) -> CutNode | None:
        """How the best of a size, kerf included, is cut."""
        i, j = bisect_right(self.across, across) - 1, bisect_right(self.up, up) - 1
        if i < 0 or j < 0 or (choice := int(self._choice[i, j])) == 0:
            return None
        if choice > 0:
            return CutNode(choice - 1, 0, 0, None, None)
        n, axis = divmod(-choice - 1, 2)
        at = (self.across, self.up)[axis][n]
        first, second = [across, up], [across, up]
        first[axis], second[axis] = at, second[axis] - at
        return CutNode(-1, axis, at, self.best(first[0], first[1]), self.best(second[0], second[1]))


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
