"""A planner holds what it has found about a job, so that a batch is planned once."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import ceil

from notchbook.planning.model.budget import PLAN, Budget
from notchbook.planning.model.grid import put_on_grid
from notchbook.planning.model.outcome import Outcome
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Job, refuse_misfits, sort_job
from notchbook.planning.saw.effort import measure_saw_work
from notchbook.planning.saw.offcuts import add_offcuts, list_offcuts
from notchbook.planning.search.assemble import assemble
from notchbook.planning.search.group import groups
from notchbook.planning.search.search import FAR, Search, share
from notchbook.planning.yields import Rows, YieldRow, name_rows

_NEAT = 60  # boards up to which settings are counted
_PARTS = 3  # so often
_BRIEF = 4  # so small a part of the steps for the batch without what is on hand
_EASE = 500_000  # steps for the search for fewer settings


class Planner:
    """Plans for one job; raises ValueError for a part that fits none of its boards.

    Parts and boards are searched in an order of their own, so that the order of lines in a file
    changes neither plan nor bound. A search may take so many `steps`, else those of a plan.
    """

    def __init__(self, job: Job, steps: int | None = None) -> None:
        refuse_misfits(job)
        self.steps, self._brief = PLAN if steps is None else steps, steps is not None
        self.job, self._sorted = job, sort_job(job)
        self.grid = put_on_grid(self._sorted)
        self.budget = Budget()
        self.groups = groups(self.grid, self.budget)
        self._searched: dict[tuple[int, tuple[int, ...]], tuple[list[Search], bool]] = {}

    @property
    def out_of_time(self) -> bool:
        """Whether the clock ended any search so far."""
        return self.budget.ever_out_of_time

    def plan(self, units: int, project: str | None) -> Plan:
        """Plan the cuts for `units` of the job's parts; boards on hand come before bought ones.

        `project` is the plan's name, None where the job holds several projects. Pieces for which
        a stock that cannot be bought does not suffice are listed as short. Raises ValueError for
        negative units.
        """
        if units < 0:
            raise ValueError("units cannot be negative")
        searches, late = self._searches(units, [board.on_hand for board in self.grid.boards])
        self.budget.start(_EASE)
        outcomes = [self._neatest(search) for search in searches]
        plan = assemble(self._sorted, self.grid, outcomes, units, project, out_of_time=late)
        return add_offcuts(plan.in_order_of(self.job), self.job)

    def find_cost(self, units: int, below: Fraction | None = None) -> tuple[Fraction, Fraction]:
        """Find what the plan for `units` costs, and a bound on it, without laying the cuts out.

        Where only a cost `below` a sum is of use, the search ends when there is surely none.
        """
        there = [board.on_hand for board in self.grid.boards]
        searches, _ = self._searches(units, there, below=below)
        found = [search.found for search in searches]
        cost, bound = sum(each.cost for each in found), sum(each.bound for each in found)
        return Fraction(cost, self.grid.money), Fraction(bound, self.grid.money)

    def _searches(
        self,
        units: int,
        hand: Sequence[int],
        steps: int | None = None,
        below: Fraction | None = None,
    ) -> tuple[list[Search], bool]:
        """One search for each group, which share a budget, and whether the clock ended any.

        Those that came to nothing `below` a sum are not kept: they may have ended early.
        """
        key = (units, tuple(hand))
        if key not in self._searched:
            self.budget.start(self.steps if steps is None else steps)
            demand = [units * part.make for part in self._sorted.parts]
            searches = [Search(group, demand, hand) for group in self.groups]
            least = None if below is None else ceil(below * self.grid.money)
            share(searches, self.budget, least)
            if least is not None and sum(search.found.cost for search in searches) >= least:
                return searches, self.budget.out_of_time
            late = self.budget.out_of_time
            if not late and not self._brief and steps in (None, self.steps):
                late = self._go_on(searches)
            self._searched[key] = searches, late
        return self._searched[key]

    def _go_on(self, searches: Sequence[Search]) -> bool:
        """Search on where much may still be saved; tell whether the clock ended any of it.

        Where more than `FAR` of the cost may be saved, boards are put together anew, again as
        long as that saves anything.
        """
        late = False
        for luck in range(2, 2 + _PARTS):
            before = [search.found.cost for search in searches]
            still = self._list_far(searches)
            for search in still if not late else ():
                search.rebuild_more(self.steps // len(still), luck)
                late = late or self.budget.out_of_time
            if late or before == [search.found.cost for search in searches]:
                break
        return late

    @staticmethod
    def _list_far(searches: Sequence[Search]) -> list[Search]:
        """List the searches that may go on, where much of all may still be saved."""
        cost = sum(search.found.cost for search in searches)
        gap = sum(search.found.cost - search.found.bound for search in searches)
        return [search for search in searches if search.may_go_on] if gap > FAR * cost else []

    def _neatest(self, search: Search) -> Outcome:
        """Of outcomes equally good, the quickest at the saw, then that with the longest offcut."""
        if search.found.boards > _NEAT:
            return search.found
        return min((search.found, *search.equals()), key=self._trouble)

    def _trouble(self, found: Outcome) -> tuple[Fraction, Fraction]:
        plan = assemble(self._sorted, self.grid, [found], 1, None, out_of_time=False)
        left = list_offcuts(plan, self.job)
        longest = max((offcut.length for offcut in left), default=Fraction(0))
        return measure_saw_work(plan, self.job.saw).minutes, -longest

    def plan_yields(self, highest: int, batch: int | None = None) -> list[YieldRow]:
        """The rows for 1 to `highest` units; the row of the batch is searched as its plan is."""
        asked = highest if batch is None else batch
        there = [board.on_hand for board in self.grid.boards]
        hand = [0 if board.buyable else board.on_hand for board in self.grid.boards]
        steps = self.steps if hand == there else self.steps // _BRIEF
        searches, _ = self._searches(asked, hand, steps)
        rows = [Rows(self._sorted, self.grid, search, asked).upto(highest) for search in searches]
        return name_rows(self.job, self._sorted, self.grid, rows) if rows else []
