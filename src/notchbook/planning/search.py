"""The search for the cheapest boards: first fit, then patterns priced and put together exactly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from notchbook.planning.begun import Begun
from notchbook.planning.bound import Bound, payable
from notchbook.planning.budget import Budget
from notchbook.planning.choose import choose
from notchbook.planning.dive import Dive
from notchbook.planning.first_fit import FirstFit
from notchbook.planning.grid import Grid
from notchbook.planning.last_boards import LastBoards
from notchbook.planning.outcome import Cut, Outcome, outcome
from notchbook.planning.relaxation import Relaxation, Relaxed
from notchbook.planning.sheet import Sheet
from notchbook.planning.supply import Pattern, Supply
from notchbook.planning.wood import Wood

_FEW = 9  # boards that are recombined as a whole
_LISTED = 1_500  # sets of pieces of a sheet that are all offered to the choice
_NODES = 2_000


class Searcher:
    """Plans for parts that share boards among themselves and with no others."""

    def __init__(self, grid: Grid, members: Sequence[int], budget: Budget) -> None:
        self.grid, self.members, self.budget = grid, tuple(members), budget
        self.bound = Bound(grid, members)
        self.first_fit = FirstFit(grid, members, self.bound)
        self.boards = self.first_fit.boards
        self.scarce = {
            i for i in members if not any(grid.boards[b].buyable for b in grid.parts[i].boards)
        }
        self._known: dict[tuple[tuple[int, ...], tuple[int, ...]], Outcome] = {}
        self._relaxation: Relaxation | None = None
        self._values: list[float] = []

    def best(self, demand: Sequence[int], hand: Sequence[int]) -> Outcome:
        """The cheapest outcome found, and the least that any could cost."""
        key = (tuple(demand[i] for i in self.members), tuple(hand[b] for b in self.boards))
        if (found := self._known.get(key)) is None:
            there = [n if b in self.boards else 0 for b, n in enumerate(hand)]
            found = self._known[key] = self._search(self._own(demand), there)
        return found

    def least(self, demand: Sequence[int], hand: Sequence[int]) -> int:
        """A lower bound on the cost that takes little work once a plan has been searched for."""
        wanted = self._own(demand)
        least = self.bound.cost(wanted, hand)
        if self._values:
            proved = self._relaxed_boards().bound(self._values, wanted, hand)
            least = max(least, payable(self.grid, self.boards, proved))
        return least

    def _own(self, demand: Sequence[int]) -> list[int]:
        """The demand for this group's own parts."""
        return [n if i in self.members else 0 for i, n in enumerate(demand)]

    def _search(self, demand: Sequence[int], hand: Sequence[int]) -> Outcome:
        found = self.first_fit.best(demand, hand)
        least_boards = self.bound.boards(demand)
        if found.cannot_be_beaten(least_boards) or not any(demand):
            return found
        relaxation = self._relaxed_boards()
        relaxed = relaxation.solve(demand, hand, proper=False)
        self._values = self._sure(relaxed.values)
        proved = relaxation.bound(self._values, demand, hand)
        found = replace(found, bound=max(found.bound, payable(self.grid, self.boards, proved)))
        if found.cannot_be_beaten(least_boards):
            return found
        for cuts in self._attempts(relaxation, relaxed, demand, hand, found):
            better = outcome(self.grid, cuts, demand, self.members, found.bound)
            if better.rank < found.rank:
                found = better
            if found.cost == found.bound and not found.short:
                break
        return found

    def _attempts(
        self,
        relaxation: Relaxation,
        relaxed: Relaxed,
        demand: Sequence[int],
        hand: Sequence[int],
        found: Outcome,
    ) -> Iterator[tuple[Cut, ...]]:
        """Ways to make the demand, the most promising first."""
        woods = [supply for supply in relaxation.supplies if isinstance(supply, Wood)]
        if len(woods) == len(relaxation.supplies) and any(wood.kinds for wood in woods):
            yield from self._recombined(relaxation, relaxed, woods, demand, hand, found)
            return
        if any(isinstance(supply, Sheet) for supply in relaxation.supplies):
            self._list_sheets(relaxation)
            yield from self._chosen(relaxation, demand, hand)
        dive = Dive(relaxation, self.first_fit)
        goal = found.bound
        while goal < found.cost:
            if (cuts := dive.cuts(demand, hand, goal)) is not None:
                yield cuts
                return
            yield from self._chosen(relaxation, demand, hand)
            goal = payable(self.grid, self.boards, Fraction(goal + 1))

    def _recombined(
        self,
        relaxation: Relaxation,
        relaxed: Relaxed,
        woods: Sequence[Wood],
        demand: Sequence[int],
        hand: Sequence[int],
        found: Outcome,
    ) -> Iterator[tuple[Cut, ...]]:
        """Settle boards until few are left, and recombine those."""
        begun = Begun.of(relaxation, demand, hand)
        while relaxed.boards > _FEW:
            settled = len(begun.cuts)
            begun.settle_whole(relaxed)
            if len(begun.cuts) == settled:
                use = max(relaxed.uses, key=lambda use: use.amount)
                begun.settle(use.pattern, 1, from_hand=use.from_hand)
            if len(begun.cuts) == settled:
                break
            relaxed = relaxation.solve(begun.need, begun.hand, proper=False)
        if not any(begun.need):
            yield begun.cuts
            return
        last = LastBoards(relaxation, woods, self.scarce)
        goal, most = found.bound - begun.spent, found.cost - begun.spent - 1
        for cuts in last.attempts(begun.need, begun.hand, relaxed.values, goal, most):
            yield begun.cuts + cuts

    def _chosen(
        self, relaxation: Relaxation, demand: Sequence[int], hand: Sequence[int]
    ) -> Iterator[tuple[Cut, ...]]:
        cuts = choose(relaxation, demand, hand, self.scarce, _NODES)
        if cuts is not None:
            yield cuts

    def _list_sheets(self, relaxation: Relaxation) -> None:
        """Add every set of pieces that a sheet can hold, where there are not too many."""
        for number, sheet in enumerate(relaxation.supplies):
            if isinstance(sheet, Sheet) and len(sheet.nodes) <= _LISTED:
                for cut in sheet.listed():
                    relaxation.add(Pattern(number, sheet.boards[0], cut))

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

    def _relaxed_boards(self) -> Relaxation:
        if self._relaxation is None:
            sheets: list[Supply] = []
            woods: dict[tuple[object, ...], list[int]] = {}
            for b in self.boards:
                board = self.grid.boards[b]
                parts = tuple(i for i in self.members if b in self.grid.parts[i].boards)
                if board.panel:
                    sheets.append(Sheet(self.grid, b, self._most([b])))
                else:
                    woods.setdefault((board.thickness, board.width, parts), []).append(b)
            found = [Wood(self.grid, boards, self._most(boards)) for boards in woods.values()]
            self._relaxation = Relaxation(self.grid, [*found, *sheets], self.budget)
        return self._relaxation


def searchers(grid: Grid, budget: Budget) -> list[Searcher]:
    """One searcher for each group of parts that have boards in common, in the job's order."""
    groups: list[tuple[set[int], list[int]]] = []
    for i, part in enumerate(grid.parts):
        joined = [group for group in groups if group[0].intersection(part.boards)]
        boards = set(part.boards).union(*(group[0] for group in joined))
        members = sorted([i, *(member for group in joined for member in group[1])])
        groups = [group for group in groups if group not in joined]
        groups.append((boards, members))
    return [Searcher(grid, members, budget) for _, members in groups]
