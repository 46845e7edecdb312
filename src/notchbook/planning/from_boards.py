"""How many come out of so many boards: the most units whose parts fit them, and what proves it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Job, Part
from notchbook.planning.planner import Planner


@dataclass(frozen=True)
class Most:
    """The most units, or pieces of one part, found for a number of boards of one stock.

    No way of cutting gives more than `bound`; `plan` is the one that gives `units`, and `job` what
    was planned.
    """

    stock: str
    boards: int
    part: str | None
    job: Job
    plan: Plan
    bound: int

    @property
    def units(self) -> int:
        """How many come out."""
        return self.plan.units

    @property
    def status(self) -> str:
        """Whether no way of cutting gives more: `optimal`, else `feasible`."""
        return "optimal" if self.units == self.bound else "feasible"


def find_most(job: Job, stock: str, boards: int, project: str, part: str | None = None) -> Most:
    """Find the most units whose parts from a stock fit so many of its boards.

    Parts that may be cut from other stocks, too, are all cut from this one; parts that may not be
    are left out. With `part`, pieces of it alone are counted. Raises ValueError where no part is
    cut from the stock.
    """
    alone = _alone(job, stock, part)
    planner = Planner(alone)
    most = _by_volume(alone, boards)
    enough: dict[int, Plan] = {0: planner.plan(0, project)}

    def fits(units: int) -> bool:
        nonlocal most
        plan = planner.plan(units, project)
        if plan.cost_bound > boards:
            most = min(most, units - 1)
        if plan.cost <= boards:
            enough[units] = plan
        return units in enough

    found = _last(fits, most)
    price = next(board.price for board in job.boards if board.stock == stock)
    plan = enough[found]
    plan = replace(plan, cost=plan.cost * price, cost_bound=plan.cost_bound * price)
    return Most(stock, boards, part, alone, plan, most)


def _alone(job: Job, stock: str, part: str | None) -> Job:
    """The job of one stock, whose boards cost 1 each, so that the cost of a plan counts them."""
    parts = tuple(
        _only(each, stock, part)
        for each in job.parts
        if stock in each.stocks and part in (None, each.part)
    )
    if not parts:
        raise ValueError(f"no part is cut from {stock}")
    board = next(each for each in job.boards if each.stock == stock)
    counted = replace(board, price=Fraction(1), on_hand=0, buyable=True)
    return replace(job, parts=parts, boards=(counted,))


def _only(part: Part, stock: str, named: str | None) -> Part:
    return replace(part, stocks=(stock,), make=part.make if named is None else 1)


def _by_volume(job: Job, boards: int) -> int:
    """More units than the boards have wood for cannot come out of them."""
    (board,) = job.boards
    there = boards * board.thickness * board.width * board.length
    unit = sum(part.make * part.thickness * part.width * part.length for part in job.parts)
    return int(there / unit) if unit else 0


def _last(fits: Callable[[int], bool], highest: int) -> int:
    """The highest number that fits, where all below one that fits do, too; 0 always does."""
    low, step = 0, 1
    while low + step <= highest and fits(low + step):
        low, step = low + step, 2 * step
    high = min(low + step, highest + 1)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low
