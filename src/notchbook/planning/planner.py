"""A planner holds what it has found about a job, so that one pool of patterns serves every size."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from notchbook.planning.model.budget import Budget
from notchbook.planning.model.grid import put_on_grid
from notchbook.planning.model.outcome import Outcome
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Job, refuse_misfits
from notchbook.planning.saw.offcuts import add_offcuts, list_offcuts
from notchbook.planning.saw.setups import count_saw_settings
from notchbook.planning.search.assemble import assemble
from notchbook.planning.search.groups import Searcher, make_searchers
from notchbook.planning.yields import Rows, YieldRow, name_rows

_NEAT = 60  # boards up to which settings are counted


class Planner:
    """Plans for one job; raises ValueError for a part that fits none of its boards."""

    def __init__(self, job: Job) -> None:
        refuse_misfits(job)
        self.job, self.grid = job, put_on_grid(job)
        self.budget = Budget()
        self.groups = make_searchers(self.grid, self.budget)

    def plan(self, units: int, project: str | None) -> Plan:
        """Plan the cuts for `units` of the job's parts; boards on hand come before bought ones.

        `project` is the plan's name, None where the job holds several projects. Pieces for which
        a stock that cannot be bought does not suffice are listed as short. Raises ValueError for
        negative units.
        """
        if units < 0:
            raise ValueError("units cannot be negative")
        self.budget.start()
        demand = [units * part.make for part in self.job.parts]
        hand = [board.on_hand for board in self.job.boards]
        outcomes = [self._neatest(group, demand, hand) for group in self.groups]
        late = self.budget.out_of_time
        plan = assemble(self.job, self.grid, outcomes, units, project, out_of_time=late)
        return add_offcuts(plan, self.job)

    def _neatest(self, group: Searcher, demand: Sequence[int], hand: Sequence[int]) -> Outcome:
        """Of outcomes equally good, the one cut at the fewest settings, then the longest offcut."""
        found = group.best(demand, hand)
        if found.boards > _NEAT:
            return found
        return min((found, *group.equals(demand, hand, found)), key=self._trouble)

    def _trouble(self, found: Outcome) -> tuple[int, Fraction]:
        plan = assemble(self.job, self.grid, [found], 1, None, out_of_time=False)
        left = list_offcuts(plan, self.job.saw, self.job.usable_offcut)
        longest = max((offcut.length for offcut in left), default=Fraction(0))
        return count_saw_settings(plan, self.job.saw), -longest

    def plan_yields(self, highest: int, batch: int | None = None) -> list[YieldRow]:
        """Plan the rows for 1 to `highest` units; the batch's own is searched whatever its size."""
        self.budget.start()
        asked = [highest] if batch is None else [batch, highest]
        rows = [Rows(self.job, self.grid, group).upto(highest, asked) for group in self.groups]
        return name_rows(self.job, self.grid, rows) if rows else []
