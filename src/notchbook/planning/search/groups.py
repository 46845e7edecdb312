"""The search for the cheapest boards: first fit, then patterns priced and put together exactly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property

from notchbook.planning.model.budget import Budget
from notchbook.planning.model.grid import LengthGrid
from notchbook.planning.model.outcome import Outcome, sum_up
from notchbook.planning.model.supply import Supply
from notchbook.planning.search.attempts import Attempts
from notchbook.planning.search.bound import Bound, payable
from notchbook.planning.search.first_fit import FirstFit
from notchbook.planning.search.relaxation import Relaxation, Relaxed
from notchbook.planning.search.sheet import SheetSupply
from notchbook.planning.search.wood import Wood


class Searcher:
    """Plans for parts that share boards among themselves and with no others.

    Every search begins anew, so that its outcome does not depend on those before; with `keep`,
    one pool of patterns serves them all.
    """

    def __init__(
        self, grid: LengthGrid, members: Sequence[int], budget: Budget, *, keep: bool = False
    ) -> None:
        self.grid, self.members, self.budget = grid, tuple(members), budget
        self._keep = keep
        self.bound = Bound(grid, members)
        self.first_fit = FirstFit(grid, members, self.bound)
        self.boards = self.first_fit.boards
        self.scarce = {
            i for i in members if not any(grid.boards[b].buyable for b in grid.parts[i].boards)
        }
        self._known: dict[tuple[tuple[int, ...], tuple[int, ...]], Outcome] = {}
        self._values: list[float] = []

    def best(self, demand: Sequence[int], hand: Sequence[int]) -> Outcome:
        """The cheapest outcome found, and the least that any could cost."""
        key = (tuple(demand[i] for i in self.members), tuple(hand[b] for b in self.boards))
        if (found := self._known.get(key)) is None:
            there = [n if b in self.boards else 0 for b, n in enumerate(hand)]
            found = self._known[key] = self._search(self._own(demand), there)
        return found

    def keeping(self) -> Searcher:
        """A searcher for the same parts that keeps its patterns from one search to the next."""
        other = Searcher(self.grid, self.members, self.budget, keep=True)
        other.supplies = self.supplies
        return other

    def least(self, demand: Sequence[int], hand: Sequence[int]) -> int:
        """A lower bound on the cost that takes little work once a plan has been searched for."""
        wanted = self._own(demand)
        least = self.bound.cost(wanted, hand)
        if self._values:
            proved = self.attempts.relaxation.bound(self._values, wanted, hand)
            least = max(least, payable(self.grid, self.boards, proved))
        return least

    def _own(self, demand: Sequence[int]) -> list[int]:
        """The demand for this group's own parts."""
        return [n if i in self.members else 0 for i, n in enumerate(demand)]

    def _search(self, demand: Sequence[int], hand: Sequence[int]) -> Outcome:
        found = self.first_fit.best(demand, hand)
        least_boards = self.bound.boards(demand)
        there = any(hand[b] or self.grid.boards[b].buyable for b in self.boards)
        if found.cannot_be_beaten(least_boards) or not any(demand) or not there:
            return found
        if not self.budget.left():
            return found
        if not self._keep:
            self.attempts.forget()
        relaxed = self._relaxed(demand, hand)
        proved = self.attempts.relaxation.bound(self._values, demand, hand)
        found = replace(found, bound=max(found.bound, payable(self.grid, self.boards, proved)))
        if found.cannot_be_beaten(least_boards):
            return found
        for cuts in self.attempts.cuts(demand, hand, relaxed, found):
            better = sum_up(self.grid, cuts, demand, self.members, found.bound)
            if better.rank < found.rank:
                found = better
            if found.cost == found.bound and not found.short:
                break
        return found

    def equals(
        self, demand: Sequence[int], hand: Sequence[int], found: Outcome
    ) -> Iterator[Outcome]:
        """Other outcomes that are as good as the one found; some are easier to cut."""
        wanted = self._own(demand)
        if not any(wanted):
            return
        for other in self.first_fit.all(wanted, hand):
            if other.rank == found.rank:
                yield replace(other, bound=found.bound)
        if not self.budget.left():
            return
        values = self._values or self._relaxed(wanted, hand).values
        if cuts := self.attempts.neat(wanted, values, found):
            other = sum_up(self.grid, cuts, wanted, self.members, found.bound)
            if other.rank == found.rank:
                yield other

    def _relaxed(self, demand: Sequence[int], hand: Sequence[int]) -> Relaxed:
        relaxed = self.attempts.relaxation.solve(demand, hand, proper=False)
        self._values = self._sure(relaxed.values)
        return relaxed

    def _sure(self, values: Sequence[float]) -> list[float]:
        """Values for a bound: pieces that may stay short for want of stock count nothing."""
        return [0.0 if i in self.scarce else value for i, value in enumerate(values)]

    def _most(self, boards: Sequence[int]) -> list[int]:
        """The most pieces of each part that one of the boards can hold."""
        most = [0] * len(self.grid.parts)
        for i in self.members:
            fitting = [b for b in boards if b in self.grid.parts[i].boards]
            most[i] = max((self.bound.most(i, b) for b in fitting), default=0)
        return most

    @cached_property
    def attempts(self) -> Attempts:
        """What is tried beyond first fit, and the pool of patterns it fills."""
        relaxation = Relaxation(self.grid, self.supplies, self.budget)
        return Attempts(relaxation, self.first_fit, self.scarce, thorough=not self._keep)

    @cached_property
    def supplies(self) -> list[Supply]:
        """The boards, those of one section that the same parts are cut from together."""
        sheets: list[Supply] = []
        woods: dict[tuple[object, ...], list[int]] = {}
        for b in self.boards:
            board = self.grid.boards[b]
            parts = tuple(i for i in self.members if b in self.grid.parts[i].boards)
            if board.panel:
                sheets.append(SheetSupply(self.grid, b, self._most([b])))
            else:
                woods.setdefault((board.thickness, board.width, parts), []).append(b)
        found = [Wood(self.grid, boards, self._most(boards)) for boards in woods.values()]
        return [*found, *sheets]


def make_searchers(grid: LengthGrid, budget: Budget) -> list[Searcher]:
    """Make one searcher for each group of parts that have boards in common, in the job's order."""
    groups: list[tuple[set[int], list[int]]] = []
    for i, part in enumerate(grid.parts):
        joined = [group for group in groups if group[0].intersection(part.boards)]
        boards = set(part.boards).union(*(group[0] for group in joined))
        members = sorted([i, *(member for group in joined for member in group[1])])
        groups = [group for group in groups if group not in joined]
        groups.append((boards, members))
    return [Searcher(grid, members, budget) for _, members in groups]
