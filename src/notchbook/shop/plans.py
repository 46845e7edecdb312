"""All plans of a shop: those that were kept where nothing changed, else planned side by side."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from notchbook.base.side_by_side import Call, SideBySide
from notchbook.planning import YieldRow, make_plan
from notchbook.planning.from_boards import Number, count_from_one
from notchbook.planning.from_stock import has_a_choice, put_in_stock, take_from_stock
from notchbook.planning.model.leeway import Leeway, NearMiss
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Job
from notchbook.planning.near_misses import find_near_misses
from notchbook.planning.project import BatchPlan, plan_batch
from notchbook.planning.whole_shop import WholeShop, choose_together, join_jobs, search_together
from notchbook.shop.kept_plans import KeptPlans, ProjectPlans

LEAST_YIELD = 24
Watch = Callable[[list[str]], Iterable[str]]
"""Passes on what is planned, such as the names of the projects, each before it is."""
_IN_ONE = "all projects from one shopping list"


@dataclass(frozen=True)
class Plans:
    """What the planner found for each project's job, and for all of them together.

    `from_one` tells by project and stock how many units come out of one board, `near` by project
    what a little less wood in a part would save. `at_saw` holds the plans, and `saw_jobs` their
    jobs, of projects that take boards less where kept offcuts are used; costs go by `cuts`.
    """

    jobs: Mapping[str, Job]
    cuts: dict[str, Plan]
    yields: Mapping[str, Sequence[YieldRow]]
    together: WholeShop
    from_one: Mapping[str, Mapping[str, Number]]
    near: Mapping[str, tuple[NearMiss, ...]]
    at_saw: Mapping[str, Plan] = field(default_factory=dict)
    saw_jobs: Mapping[str, Job] = field(default_factory=dict)

    def take_from_stock(self, there: Mapping[str, float]) -> dict[str, Plan]:
        """Return each project's batch with what is there taken, offcuts too, all for it alone."""
        jobs = {**self.jobs, **self.saw_jobs}
        return {
            name: take_from_stock(plan, jobs[name], there)
            for name, plan in {**self.cuts, **self.at_saw}.items()
        }

    def count_offcuts(self, project: str) -> dict[str, int]:
        """Count the offcuts that a project's batch is cut from, by the names they have in plans."""
        if project not in self.at_saw:
            return {}
        bought = {board.stock for board in self.jobs[project].boards}
        taken = self.at_saw[project].count_from_stock().items()
        return {stock: count for stock, count in taken if stock not in bought}

    def most_units(self, project: str) -> int:
        """How many units the largest planned row of Yield is for."""
        return len(self.yields[project])


def plan_shop(
    work: Mapping[str, Job],
    sizes: Mapping[str, int],
    leeways: Mapping[str, Leeway],
    kept: KeptPlans,
    watch: Watch = iter,
) -> Plans:
    """Plan each project at its batch size, the rows of Yield, and all projects in one.

    What the clock cut off is not kept, so that the next compile tries it again.
    """
    found = {name: _kept(kept, job, sizes[name], name) for name, job in work.items()}
    missing = [name for name, its in found.items() if its is None]
    with SideBySide() as shared:
        asked = {name: (work[name], sizes[name], highest_units(sizes[name])) for name in missing}
        # what may take longest first, so that it is not made alone at the end
        ordered = sorted(missing, key=lambda name: -len(work[name].parts))
        batches = {name: shared.call(plan_batch, *asked[name], name) for name in ordered[:1]}
        together = _find_together(shared, work, sizes, kept)
        batches |= {name: shared.call(plan_batch, *asked[name], name) for name in ordered[1:]}
        from_one = {name: shared.call(count_from_one, work[name]) for name in missing}
        turns = iter(watch([*ordered, _IN_ONE, *(f"{name}, near misses" for name in missing)]))
        planned: dict[str, BatchPlan] = {}
        near: dict[str, Call[tuple[NearMiss, ...]]] = {}
        for name, _ in zip(ordered, turns, strict=False):
            plan = (batch := batches[name].result()).plan
            planned[name] = batch
            near[name] = shared.call(find_near_misses, work[name], plan, leeways[name])
        cuts = {name: its.batch if its else planned[name].plan for name, its in found.items()}
        next(turns, None)
        whole = _plan_together(together, work, sizes, cuts, kept)
        for name, _ in zip(missing, turns, strict=False):
            batch = planned[name]
            its = ProjectPlans(batch.plan, batch.rows, from_one[name].result(), near[name].result())
            if not batch.out_of_time:
                kept.keep_project(*asked[name], name, its)
            found[name] = its
    plans = {
        name: _completed(its, kept, work[name], sizes[name], name, leeways[name])
        for name, its in found.items()
        if its is not None
    }
    return Plans(
        work,
        cuts,
        {name: its.rows for name, its in plans.items()},
        whole,
        {name: its.from_one or {} for name, its in plans.items()},
        {name: its.near or () for name, its in plans.items()},
    )


