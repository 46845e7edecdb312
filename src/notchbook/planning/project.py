"""What a project's batch takes, and batches of 1, 2, 3 ... units, from one search."""

from __future__ import annotations

from dataclasses import dataclass

from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Job
from notchbook.planning.planner import Planner
from notchbook.planning.yields import YieldRow


@dataclass(frozen=True, slots=True)
class BatchPlan:
    """The plan of a batch and the rows of Yield; `out_of_time` where the clock ended any search."""

    plan: Plan
    rows: tuple[YieldRow, ...]
    out_of_time: bool


def plan_batch(job: Job, units: int, highest: int, name: str) -> BatchPlan:
    """Plan a batch, and rows up to `highest` units. Raises ValueError as `Planner` does."""
    planner = Planner(job)
    plan = planner.plan(units, name)
    rows = tuple(planner.plan_yields(highest, units))
    return BatchPlan(plan, rows, planner.out_of_time)
