"""A bound that whole boards obey: at any values of the pieces, boards must be worth the demand.

One set of values gives one inequality over the numbers of boards: the most that one board of each
kind can be worth, times how many there are, is no less than what the demand is worth. Several
sets of values together say more than each alone; the cheapest whole numbers that obey all of them
are a lower bound on the cost.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import ceil
from typing import NamedTuple

_NODES = 50_000


class Cover(NamedTuple):
    """The demand's worth, and the most that one board of each number can be worth."""

    need: int
    worth: Mapping[int, int]


def find_least_cost(prices: Mapping[int, int], covers: Sequence[Cover]) -> Fraction | None:
    """Find the least that whole boards obeying all covers cost; None where none can.

    Where the numbers are too many to look at, the dearest cover by itself, boards in fractions.
    """
    boards = sorted(prices, key=lambda b: (prices[b], b))
    if not covers or not boards:
        return Fraction(0)
    search = _Search(prices, boards, covers)
    search.go(0, 0, [cover.need for cover in covers])
    if search.nodes <= 0:
        return max(search.fractional(0, [cover.need for cover in covers]))
    return None if search.best is None else Fraction(search.best)


class _Search:
    def __init__(
        self, prices: Mapping[int, int], boards: Sequence[int], covers: Sequence[Cover]
    ) -> None:
        self.prices, self.boards, self.covers = prices, boards, covers
        self.best: int | None = None
        self.nodes = _NODES

    def fractional(self, start: int, need: Sequence[int]) -> list[Fraction]:
        """What each cover alone costs at least, boards from `start` on, cut in fractions."""
        costs = []
        for cover, left in zip(self.covers, need, strict=True):
            rates = [
                Fraction(self.prices[b], cover.worth[b])
                for b in self.boards[start:]
                if cover.worth.get(b)
            ]
            costs.append(max(left, 0) * min(rates) if rates else Fraction(0))
        return costs

    def go(self, at: int, cost: int, need: list[int]) -> None:
        """Try every number of the board `at` that may lead to less than the best."""
        self.nodes -= 1
        if self.nodes <= 0:
            return
        if all(left <= 0 for left in need):
            self.best = cost if self.best is None else min(self.best, cost)
            return
        if at == len(self.boards):
            return
        if self.best is not None and cost + max(self.fractional(at, need)) >= self.best:
            return
        board = self.boards[at]
        worth = [cover.worth.get(board, 0) for cover in self.covers]
        most = max(
            ceil(Fraction(n, w)) if w and n > 0 else 0 for n, w in zip(need, worth, strict=True)
        )
        for count in range(most, -1, -1):
            left = [n - count * w for n, w in zip(need, worth, strict=True)]
            self.go(at + 1, cost + count * self.prices[board], left)
