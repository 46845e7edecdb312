"""All plans of a shop: taken from what was kept where nothing changed, else planned."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from notchbook.planning import Planner, YieldRow, make_plan
from notchbook.planning.from_boards import Number, count_from_one
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Job
from notchbook.planning.whole_shop import WholeShop, plan_together
from notchbook.shop.kept_plans import KeptPlans, ProjectPlans

LEAST_YIELD = 24
Watch = Callable[[list[str]], Iterable[str]]
"""Passes on the names of the projects, each before it is planned."""


@dataclass(frozen=True)
class Plans:
    """What the planner found for each project's job, and for all of them together.

    `from_one` tells by project and stock how many units come out of one board.
    """

    jobs: Mapping[str, Job]
    cuts: dict[str, Plan]
    yields: Mapping[str, Sequence[YieldRow]]
    together: WholeShop
    from_one: Mapping[str, Mapping[str, Number]]

    def most_units(self, project: str) -> int:
        """How many units the largest planned row of Yield is for."""
        return len(self.yields[project])


def plan_shop(
    work: Mapping[str, Job], sizes: Mapping[str, int], kept: KeptPlans, watch: Watch = iter
) -> Plans:
    """Plan each project at its batch size, the rows of Yield, and all projects in one.

    What the clock cut off is not kept, so that the next compile tries it again.
    """
    found = {name: _kept(kept, job, sizes[name], name) for name, job in work.items()}
    for name in watch([name for name, its in found.items() if its is None]):
        job, batch, highest = work[name], sizes[name], highest_units(sizes[name])
        planner = Planner(job)
        plan = planner.plan(batch, name)
        rows = tuple(planner.plan_yields(highest, batch))
        its = ProjectPlans(plan, rows, count_from_one(job))
        if not planner.out_of_time:
            kept.keep_project(job, batch, highest, name, its)
        found[name] = its
    plans = {
        name: _counted(its, kept, work[name], sizes[name], name)
        for name, its in found.items()
        if its is not None
    }
    cuts = {name: its.batch for name, its in plans.items()}
    rows_of = {name: its.rows for name, its in plans.items()}
    from_one = {name: its.from_one or {} for name, its in plans.items()}
    return Plans(work, cuts, rows_of, plan_all_together(work, sizes, cuts, kept), from_one)


def _counted(its: ProjectPlans, kept: KeptPlans, job: Job, batch: int, name: str) -> ProjectPlans:
    """Count what comes out of one board, where the plans were kept before that was counted."""
    if its.from_one is not None:
        return its
    its = replace(its, from_one=count_from_one(job))
    kept.keep_project(job, batch, highest_units(batch), name, its)
    return its


def plan_batches(
    work: Mapping[str, Job],
    sizes: Mapping[str, int],
    units: int | None,
    kept: KeptPlans,
    watch: Watch = iter,
) -> list[Plan]:
    """Plan each project alone, for its batch or for so many units."""
    found: dict[str, Plan] = {}
    for name, job in work.items():
        its = _kept(kept, job, sizes[name], name) if units in (None, sizes[name]) else None
        if its is not None:
            found[name] = its.batch
    for name in watch([name for name in work if name not in found]):
        found[name] = make_plan(work[name], units or sizes[name], name)
    return [found[name] for name in work]


def plan_all_together(
    work: Mapping[str, Job], sizes: Mapping[str, int], alone: Mapping[str, Plan], kept: KeptPlans
) -> WholeShop:
    """Plan all projects in one; `alone` holds the plan of each."""
    found = kept.find_together(work, sizes)
    if found is None:
        found = plan_together(work, sizes, alone)
        if not found.plan.out_of_time:
            kept.keep_together(work, sizes, found)
    return found


def _kept(kept: KeptPlans, job: Job, batch: int, name: str) -> ProjectPlans | None:
    return kept.find_project(job, batch, highest_units(batch), name)


def highest_units(batch: int) -> int:
    """Return the units of the last row of Yield."""
    return max(LEAST_YIELD, 2 * batch)
