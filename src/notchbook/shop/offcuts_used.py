"""Batches planned once more with the offcuts that were kept, for the saw and the shopping list.

What a piece costs is planned as if no offcut were there: the run that cut a board bore it whole.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from notchbook.base.side_by_side import Call, SideBySide
from notchbook.planning import make_plan
from notchbook.planning.model.kept_offcuts import KeptOffcut, count_offcuts, put_offcuts
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Job
from notchbook.shop.kept_plans import KeptPlans
from notchbook.shop.plans import Plans, plan_all_together

Jobs = Mapping[str, Job]


def use_offcuts(
    plans: Plans, sizes: Mapping[str, int], offcuts: Sequence[KeptOffcut], kept: KeptPlans
) -> Plans:
    """Return the plans with the batches that offcuts save boards, each project for itself.

    The plan of all projects in one uses each offcut once.
    """
    jobs = with_offcuts(plans.jobs, offcuts)
    if not jobs:
        return plans
    found = plan_from_offcuts(jobs, sizes, plans.cuts, offcuts, kept)
    together = plan_all_together({**plans.jobs, **jobs}, sizes, {**plans.cuts, **found}, kept)
    saw_jobs = {name: jobs[name] for name in found}
    return replace(plans, at_saw=found, saw_jobs=saw_jobs, together=together)


def with_offcuts(work: Jobs, offcuts: Sequence[KeptOffcut]) -> dict[str, Job]:
    """Return the jobs of the projects that can be cut from any of the offcuts, with these."""
    put = {name: put_offcuts(job, offcuts) for name, job in work.items()}
    return {name: job for name, job in put.items() if job is not work[name]}


def plan_from_offcuts(
    jobs: Jobs,
    sizes: Mapping[str, int],
    without: Mapping[str, Plan],
    offcuts: Sequence[KeptOffcut],
    kept: KeptPlans,
) -> dict[str, Plan]:
    """Plan jobs that hold offcuts; return the plans that are better than those `without` any."""
    with SideBySide() as shared:
        found: dict[str, Plan | Call[Plan]] = {
            name: kept.find_cut(job, sizes[name], name)
            or shared.call(make_plan, job, sizes[name], name)
            for name, job in jobs.items()
        }
        plans = {n: its if isinstance(its, Plan) else its.result() for n, its in found.items()}
    for name, plan in plans.items():
        kept.keep_cut(jobs[name], sizes[name], name, plan)
    return {
        name: plan
        for name, plan in plans.items()
        if _spends(plan, offcuts) < _spends(without[name], offcuts)
    }


def _spends(plan: Plan, offcuts: Sequence[KeptOffcut]) -> tuple[object, ...]:
    """What a plan lacks, what must be bought, and how many boards are cut into."""
    boards = plan.boards_cut - sum(count_offcuts(plan, offcuts).values())
    return sum(short.count for short in plan.short), plan.cost, boards
