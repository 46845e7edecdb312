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

    def allows(self, boards: Mapping[int, int]) -> bool:
        """Whether so many boards may be worth the demand."""
        return sum(n * self.worth.get(b, 0) for b, n in boards.items()) >= self.need


class Least(NamedTuple):
    """What whole boards cost at least, and the first that cost so much; None: too many to tell."""

    cost: Fraction
    boards: Mapping[int, int] | None


def find_least(
    prices: Mapping[int, int],
    covers: Sequence[Cover],
    least: Fraction = Fraction(0),
    most: int | None = None,
) -> Least:
    """Find the cheapest whole boards that obey all covers; they are known to cost `least` or more.

    With `most`, only such as cost less are looked for, and that is the bound where there are none.

    Where the numbers are too many to look at, the dearest cover by itself, boards in fractions.
    """
    boards = sorted(prices, key=lambda b: (prices[b], b))
    if not covers or not boards:
        return Least(Fraction(0), None)
    search = _Search(prices, boards, covers, ceil(least), most)
    need = [cover.need for cover in covers]
    search.go(0, 0, need)
    if search.nodes <= 0:
        return Least(max([least, *search.fractional(need)]), None)
    if search.best is None:
        return Least(least, None)
    found = dict(zip(boards, search.found, strict=True)) if search.found else None
    return Least(Fraction(search.best), found)


class _Search:
    def __init__(
        self,
        prices: Mapping[int, int],
        boards: Sequence[int],
        covers: Sequence[Cover],
        least: int,
        most: int | None,
    ) -> None:
        self.prices = [prices[b] for b in boards]
        self.worth = [[cover.worth.get(b, 0) for cover in covers] for b in boards]
        self.least, self.nodes = least, _NODES
        self.best = most
        self.found: list[int] = []
        self._taken = [0] * len(boards)
        self._rates = [
            [self._rate(at, number) for number in range(len(covers))] for at in range(len(boards))
        ]

    def _rate(self, at: int, number: int) -> tuple[int, int]:
        """Of the boards from `at` on, the price and worth of the one that pays best for a cover."""
        rates = [
            (price, worth[number])
            for price, worth in zip(self.prices[at:], self.worth[at:], strict=True)
        ]
        useful = [rate for rate in rates if rate[1]]
        return min(useful, key=lambda rate: Fraction(*rate), default=(0, 0))

    def fractional(self, need: Sequence[int]) -> list[Fraction]:
        """What each cover alone costs at least, boards cut in fractions."""
        return [
            Fraction(max(left, 0) * price, worth) if worth else Fraction(0)
            for left, (price, worth) in zip(need, self._rates[0], strict=True)
        ]

    def go(self, at: int, cost: int, need: list[int]) -> None:
        """Try every number of the board `at` that may lead to less than the best."""
        self.nodes -= 1
        if self.nodes <= 0 or (self.best is not None and self.best <= self.least):
            return
        if max(need) <= 0:
            if self.best is None or cost < self.best:
                self.best, self.found = cost, list(self._taken)
            return
        if at == len(self.prices) or self._is_too_dear(at, cost, need):
            return
        worths, price = self.worth[at], self.prices[at]
        most = max(
            [
                -(-left // worth) if worth and left > 0 else 0
                for left, worth in zip(need, worths, strict=True)
            ]
        )
        if at == len(self.prices) - 1:
            self._finish(cost + most * price, most)
            return
        if at == len(self.prices) - 2:
            self._try_last_two(cost, need, most)
            return
        for count in range(most, -1, -1):
            self._taken[at] = count
            left = [n - count * worth for n, worth in zip(need, worths, strict=True)]
            self.go(at + 1, cost + count * price, left)
        self._taken[at] = 0

    def _finish(self, cost: int, most: int) -> None:
        """Take so many of the last board, which are just enough; fewer count as looked at."""
        if self.nodes > 1 and (self.best is None or cost < self.best):
            self.best, self.found = cost, [*self._taken[:-1], most]
        self.nodes -= most + 1

    def _try_last_two(self, cost: int, need: list[int], most: int) -> None:
        """Do as `go` does for all numbers of the last board but one; most time is spent here."""
        price, last_price = self.prices[-2:]
        covers = list(zip(need, *self.worth[-2:], strict=True))
        for count in range(most, -1, -1):
            self.nodes -= 1
            if self.nodes <= 0 or (self.best is not None and self.best <= self.least):
                self.nodes -= count
                break
            spent = cost + count * price
            room = None if self.best is None else self.best - spent
            enough = 0
            for whole, worth, last in covers:
                left = whole - count * worth
                if left <= 0:
                    continue
                if not last or (room is not None and left * last_price >= room * last):
                    break
                enough = max(enough, -(-left // last))
            else:
                self._taken[-2] = count
                if enough:
                    self._finish(spent + enough * last_price, enough)
                elif self.best is None or spent < self.best:
                    self.best, self.found = spent, list(self._taken)
        self._taken[-2] = 0

    def _is_too_dear(self, at: int, cost: int, need: Sequence[int]) -> bool:
        """Whether the boards from `at` on cannot meet the need for less than the best."""
        for left, (price, worth) in zip(need, self._rates[at], strict=True):
            if left > 0 and not worth:
                return True
            if left > 0 and self.best is not None and left * price >= (self.best - cost) * worth:
                return True
        return False
