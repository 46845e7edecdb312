"""One plan for all projects at their batch sizes, so that offcuts of one serve another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from notchbook.planning import make_plan
from notchbook.planning.from_stock import take_from_stock
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Board, Job
from notchbook.planning.saw.offcuts import add_offcuts

_STEPS = 4_000_000  # fewer than for a batch: the plans one after another are never worse


@dataclass(frozen=True, slots=True)
class WholeShop:
    """The plan of all projects, and what they come to planned one after another.

    One after another means that each project takes what the ones before have left in stock.
    """

    plan: Plan
    alone_cost: Fraction
    alone_boards: int

    @property
    def saved(self) -> Fraction:
        """Money that planning together saves."""
        return self.alone_cost - self.plan.cost

    @property
    def boards_saved(self) -> int:
        """Boards and sheets, bought or not, that planning together saves."""
        return self.alone_boards - self.plan.boards_cut

    def take_from_stock(self, joined: Job, there: Mapping[str, float]) -> WholeShop:
        """The same with the boards taken that are there; `joined` is the job of all projects.

        What planning together saves is claimed only as far as boards that stay there could not
        have saved it, too.
        """
        plan = take_from_stock(self.plan, joined, there)
        used = plan.count_from_stock()
        stay = sum(
            (
                board.price * max(int(there.get(board.stock, 0)) - used[board.stock], 0)
                for board in joined.boards
                if board.buyable
            ),
            Fraction(0),
        )
        saved = max(self.saved - stay, Fraction(0))
        return replace(self, plan=plan, alone_cost=plan.cost + saved)


def search_together(jobs: Mapping[str, Job], batches: Mapping[str, int]) -> Plan:
    """Search one plan for all projects. Raises ValueError for a part that fits no board."""
    found = make_plan(join_jobs(jobs, batches), 1, None, _STEPS)
    return replace(found, units=sum(batches[project] for project in jobs))


def choose_together(
    jobs: Mapping[str, Job], batches: Mapping[str, int], alone: Mapping[str, Plan], found: Plan
) -> WholeShop:
    """Choose the plan for all projects: the one `found` for all, or one project after another.

    Never dearer than one after another. `alone` are the plans of each with all the stock to itself.
    """
    turns = _plan_one_after_another(jobs, batches, alone)
    cost = sum((plan.cost for plan in turns), Fraction(0))
    boards = sum(plan.boards_cut for plan in turns)
    joined = _join_plans(turns, found)
    best = min(found, joined, key=lambda plan: (sum(s.count for s in plan.short), plan.cost))
    return WholeShop(add_offcuts(best, join_jobs(jobs, batches)), cost, boards)


def join_jobs(jobs: Mapping[str, Job], batches: Mapping[str, int]) -> Job:
    """Join all jobs: one unit is a batch of every project. Raises ValueError without any."""
    first = next(iter(jobs.values()))
    boards = {board.stock: board for job in jobs.values() for board in job.boards}
    parts = tuple(
        replace(part, make=part.make * batches[project])
        for project, job in jobs.items()
        for part in job.parts
    )
    return replace(first, parts=parts, boards=tuple(boards.values()))


def _plan_one_after_another(
    jobs: Mapping[str, Job], batches: Mapping[str, int], alone: Mapping[str, Plan]
) -> list[Plan]:
    """Plan each project, anew where too little is left of what it takes from stock."""
    left = {board.stock: board.on_hand for job in jobs.values() for board in job.boards}
    plans = []
    for project, job in jobs.items():
        plan = alone[project]
        taken = plan.count_from_stock()
        if any(count > left[stock] for stock, count in taken.items()):
            boards = tuple(_with(board, left[board.stock]) for board in job.boards)
            plan = make_plan(replace(job, boards=boards), batches[project], project)
            taken = plan.count_from_stock()
        for stock, count in taken.items():
            left[stock] -= count
        plans.append(plan)
    return plans


def _with(board: Board, on_hand: int) -> Board:
    return replace(board, on_hand=on_hand)


def _join_plans(plans: list[Plan], found: Plan) -> Plan:
    """Join plans into one, with the bound of the plan that was searched for all of them."""
    cost = sum((plan.cost for plan in plans), Fraction(0))
    return Plan(
        None,
        found.units,
        "optimal" if cost == found.cost_bound else "feasible",
        cost,
        min(cost, found.cost_bound),
        tuple(cut for plan in plans for cut in plan.boards),
        tuple(cut for plan in plans for cut in plan.panels),
        (),
        tuple(short for plan in plans for short in plan.short),
        out_of_time=found.out_of_time or any(plan.out_of_time for plan in plans),
    )
