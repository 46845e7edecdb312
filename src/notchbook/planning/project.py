"""All plans of one project, in calls that a process beside this one can make."""

from __future__ import annotations

from dataclasses import dataclass

from notchbook.planning.from_boards import Number, count_from_one
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Job
from notchbook.planning.planner import Planner
from notchbook.planning.yields import YieldRow


@dataclass(frozen=True, slots=True)
class BatchPlan:
    """The plan of a batch, with the rows of Yield where these come out of the same search."""

    plan: Plan
    rows: tuple[YieldRow, ...] | None
    out_of_time: bool


@dataclass(frozen=True, slots=True)
class BesideBatch:
    """What is asked of a project beside its batch; rows are None where they came with the plan."""

    rows: tuple[YieldRow, ...] | None
    from_one: dict[str, Number]
    out_of_time: bool


def plan_batch(job: Job, units: int, highest: int, name: str) -> BatchPlan:
    """Plan a batch. Raises ValueError as `Planner` does."""
    planner = Planner(job)
    plan = planner.plan(units, name)
    rows = None
    if planner.rows_come_with_the_plan:
        rows = tuple(planner.plan_yields(highest, units))
    return BatchPlan(plan, rows, planner.out_of_time)


def plan_beside_batch(job: Job, units: int, highest: int) -> BesideBatch:
    """Plan what `plan_batch` leaves: rows up to `highest` units, and what one board gives."""
    planner = Planner(job)
    rows = None
    if not planner.rows_come_with_the_plan:
        rows = tuple(planner.plan_yields(highest, units))
    return BesideBatch(rows, count_from_one(job), planner.out_of_time)
