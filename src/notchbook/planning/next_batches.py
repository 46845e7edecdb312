"""Which projects to make next, and how many of each, with the hours and the money there are.

A whole-number program: one of the possible batches of each project, or none; whole packs, shared by
all; hours and money as limits; most money brought in. Decisions:

- Minutes and boards are step functions of the number of pieces, so each number is a column of its
  own that is taken or not.
- All numbers are put on whole steps that hold them exactly. Where none of a reasonable size does,
  what a batch takes is rounded up and what there is down, so that the answer always holds.
- The solver is not believed: what it finds is added up again, and called the best only where a
  second run, of another seed, that must bring in a step more finds that nothing does. Else
  the bound is worked out here, in whole numbers, from what a step more of each limit would be
  worth: at any such values no choice is worth more than its parts one by one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, lcm

from notchbook.planning.model.budget import Budget
from notchbook.planning.search.integer import Effort, IntegerProgram

CHOICE = 40_000_000  # steps for all runs together
_NODES = 100_000
_FINEST = {"minutes": 10_000, "money": 10_000, "packs": 100_000, "earns": 10_000}
_GRAIN = 1_000_000  # parts of a step that the worth of a limit is rounded to


@dataclass(frozen=True, slots=True)
class PossibleBatch:
    """So many good pieces of a project: minutes, money that they bring in, stock that they take."""

    units: int
    minutes: Fraction
    earns: Fraction
    takes: Mapping[str, Fraction]


@dataclass(frozen=True, slots=True)
class ShelfStock:
    """What is there of a stock, and what a pack of it holds and costs; None: cannot be bought."""

    stock: str
    there: Fraction
    pack: Fraction
    price: Fraction | None

    def packs_for(self, need: Fraction) -> int:
        """Return the whole packs that are bought for what is needed."""
        return max(ceil((need - self.there) / self.pack), 0)


@dataclass(frozen=True, slots=True)
class TimeAndMoney:
    """The minutes and the money that there are; None: no limit."""

    minutes: Fraction | None = None
    money: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Selection:
    """How many of each project, what they bring in, and a bound that no other numbers pass."""

    units: Mapping[str, int]
    earns: Fraction
    bound: Fraction

    @property
    def is_best(self) -> bool:
        """Whether it is proved that no other numbers bring in more."""
        return self.earns == self.bound


Batches = Mapping[str, Sequence[PossibleBatch]]


def choose_batches(
    batches: Batches, shelf: Sequence[ShelfStock], limits: TimeAndMoney, steps: int = CHOICE
) -> Selection:
    """Choose one batch of each project, or none, so that together they bring in most.

    Every stock that a batch takes stands on the shelf.
    """
    useful = {
        project: [each for each in its if each.earns > 0 and _fits([each], shelf, limits)]
        for project, its in batches.items()
    }
    best = {name: max(its, key=_rank) for name, its in useful.items() if its}
    if _fits(best.values(), shelf, limits):
        earns = sum((each.earns for each in best.values()), Fraction(0))
        return Selection({name: each.units for name, each in best.items()}, earns, earns)
    return _Choice(useful, shelf, limits).search(Budget(steps))


def _rank(batch: PossibleBatch) -> tuple[Fraction, Fraction]:
    return batch.earns, -batch.minutes


def _fits(
    chosen: Iterable[PossibleBatch], shelf: Iterable[ShelfStock], limits: TimeAndMoney
) -> bool:
    """Tell whether batches can be made together."""
    batches = list(chosen)
    if limits.minutes is not None and sum(each.minutes for each in batches) > limits.minutes:
        return False
    paid = Fraction(0)
    for stock in shelf:
        need = sum((each.takes.get(stock.stock, Fraction(0)) for each in batches), Fraction(0))
        packs = stock.packs_for(need)
        if packs and stock.price is None:
            return False
        paid += packs * (stock.price or 0)
    return limits.money is None or paid <= limits.money


def _scale(values: Iterable[Fraction], finest: int) -> int:
    """Return the steps of 1 that hold all values, or the finest where these are too many."""
    found = 1
    for value in values:
        found = lcm(found, value.denominator)
        if found > finest:
            return finest
    return found


class _Choice:
    """The program of one question, and how each of its columns and rows is read."""

    def __init__(self, batches: Batches, shelf: Sequence[ShelfStock], limits: TimeAndMoney) -> None:
        self.limits = limits
        self.columns = [(name, batch) for name, its in batches.items() for batch in its]
        self.grain = _scale((batch.earns for _, batch in self.columns), _FINEST["earns"])
        self.earns = [round(batch.earns * self.grain) for _, batch in self.columns]
        self.packs: dict[int, int] = {}  # by column: the most that is ever bought
        self.program = IntegerProgram(exact=True)
        for worth in self.earns:
            self.program.column(-worth, 1)
        for name, its in batches.items():
            own = [n for n, (project, _) in enumerate(self.columns) if project == name]
            if its:
                self.program.row(None, 1, dict.fromkeys(own, 1))
        self.choices = len(self.program.rows)
        self.limit_minutes()
        self.share_packs(batches, shelf)

    def limit_minutes(self) -> None:
        """Put the minutes of all into those that there are."""
        if self.limits.minutes is None:
            return
        minutes = [batch.minutes for _, batch in self.columns]
        scale = _scale(minutes, _FINEST["minutes"])
        terms = {n: ceil(each * scale) for n, each in enumerate(minutes) if each}
        self.program.row(None, floor(self.limits.minutes * scale), terms)

    def share_packs(self, batches: Batches, shelf: Sequence[ShelfStock]) -> None:
        """Buy whole packs of what is not there, and no more of them than there is money for."""
        paid: dict[int, Fraction] = {}
        nothing = Fraction(0)
        for stock in shelf:
            takes = {
                n: batch.takes[stock.stock] / stock.pack
                for n, (_, batch) in enumerate(self.columns)
                if batch.takes.get(stock.stock)
            }
            most = sum(
                max((each.takes.get(stock.stock, nothing) for each in its), default=nothing)
                for its in batches.values()
            )
            packs = stock.packs_for(Fraction(most))
            if not packs:
                continue  # there is enough for all
            there = stock.there / stock.pack
            scale = _scale((*takes.values(), there), _FINEST["packs"])
            terms = {n: ceil(each * scale) for n, each in takes.items()}
            if stock.price is not None:
                column = self.program.column(0, packs)
                self.packs[column], paid[column] = packs, stock.price
                terms[column] = -scale
            self.program.row(None, floor(there * scale), terms)
        if self.limits.money is not None and paid:
            scale = _scale(paid.values(), _FINEST["money"])
            terms = {column: ceil(price * scale) for column, price in paid.items() if price}
            self.program.row(None, floor(self.limits.money * scale), terms)

    def search(self, budget: Budget) -> Selection:
        """Find the best choice, and prove it or give a bound."""
        chosen: list[int] = []
        bound = self.bound()
        answer = self.program.answer(Effort(budget.left // 2, _NODES), budget)
        luck = 1
        while answer.values is not None:
            chosen = [n for n in range(len(self.columns)) if answer.values[n]]
            worth = self.worth(chosen)
            if worth >= bound:
                break
            luck += 1
            more = IntegerProgram([*self.program.cost], [*self.program.upper], exact=True)
            more.rows = [*self.program.rows]
            more.row(worth + 1, None, {n: each for n, each in enumerate(self.earns) if each})
            answer = more.answer(Effort(budget.left, _NODES, luck), budget)
        if answer.ended:  # nothing brings in a step more
            bound = self.worth(chosen)
        units = {self.columns[n][0]: self.columns[n][1].units for n in chosen}
        earns = sum((self.columns[n][1].earns for n in chosen), Fraction(0))
        proved = bound <= self.worth(chosen)
        return Selection(units, earns, earns if proved else max(Fraction(bound, self.grain), earns))

    def worth(self, chosen: Iterable[int]) -> int:
        """Add up what is chosen."""
        return sum(self.earns[n] for n in chosen)

    def bound(self) -> int:
        """Return what no choice passes, by what a step more of each limit would be worth."""
        rows = self.program.rows[self.choices :]
        worths = self.program.relax()[self.choices :]
        values = [max(round(-each * _GRAIN), 0) for each in worths]  # the program asks for least
        total = 0
        costs = [0] * len(self.program.cost)
        for value, (_, high, terms) in zip(values, rows, strict=True):
            total += value * int(high or 0)
            for column, often in terms.items():
                costs[column] += value * often
        left = [each * _GRAIN - costs[n] for n, each in enumerate(self.earns)]
        for _, _, own in self.program.rows[: self.choices]:
            total += max(0, *(left[n] for n in own))
        total += sum(max(0, -costs[column]) * most for column, most in self.packs.items())
        return total // _GRAIN
