"""The relaxation: boards cut in fractions, priced exactly; it gives bounds, patterns and values.

Linear programs are solved by HiGHS. Nothing is proved by its answer: a bound is worked out anew in
whole numbers from the values it suggests (Farley, Operations Research 38, 1990: with F the most
that a board of price p can be worth, the demand's worth times the least p / F is a lower bound).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from notchbook.planning.model.budget import Budget
from notchbook.planning.model.grid import LengthGrid
from notchbook.planning.model.supply import Pattern, Supply
from notchbook.planning.search.covers import Cover, find_least_cost
from notchbook.planning.search.master import FROM_HAND, Master, Use

_FINE = 1 << 20  # values are rounded to this part of the dearest piece for exact bounds
_ROUNDS = 300
_MANY, _AGAIN = 30, 4  # parts from which a supply is asked so often in one round
_FEW_PARTS = 10
_TINY = 1e-7


@dataclass(frozen=True, slots=True)
class Relaxed:
    """A fractional plan: how much of each pattern is used, and what a piece of a part is worth."""

    values: tuple[float, ...]
    uses: tuple[Use, ...]

    @property
    def boards(self) -> float:
        """Boards cut, in fractions."""
        return sum(use.amount for use in self.uses)


class Relaxation:
    """Patterns known so far for a group of parts, and fractional plans over them."""

    def __init__(self, grid: LengthGrid, supplies: Sequence[Supply], budget: Budget) -> None:
        self.grid, self.supplies, self.budget = grid, supplies, budget
        self.pool: dict[tuple[int, tuple[int, ...]], Pattern] = {}
        dearest = max((board.price for board in grid.boards), default=0) or 1
        self.weight = [board.price / dearest + 1e-4 for board in grid.boards]

    def add(self, pattern: Pattern) -> bool:
        """Keep a pattern; False where it holds nothing or its pieces are known already."""
        key = (pattern.board, pattern.counts)
        if key in self.pool or not any(pattern.counts):
            return False
        self.pool[key] = pattern
        return True

    def solve(
        self, demand: Sequence[int], hand: Sequence[int], *, proper: bool, rounds: int = _ROUNDS
    ) -> Relaxed:
        """Generate patterns until none lowers the cost, or for so many rounds.

        `proper` patterns never hold more of a part than the demand.
        """
        master = Master(self.grid, self.weight, demand, hand)
        for pattern in list(self.pool.values()):
            if not proper or _within(pattern.counts, demand):
                master.add(pattern)
        covered = [any(p.counts[i] for p, _ in master.columns) for i in range(len(demand))]
        for pattern in self._single_parts(demand, covered, proper):
            if self.add(pattern):
                master.add(pattern)
        values, limits = master.solve()
        for _ in range(rounds):
            found = [p for p in self._cheap(values, limits, demand, hand, proper) if self.add(p)]
            for pattern in found:
                master.add(pattern)
            if not found or not self.budget.left():
                break
            values, limits = master.solve()
        return Relaxed(tuple(values), tuple(master.uses()))

    def _single_parts(
        self, demand: Sequence[int], covered: Sequence[bool], proper: bool
    ) -> Iterator[Pattern]:
        """Boards cut for one part alone, for parts that no known pattern holds."""
        for number, supply in enumerate(self.supplies):
            for i, wanted in enumerate(demand):
                fits = set(supply.boards) & set(self.grid.parts[i].boards)
                if wanted and fits and not covered[i]:
                    alone = [float(j == i) for j in range(len(demand))]
                    yield from self._patterns(number, supply, alone, demand, proper)

    def _patterns(
        self,
        number: int,
        supply: Supply,
        values: Sequence[float],
        demand: Sequence[int],
        proper: bool,
    ) -> Iterator[Pattern]:
        prices = None if proper else supply.prices(values, demand)
        for board in supply.boards:
            if proper:
                yield Pattern(number, board, supply.cut(board, values, demand))
            else:
                yield Pattern(number, board, supply.relaxed(prices, board))

    def _cheap(
        self,
        values: Sequence[float],
        limits: Mapping[int, float],
        demand: Sequence[int],
        hand: Sequence[int],
        proper: bool,
    ) -> Iterator[Pattern]:
        """Patterns worth more than their board costs at the present values.

        Where there are many parts, each supply is asked again for patterns of the other parts.
        """
        again = _AGAIN if proper and sum(map(bool, demand)) > _MANY else 1
        for number, supply in enumerate(self.supplies):
            need = list(demand)
            for _ in range(again):
                found = [
                    pattern
                    for pattern in self._patterns(number, supply, values, need, proper)
                    if sum(v * c for v, c in zip(values, pattern.counts, strict=True))
                    > self._least_cost(pattern.board, limits, hand) + _TINY
                ]
                yield from found
                for pattern in found:
                    need = [0 if c else n for n, c in zip(need, pattern.counts, strict=True)]
                if not found:
                    break

    def _least_cost(self, board: int, limits: Mapping[int, float], hand: Sequence[int]) -> float:
        costs = [self.weight[board]] if self.grid.boards[board].buyable else []
        if hand[board]:
            costs.append(FROM_HAND * self.weight[board] + limits.get(board, 0.0))
        return min(costs, default=float("inf"))

    def bound(
        self, values: Sequence[float], demand: Sequence[int], hand: Sequence[int]
    ) -> Fraction:
        """The least that `demand` costs, in money steps, proved by these values.

        They are taken all together, and for the parts of each set of boards apart; where boards
        differ and parts are few, each part by itself says something too.
        """
        highest = max(values, default=0.0)
        limits = [supply.limits for supply in self.supplies]
        if highest <= 0 or not all(limits):
            return Fraction(0)
        known = [supply for supply in limits if supply]
        numbers = [board for supply in known for board in supply.boards]
        bought = {b: self.grid.boards[b].price for b in numbers if self.grid.boards[b].buyable}
        whole = [float(round(max(v, 0.0) / highest * _FINE)) for v in values]
        covers = [self._cover(known, whole, demand, hand)]
        if len(bought) > 1:
            views = self._views(whole, demand)
            covers += [self._cover(known, some, demand, hand) for some in views]
        return find_least_cost(bought, covers) or Fraction(0)

    def _views(self, values: Sequence[float], demand: Sequence[int]) -> Iterator[list[float]]:
        wanted = [i for i, value in enumerate(values) if value and demand[i]]
        for boards in dict.fromkeys(tuple(sorted(self.grid.parts[i].boards)) for i in wanted):
            within = [i for i in wanted if set(self.grid.parts[i].boards) <= set(boards)]
            if len(within) < len(wanted):
                yield [value if i in within else 0.0 for i, value in enumerate(values)]
        if len(wanted) <= _FEW_PARTS:
            for part in wanted:
                yield [float(i == part) for i in range(len(values))]

    def _cover(
        self,
        supplies: Sequence[Supply],
        values: Sequence[float],
        demand: Sequence[int],
        hand: Sequence[int],
    ) -> Cover:
        """What the demand is worth beyond the boards on hand, and each board at most."""
        need = sum(int(value) * n for value, n in zip(values, demand, strict=True))
        worth: dict[int, int] = {}
        for supply in supplies:
            prices = supply.prices(values, demand)
            worth |= {board: int(supply.worth(prices, board)) for board in supply.boards}
        return Cover(need - sum(hand[board] * each for board, each in worth.items()), worth)


def _within(counts: Sequence[int], demand: Sequence[int]) -> bool:
    return all(c <= d for c, d in zip(counts, demand, strict=True))