def _completed(
    its: ProjectPlans, kept: KeptPlans, job: Job, batch: int, name: str, leeway: Leeway
) -> ProjectPlans:
    """Count what comes out of one board, and find near misses, where kept plans lack them."""
    if its.from_one is not None and its.near is not None:
        return its
    from_one = count_from_one(job) if its.from_one is None else its.from_one
    near = find_near_misses(job, its.batch, leeway) if its.near is None else its.near
    its = replace(its, from_one=from_one, near=near)
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
    with SideBySide() as shared:
        found = _plan_batches(shared, work, sizes, units, kept, watch)
    return [found[name] for name in work]


def find_all_near_misses(
    work: Mapping[str, Job],
    sizes: Mapping[str, int],
    leeways: Mapping[str, Leeway],
    plans: Mapping[str, Plan],
    kept: KeptPlans,
) -> dict[str, tuple[NearMiss, ...]]:
    """Find the near misses of plans by project; those of batches may have been kept."""
    with SideBySide() as shared:
        found: dict[str, Call[tuple[NearMiss, ...]] | tuple[NearMiss, ...]] = {}
        for name, plan in plans.items():
            its = _kept(kept, work[name], sizes[name], name) if plan.units == sizes[name] else None
            if its is None or its.near is None:
                found[name] = shared.call(find_near_misses, work[name], plan, leeways[name])
            else:
                found[name] = its.near
        return {name: its.result() if isinstance(its, Call) else its for name, its in found.items()}


def plan_batches_together(
    work: Mapping[str, Job], sizes: Mapping[str, int], kept: KeptPlans, watch: Watch = iter
) -> WholeShop:
    """Plan all projects in one, and each alone beside it."""
    with SideBySide() as shared:
        together = _find_together(shared, work, sizes, kept)
        alone = _plan_batches(shared, work, sizes, None, kept, watch)
        (whole,) = (_plan_together(together, work, sizes, alone, kept) for _ in watch([_IN_ONE]))
        return whole


def plan_batches_from_stock(
    work: Mapping[str, Job],
    sizes: Mapping[str, int],
    kept: KeptPlans,
    there: Mapping[str, float],
    watch: Watch = iter,
) -> tuple[dict[str, Job], WholeShop]:
    """Plan some projects in one, with what is there taken from stock; give the jobs planned, too.

    Where a part may be cut from several stocks, those that are there are preferred.
    """
    joined = join_jobs(work, sizes)
    if has_a_choice(joined, there):
        work = {name: put_in_stock(job, there) for name, job in work.items()}
        return dict(work), plan_batches_together(work, sizes, kept, watch)
    found = plan_batches_together(work, sizes, kept, watch)
    return dict(work), found.take_from_stock(joined, there)


def plan_all_together(
    work: Mapping[str, Job], sizes: Mapping[str, int], alone: Mapping[str, Plan], kept: KeptPlans
) -> WholeShop:
    """Plan all projects in one; `alone` holds the plan of each."""
    with SideBySide() as shared:
        found = _find_together(shared, work, sizes, kept)
        return _plan_together(found, work, sizes, alone, kept)


def _plan_batches(
    shared: SideBySide,
    work: Mapping[str, Job],
    sizes: Mapping[str, int],
    units: int | None,
    kept: KeptPlans,
    watch: Watch,
) -> dict[str, Plan]:
    found: dict[str, Plan] = {}
    for name, job in work.items():
        its = _kept(kept, job, sizes[name], name) if units in (None, sizes[name]) else None
        if its is not None:
            found[name] = its.batch
    missing = [name for name in work if name not in found]
    calls = {
        name: shared.call(make_plan, work[name], units or sizes[name], name) for name in missing
    }
    for name in watch(missing):
        found[name] = calls[name].result()
    return found


def _find_together(
    shared: SideBySide, work: Mapping[str, Job], sizes: Mapping[str, int], kept: KeptPlans
) -> WholeShop | Call[Plan]:
    """Find the plan of all projects where it was kept, else have it searched."""
    found = kept.find_together(work, sizes)
    return found or shared.call(search_together, dict(work), dict(sizes))


def _plan_together(
    found: WholeShop | Call[Plan],
    work: Mapping[str, Job],
    sizes: Mapping[str, int],
    alone: Mapping[str, Plan],
    kept: KeptPlans,
) -> WholeShop:
    if isinstance(found, WholeShop):
        return found
    whole = choose_together(work, sizes, alone, found.result())
    if not whole.plan.out_of_time:
        kept.keep_together(work, sizes, whole)
    return whole


def _kept(kept: KeptPlans, job: Job, batch: int, name: str) -> ProjectPlans | None:
    return kept.find_project(job, batch, highest_units(batch), name)


def highest_units(batch: int) -> int:
    """Return the units of the last row of Yield."""
    return max(LEAST_YIELD, 2 * batch)
