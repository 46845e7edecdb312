"""One demand searched: first fit, bounds, relaxation, dives, boards put together anew.

A search is partial, relaxed and then improved step by step, so that several of them can share one
budget by the gap that is still between cost and bound.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cached_property
from itertools import islice
from random import Random

from notchbook.planning.model.budget import Budget
from notchbook.planning.model.grid import LengthGrid
from notchbook.planning.model.outcome import Cut, Outcome, sum_up
from notchbook.planning.model.supply import Pattern
from notchbook.planning.search.board_numbers import raise_bound
from notchbook.planning.search.bound import payable
from notchbook.planning.search.choose import choose
from notchbook.planning.search.dive import dive
from notchbook.planning.search.dual_feasible import least_cost
from notchbook.planning.search.group import Group
from notchbook.planning.search.in_turn import fill_in_turn
from notchbook.planning.search.integer import Effort
from notchbook.planning.search.last_boards import LastBoards
from notchbook.planning.search.partial_plan import PartialPlan
from notchbook.planning.search.rebuild import Rebuilding
from notchbook.planning.search.relaxation import Relaxation, Relaxed
from notchbook.planning.search.sheet import SheetSupply
from notchbook.planning.search.wood import Wood

_FEW = 9  # boards that are recombined as a whole
_FEWEST, _TIGHT = 6, 0.03  # boards whose blanks are chosen whole, and what they may waste at most
_FIRST_PLANS, _A_PLAN = 6, 10  # filled in turn before the relaxation, or one for so many kinds
_AT_FIRST = 0.2  # share of its steps that they may take
_IN_TURN = (0.0375, 0.0875)  # of all patience for more of them, before the dive and after it
_SUMS = 3  # sums that are asked for one by one
_LISTED = 1_500  # sets of pieces of a sheet that are all offered to the choice
_NODES = 2_000
_PATIENCE, _A_KIND = 800_000, 100_000  # steps in vain, and more for every kind of piece
FAR = 0.04  # share of the cost that may be saved where a search goes on
_REBUILT = 3_000_000  # steps in vain before no more boards are put together anew
_CHOICE = 10  # so small a part of all steps for a choice among more patterns
_LONG = 1_000_000  # steps of a search from which on that is worth its while
_GLANCE = 8  # so small a part of them for boards that are put together anew at once

Cuts = tuple[Cut, ...]


class Search:
    """The cheapest boards for one demand, where `hand` are there; `found` is the best so far."""

    def __init__(
        self,
        group: Group,
        demand: Sequence[int],
        hand: Sequence[int],
        relaxation: Relaxation | None = None,
    ) -> None:
        self.group, self.grid, self.budget = group, group.grid, group.budget
        self.demand = group.own(demand)
        self.hand = [n if b in group.boards else 0 for b, n in enumerate(hand)]
        self.found = group.first_fit.best(self.demand, self.hand)
        self._least_boards = group.bound.boards(self.demand)
        self._raise_bound(least_cost(self.grid, group.members, self.demand, self.hand))
        self._steps: Iterator[None] = self._improvements()
        self._known, self._tried, self._in_vain = relaxation, False, 0
        self._relaxed = Relaxed(tuple(_by_volume(self.grid)), (), converged=False)

    @property
    def gap(self) -> int:
        """Money that may still be saved; 0 where nothing can be better."""
        there = any(self.hand[b] or self.grid.boards[b].buyable for b in self.group.boards)
        if not any(self.demand) or not there:
            return 0
        if self.found.cannot_be_beaten(self._least_boards):
            return 0
        if self._tried and self.found.cost == self.found.bound:
            return 0
        return max(self.found.cost - self.found.bound, 1)

    def relax(self, steps: int) -> None:
        """Solve the relaxation, with so many steps, and prove what it says.

        Where boards are ripped, some are filled in turn before, for a first plan.
        """
        if self._last:
            plans = max(_FIRST_PLANS, self._kinds // _A_PLAN)
            for cuts in islice(self._within(_AT_FIRST * steps, self._in_turn()), plans):
                self._offer(cuts)
        self._relaxed = self.relaxation.root(self.demand, self.hand, steps)
        self._raise_bound(self.proved(self._relaxed.values))
        if self.found.cost > self.found.bound:
            sure, between = self._sure(self._relaxed.values), (self.found.bound, self.found.cost)
            self._raise_bound(raise_bound(self.relaxation, sure, self.demand, self.hand, between))

    def _sure(self, values: Sequence[float]) -> list[float]:
        """The values of pieces that are surely made, for want of stock or not."""
        scarce = self.group.scarce if self.found.short else ()
        return [0.0 if i in scarce else value for i, value in enumerate(values)]

    def proved(self, values: Sequence[float]) -> Fraction:
        """The least that the demand costs, by these values.

        Pieces that stay short for want of stock cost nothing; where all can be made, every plan
        that makes them all takes up the boards that cannot be bought, too.
        """
        return self.relaxation.bound(self._sure(values), self.demand, self.hand)

    def least(self, demand: Sequence[int], hand: Sequence[int]) -> int:
        """A lower bound for another demand, by the values of this one."""
        scarce = self.group.scarce
        sure = [0.0 if i in scarce else value for i, value in enumerate(self._relaxed.values)]
        proved = self.relaxation.bound(sure, demand, hand)
        return max(
            self.group.bound.cost(demand, hand), payable(self.grid, self.group.boards, proved)
        )

    @cached_property
    def relaxation(self) -> Relaxation:
        """The patterns that came up, partial with those that were known."""
        return self._known or Relaxation(self.grid, self.group.supplies, self.budget)

    def _raise_bound(self, least: Fraction) -> None:
        bound = max(self.found.bound, payable(self.grid, self.group.boards, least))
        self.found = replace(self.found, bound=bound)

    @property
    def may_go_on(self) -> bool:
        """Whether more of the same may find more: boards that are ripped, and nothing proved."""
        return self._last is not None and self.found.cost > self.found.bound

    def improve(self) -> bool:
        """Try one thing more; False where nothing is left to try, or nothing came for long."""
        if not self.gap or self._in_vain > self.patience:
            return False
        before, rank = self.budget.spent, self.found.rank[:2]
        goes_on = next(self._steps, True) is None
        self._in_vain += self.budget.spent - before
        if self.found.rank[:2] < rank:
            self._in_vain = 0
        return goes_on

    @property
    def patience(self) -> int:
        """Steps in which nothing cheaper is found before a search of ripped boards ends.

        The more kinds of pieces there are, the more there is to be tried; where much may still be
        saved, as where one board of a few is, a search has all its steps.
        """
        is_far = self.found.cost - self.found.bound > FAR * self.found.cost
        if is_far or not self._last:
            return self.budget.steps
        return _PATIENCE + _A_KIND * self._kinds

    @property
    def _kinds(self) -> int:
        """Kinds of pieces that are asked for."""
        return sum(map(bool, self.demand))

    def _improvements(self) -> Iterator[None]:
        for cuts in self._plans():
            self._tried = True
            self._offer(cuts)
            yield

    def _offer(self, cuts: Cuts | None) -> None:
        if cuts is None:
            return
        bound = self.found.bound
        found = sum_up(self.grid, cuts, self.demand, self.group.members, bound)
        if found.rank < self.found.rank:
            self.found = found

    def _plans(self) -> Iterator[Cuts | None]:
        """Plans that may be better, the most promising first; None where something came to none."""
        if self._last:
            in_turn, (first, more) = self._in_turn(), _IN_TURN
            yield from self._within(first * self.patience, in_turn)
            yield from self._within(0.2 * self.budget.left, self._dive(self.found.bound))
            yield from self._within(more * self.patience, in_turn)
            for pattern in self._beside.pool.values():
                self.relaxation.add(pattern)
            yield from self._rebuilt(_GLANCE)
            if self.budget.steps >= _LONG:
                yield self._chosen_of_more(self.budget.steps // _CHOICE)
            yield from self._within(0.7 * self.budget.left, self._last_boards(self._last))
            yield from self._rebuilt()
        else:
            exact = all(supply.exact for supply in self.group.supplies)
            yield from self._within((0.8 if exact else 0.2) * self.budget.left, self._goals())
            yield from self._rebuilt()

    def _within(self, steps: float, plans: Iterator[Cuts | None]) -> Iterator[Cuts | None]:
        """The plans, until so many steps are spent."""
        until = self.budget.spent + steps
        for cuts in plans:
            yield cuts
            if self.budget.spent > until:
                return

    @cached_property
    def _beside(self) -> Relaxation:
        """What boards filled in turn are kept in until a dive is done.

        Known before, patterns so full leave the relaxation values of less use for tight boards,
        and the dive goes the way that was gone already.
        """
        return self.relaxation.copy()

    def _in_turn(self) -> Iterator[Cuts]:
        return fill_in_turn(self._beside, self.demand, self.hand, self._relaxed.values)

    def _dive(self, goal: int) -> Iterator[Cuts | None]:
        return dive(self.relaxation, self.group.first_fit, self.demand, self.hand, goal)

    def _goals(self) -> Iterator[Cuts | None]:
        """Dive for every sum that could be paid; choose among the patterns that came up."""
        sheets = [(n, s) for n, s in enumerate(self.group.supplies) if isinstance(s, SheetSupply)]
        for number, sheet in sheets:
            for cut in sheet.listed() if len(sheet.nodes) <= _LISTED else ():
                self.relaxation.add(Pattern(number, sheet.boards[0], cut))
        goal = self.found.bound
        if sheets or goal == self.found.cost:
            yield self._chosen()
        while goal < self.found.cost:
            yield from self._dive(goal)
            yield self._chosen()
            goal = payable(self.grid, self.group.boards, Fraction(goal + 1))

    def _chosen(self) -> Cuts | None:
        effort = Effort(self.budget.left // 4, _NODES)
        return choose(self.relaxation, self.demand, self.hand, self.group.scarce, effort)

    def _chosen_of_more(self, steps: int) -> Cuts | None:
        """Choose among the patterns known and those that shaken values make, for so many steps."""
        rng, until = Random(1), self.budget.spent + steps
        while self.budget.left and self.budget.spent < until - steps // 2:
            least = rng.uniform(0.6, 1.0)
            values = [v * rng.uniform(least, 1 / least) for v in self._relaxed.values]
            for number, supply in enumerate(self.group.supplies):
                prices = supply.prices(values, self.demand)
                for board in supply.boards:
                    cuts = (supply.cut(board, values, self.demand), *supply.relaxed(prices, board))
                    for cut in cuts:
                        self.relaxation.add(Pattern(number, board, cut))
        effort = Effort(max(until - self.budget.spent, 0), _NODES)
        return choose(self.relaxation, self.demand, self.hand, self.group.scarce, effort)

    def _last_boards(self, last: LastBoards) -> Iterator[Cuts | None]:
        """Settle boards until few are left, and recombine those."""
        partial, relaxed = PartialPlan.of(self.relaxation, self.demand, self.hand), self._relaxed
        while relaxed.boards > _FEW:
            settled = len(partial.cuts)
            partial.settle_whole(relaxed)
            if len(partial.cuts) == settled:
                use = max(relaxed.uses, key=lambda use: use.amount)
                partial.settle(use.pattern, 1, from_hand=use.from_hand)
            if len(partial.cuts) == settled:
                break
            relaxed = self.relaxation.root(partial.need, partial.hand, self.budget.left // 10)
            yield None
        if not any(partial.need):
            yield partial.cuts
            return
        goal, most = self.found.bound - partial.spent, self.found.cost - partial.spent - 1
        if self._is_tight(relaxed, goal):
            whole = last.whole(partial.need, partial.hand, relaxed.values, goal)
            for cuts in self._within(0.35 * self.budget.left, whole):
                yield cuts if cuts is None else partial.cuts + cuts
        for cuts in last.attempts(
            partial.need, partial.hand, relaxed.values, goal, self._sums(goal, most)
        ):
            yield cuts if cuts is None else partial.cuts + cuts

    def _is_tight(self, relaxed: Relaxed, goal: int) -> bool:
        """Whether few boards for so much money would leave next to nothing over."""
        boards = self.grid.boards
        cost = sum(u.amount * boards[u.pattern.board].price for u in relaxed.uses)
        return relaxed.boards <= _FEWEST and cost >= (1 - _TIGHT) * goal

    def _sums(self, goal: int, most: int) -> list[int]:
        """What whole boards may cost from the goal on; the greatest last, where they are many."""
        found = [goal]
        while len(found) < _SUMS and found[-1] < most:
            found.append(payable(self.grid, self.group.boards, Fraction(found[-1] + 1)))
        return sorted({min(each, most) for each in [*found, most]})

    def _rebuilt(self, part: int = 1) -> Iterator[Cuts | None]:
        """Put boards together anew, with a part of the patience that there is."""
        values = self._relaxed.values
        rebuilding = Rebuilding(
            self.group, self.relaxation, self._last, values, self.hand, self.found.cuts
        )
        yield from rebuilding.plans(min(self.patience, _REBUILT) // part)

    @cached_property
    def _last(self) -> LastBoards | None:
        """Where all boards are lumber and some are ripped."""
        woods = [supply for supply in self.group.supplies if isinstance(supply, Wood)]
        if len(woods) < len(self.group.supplies) or not any(wood.kinds for wood in woods):
            return None
        return LastBoards(self.relaxation, woods, self.group.scarce)

    def rebuild_more(self, steps: int, luck: int) -> None:
        """Put boards together anew for so many steps more; by `luck` it goes another way.

        Where next to nothing may be wasted, whole blanks are chosen first, for as many steps. A
        plan is only taken where it leaves less short or costs less.
        """
        if self._last and self._is_tight(self._relaxed, self.found.bound):
            self.budget.start(steps)
            for cuts in self._of_whole_blanks(self._last, Random(luck)):
                if cuts is not None:
                    self._offer_cheaper(cuts)
                if self.found.cost <= self.found.bound:
                    return
        self.budget.start(steps)
        again = Rebuilding(
            *(self.group, self.relaxation, self._last, self._relaxed.values, self.hand),
            self.found.cuts,
            luck=luck,
        )
        for cuts in again.plans(min(steps, self.patience)):
            if cuts is not None:
                self._offer_cheaper(cuts)
            if self.found.cost <= self.found.bound:
                return

    def _of_whole_blanks(self, last: LastBoards, rng: Random) -> Iterator[Cuts | None]:
        """Choose whole blanks for all but one board, then with more patience for all of them."""
        yield from self._within(0.4 * self.budget.left, self._one_settled(last, rng))
        values, goal = self._relaxed.values, self.found.bound
        yield from last.whole(self.demand, self.hand, values, goal, patient=True)

    def _one_settled(self, last: LastBoards, rng: Random) -> Iterator[Cuts | None]:
        """Settle one board that wastes little, and choose whole blanks for the others."""
        goal, seen = self.found.bound, set[tuple[int, ...]]()
        while True:
            least = rng.uniform(0.6, 1.0)
            shaken = [value * rng.uniform(least, 1 / least) for value in self._relaxed.values]
            partial = PartialPlan.of(self.relaxation, self.demand, self.hand)
            pattern = partial.find_fullest(shaken, goal)
            yield None
            if pattern is None or pattern.counts in seen:
                continue
            seen.add(pattern.counts)
            partial.settle(pattern, 1, from_hand=partial.hand[pattern.board] > 0)
            need, hand, rest = partial.need, partial.hand, goal - partial.spent
            relaxed = self.relaxation.root(need, hand, self.budget.steps // 10)
            if self.relaxation.bound(self._sure(relaxed.values), need, hand) > rest:
                continue
            for cuts in last.whole(need, hand, relaxed.values, rest):
                yield cuts if cuts is None else partial.cuts + cuts

    def _offer_cheaper(self, cuts: Cuts) -> None:
        found = sum_up(self.grid, cuts, self.demand, self.group.members, self.found.bound)
        if found.rank[:2] < self.found.rank[:2]:
            self.found = found

    def equals(self) -> Iterator[Outcome]:
        """Other outcomes that are as good as the one found; some are easier to cut."""
        found = self.found
        for other in self.group.first_fit.all(self.demand, self.hand):
            if other.rank == found.rank:
                yield replace(other, bound=found.bound)
        if found.short or found.boards > _FEW or not self._last:
            return
        if cuts := self._last.neat(self.demand, self._relaxed.values, found.cuts):
            other = sum_up(self.grid, cuts, self.demand, self.group.members, found.bound)
            if other.rank == found.rank:
                yield other


def _by_volume(grid: LengthGrid) -> list[float]:
    largest = max((board.volume for board in grid.boards), default=1)
    return [part.volume / largest for part in grid.parts]


def share(searches: Sequence[Search], budget: Budget, below: int | None = None) -> None:
    """Search all demands, the one first where most money may still be saved.

    Before that each is relaxed, with no more than its part of half of the budget. Nothing is
    searched on once it is proved that all together cost no less than `below`.
    """
    still = [search for search in searches if search.gap]
    for n, search in enumerate(still):
        left = max(budget.left - budget.steps // 2, 0)
        search.relax(left // (len(still) - n))
    while still and budget.left:
        if below is not None and sum(search.found.bound for search in searches) >= below:
            return
        search = max(still, key=lambda search: search.gap)
        if not search.improve():
            still.remove(search)
