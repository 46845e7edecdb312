"""Kept offcuts used before whole boards of reclaimed wood, which cost no more than they do.

Decisions:

- The search is for the least money, and ends where nothing is spent. So boards to be spared are
  planned as if they could be bought; where the plan takes no more of them than there are, it is the
  plan. Else they are too few, and pieces stay short: then all are there to be used.
"""

from __future__ import annotations

from dataclasses import replace

from notchbook.planning.from_stock import take_from_stock
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Job
from notchbook.planning.planner import Planner


def plan_sparingly(job: Job, units: int, project: str | None, steps: int | None) -> Plan:
    """Plan a job; of its boards that free offcuts may spare, as few are cut as can be found.

    Raises ValueError as `Planner` does.
    """
    if spared := job.list_spared():
        boards = tuple(
            replace(each, buyable=True, on_hand=0) if each.stock in spared else each
            for each in job.boards
        )
        wanted = replace(job, boards=boards)
        there = {each.stock: each.on_hand for each in job.boards}
        found = take_from_stock(Planner(wanted, steps).plan(units, project), wanted, there)
        if not spared.intersection(stock for stock, n in found.count_bought().items() if n):
            return found
    return Planner(job, steps).plan(units, project)
