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
from notchbook.planning.search.bound import payable
from notchbook.planning.search.covers import Cover, find_least
from notchbook.planning.search.master import FROM_HAND, Master, Use

_FINE = 1 << 20  # values are rounded to this part of the dearest piece for exact bounds
_GRAIN = 1 << 26  # values are whole parts of this, so that no sum of them is ever rounded
_ROUNDS = 120
_STEADY = 0.5  # the share that the best values so far have in the next ones
_MANY, _AGAIN = 30, 4  # parts from which a supply is asked so often in one round
_FEW_PARTS = 10
_TINY = 1e-7
_NEARLY = 0.95  # of the program's cost must be proved before sums between are looked for
EXTRA = 1e-4  # what a board weighs beside its price, so that free ones are spared


@dataclass(frozen=True, slots=True)
class Relaxed:
    """A fractional plan: how much of each pattern is used, and what a piece of a part is worth.

    `converged`: no pattern that could be found would lower its cost.
    """

    values: tuple[float, ...]
    uses: tuple[Use, ...]
    converged: bool

    @property
    def boards(self) -> float:
        """Boards cut, in fractions."""
        return sum(use.amount for use in self.uses)


class Relaxation:
    """Patterns known so far for a group of parts, and fractional plans over them."""

    def __init__(self, grid: LengthGrid, supplies: Sequence[Supply], budget: Budget) -> None:
        self.grid, self.supplies, self.budget = grid, supplies, budget
        self.pool: dict[tuple[int, tuple[int, ...]], Pattern] = {}
        self._dearest = max((board.price for board in grid.boards), default=0) or 1
        self.weight = [board.price / self._dearest + EXTRA for board in grid.boards]

    def copy(self) -> Relaxation:
        """Another one that begins with the same patterns."""
        other = Relaxation(self.grid, self.supplies, self.budget)
        other.pool = dict(self.pool)
        return other

    def add(self, pattern: Pattern) -> bool:
        """Keep a pattern; False where it holds nothing or its pieces are known already."""
        key = (pattern.board, pattern.counts)
        if key in self.pool or not any(pattern.counts):
            return False
        self.pool[key] = pattern
        return True

    def root(self, demand: Sequence[int], hand: Sequence[int], steps: int) -> Relaxed:
        """Generate patterns, which may hold more of a part than the demand, for so many steps.

        Patterns are priced between the solver's values and those that proved most so far, which
        keeps the values from swinging (Wentges, Int. Trans. Operational Research 4, 1997).
        """
        until = self.budget.spent + steps
        master = self._master(demand, hand, proper=False)
        centre: list[float] = []
        most, converged = 0.0, False
        while not converged and self.budget.left and self.budget.spent < until:
            values, limits = master.solve()
            for steady in (_STEADY, 0.0) if centre else (0.0,):
                at = _between(centre or values, values, steady)
                worth, patterns = self._priced(at, demand)
                proved = self._proved(at, worth, demand, hand)
                if proved > most:
                    most, centre = proved, at
                cheap = [p for p in patterns if self._pays(p, values, limits, hand)]
                if added := [p for p in cheap if self.add(p)]:
                    break
            converged = not added or self._closed(most, master)
            for pattern in added:
                master.add(pattern)
        values, _ = master.solve()
        return Relaxed(tuple(centre or values), tuple(master.uses()), converged)

    def solve(self, demand: Sequence[int], hand: Sequence[int], rounds: int = _ROUNDS) -> Relaxed:
        """Generate patterns that hold no more of a part than the demand, for so many rounds."""
        master = self._master(demand, hand, proper=True)
        for _ in range(rounds):
            values, limits = master.solve()
            found = [p for p in self._cheap(values, limits, demand, hand) if self.add(p)]
            for pattern in found:
                master.add(pattern)
            if not found or not self.budget.left:
                return Relaxed(tuple(values), tuple(master.uses()), not found)
        values, _ = master.solve()
        return Relaxed(tuple(values), tuple(master.uses()), converged=False)

    def _master(self, demand: Sequence[int], hand: Sequence[int], *, proper: bool) -> Master:
        """The linear program over the known patterns, with one at least for every part."""
        master = Master(self.grid, self.weight, demand, hand, self.budget)
        for pattern in self.pool.values():
            if not proper or _within(pattern.counts, demand):
                master.add(pattern)
        covered = [any(p.counts[i] for p, _ in master.columns) for i in range(len(demand))]
        for pattern in self._single_parts(demand, covered, proper):
            if self.add(pattern):
                master.add(pattern)
        return master

    def price(self, values: Sequence[float], demand: Sequence[int]) -> list[Pattern]:
        """Find patterns worth much at these values."""
        return self._priced(_between(values, values, 0.0), demand)[1]

    def _priced(
        self, values: Sequence[float], demand: Sequence[int]
    ) -> tuple[dict[int, float], list[Pattern]]:
        """What every board is worth at most, and patterns worth much."""
        worth: dict[int, float] = {}
        patterns: list[Pattern] = []
        for number, supply in enumerate(self.supplies):
            prices = supply.prices(values, demand)
            for board in supply.boards:
                worth[board] = supply.worth(prices, board)
                patterns += [Pattern(number, board, c) for c in supply.relaxed(prices, board)]
        return worth, patterns

    def _proved(
        self,
        values: Sequence[float],
        worth: Mapping[int, float],
        demand: Sequence[int],
        hand: Sequence[int],
    ) -> float:
        """What boards must weigh at these values, nearly; 0 where none can be bought."""
        bought = [b for b, most in worth.items() if self.grid.boards[b].buyable and most > _TINY]
        if not bought:
            return 0.0
        rate = min(self.weight[b] / worth[b] for b in bought)
        there = sum(
            hand[b] * max(rate * each - FROM_HAND * self.weight[b], 0.0)
            for b, each in worth.items()
        )
        return rate * sum(v * n for v, n in zip(values, demand, strict=True)) - there

    def _closed(self, proved: float, master: Master) -> bool:
        """Whether no sum that could be paid is left between what is proved and the program's."""
        bought = [use for use in master.uses() if not use.from_hand]
        boards = self.grid.boards
        money = sum(use.amount * boards[use.pattern.board].price for use in bought)
        extra = sum(use.amount for use in bought) * EXTRA * self._dearest
        least = proved * self._dearest - extra
        if least < _NEARLY * money:
            return False
        return self._payable(least) >= self._payable(money)

    def _payable(self, money: float) -> int:
        numbers = [board for supply in self.supplies for board in supply.boards]
        return payable(self.grid, numbers, Fraction(max(money * (1 - 1e-9) - 1e-6, 0.0)))

    def _pays(
        self,
        pattern: Pattern,
        values: Sequence[float],
        limits: Mapping[int, float],
        hand: Sequence[int],
    ) -> bool:
        """Whether a pattern is worth more than its board."""
        worth = sum(v * c for v, c in zip(values, pattern.counts, strict=True) if c)
        return worth > self._least_cost(pattern.board, limits, hand) + _TINY

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
                yield Pattern(number, board, supply.relaxed(prices, board)[0])

    def _cheap(
        self,
        values: Sequence[float],
        limits: Mapping[int, float],
        demand: Sequence[int],
        hand: Sequence[int],
    ) -> Iterator[Pattern]:
        """Patterns worth more than their board costs at the present values.

        Where there are many parts, each supply is asked again for patterns of the other parts.
        """
        values = _between(values, values, 0.0)
        again = _AGAIN if sum(map(bool, demand)) > _MANY else 1
        for number, supply in enumerate(self.supplies):
            need = list(demand)
            for _ in range(again):
                found = [
                    pattern
                    for pattern in self._patterns(number, supply, values, need, proper=True)
                    if self._pays(pattern, values, limits, hand)
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

    def bought(self) -> dict[int, int]:
        """What each board that can be bought costs, in money steps."""
        boards = [(b, self.grid.boards[b]) for supply in self.supplies for b in supply.boards]
        return {b: board.price for b, board in boards if board.buyable}

    def bound(
        self, values: Sequence[float], demand: Sequence[int], hand: Sequence[int]
    ) -> Fraction:
        """The least that `demand` costs, in money steps, proved by these values."""
        return find_least(self.bought(), self.covers(values, demand, hand)).cost

    def covers(
        self, values: Sequence[float], demand: Sequence[int], hand: Sequence[int]
    ) -> list[Cover]:
        """What these values say of the boards; none where limits are not known.

        They are taken all together, and for the parts of each set of boards apart; where boards
        differ and parts are few, each part by itself says something too.
        """
        whole = _in_fine_steps(values)
        covers = [self.cover(whole, demand, hand)]
        if len(self.bought()) > 1:
            covers += [self.cover(some, demand, hand) for some in self._views(whole, demand)]
        return [cover for cover in covers if cover]

    def cover(
        self, values: Sequence[float], demand: Sequence[int], hand: Sequence[int]
    ) -> Cover | None:
        """What the demand is worth beyond the boards on hand, and each board at most."""
        whole = _in_fine_steps(values)
        limits = [supply.limits for supply in self.supplies]
        if not any(whole) or not all(limits):
            return None
        need = sum(int(value) * n for value, n in zip(whole, demand, strict=True))
        worth: dict[int, int] = {}
        for supply in (each for each in limits if each):
            prices = supply.prices(whole, demand)
            worth |= {board: int(supply.worth(prices, board)) for board in supply.boards}
        return Cover(need - sum(hand[board] * each for board, each in worth.items()), worth)

    def _views(self, values: Sequence[float], demand: Sequence[int]) -> Iterator[list[float]]:
        wanted = [i for i, value in enumerate(values) if value and demand[i]]
        for boards in dict.fromkeys(tuple(sorted(self.grid.parts[i].boards)) for i in wanted):
            within = [i for i in wanted if set(self.grid.parts[i].boards) <= set(boards)]
            if len(within) < len(wanted):
                yield [value if i in within else 0.0 for i, value in enumerate(values)]
        if len(wanted) <= _FEW_PARTS:
            for part in wanted:
                yield [float(i == part) for i in range(len(values))]


def _in_fine_steps(values: Sequence[float]) -> list[float]:
    """Values in whole parts of the dearest, whose sums are exact."""
    highest = max(values, default=0.0)
    return [float(round(max(v, 0.0) / highest * _FINE)) if highest > 0 else 0.0 for v in values]


def _between(one: Sequence[float], other: Sequence[float], share: float) -> list[float]:
    """So large a share of the one and the rest of the other, in steps that add up exactly."""
    mixed = [share * a + (1 - share) * b for a, b in zip(one, other, strict=True)]
    return [round(value * _GRAIN) / _GRAIN for value in mixed]


def _within(counts: Sequence[int], demand: Sequence[int]) -> bool:
    return all(c <= d for c, d in zip(counts, demand, strict=True))
