"""How many come out of so many boards: the most units whose parts fit them, and what proves it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from notchbook.planning.model.budget import PLAN
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Board, Job, Part, find_reason
from notchbook.planning.planner import Planner

_SHORT = 300_000  # steps for each number that is tried where many stocks are asked about


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


@dataclass(frozen=True, slots=True)
class Number:
    """How many come out, and how many at most could."""

    units: int
    bound: int


def find_most(job: Job, stock: str, boards: int, project: str, part: str | None = None) -> Most:
    """Find the most units whose parts from a stock fit so many of its boards.

    Parts that may be cut from other stocks, too, are all cut from this one; parts that may not be
    are left out. With `part`, pieces of it alone are counted. Raises ValueError where no part comes
    out of the stock.
    """
    board = next((each for each in job.boards if each.stock == stock), None)
    parts = () if board is None else _parts_of(job, board, part)
    if board is None or not parts:
        raise ValueError(f"no part is cut from {stock}")
    alone = _alone(job, board, parts)
    planner = Planner(alone, PLAN)
    found = _count(planner, boards)
    plan = planner.plan(found.units, project)
    plan = replace(plan, cost=plan.cost * board.price, cost_bound=plan.cost_bound * board.price)
    return Most(stock, boards, part, alone, plan, found.bound)


def count_from_one(job: Job) -> dict[str, Number]:
    """Count, for each stock, the most units whose parts from it fit one board, in short searches.

    A stock that none of the parts comes out of is left out.
    """
    found = {}
    for board in job.boards:
        parts = _parts_of(job, board, None)
        if parts:
            found[board.stock] = _count(Planner(_alone(job, board, parts), _SHORT), 1)
    return found


def find_dearest(job: Job, plan: Plan, stocks: Iterable[str]) -> str | None:
    """Find the stock of some that a plan takes most money of; the first where all cost the same.

    Stock that the job does not know, as one of an earlier compile may not, is passed over.
    """
    prices = {board.stock: board.price for board in job.boards}
    known = (name for name in stocks if name in prices)
    return max(known, key=lambda name: plan.count_boards(name) * prices[name], default=None)


def _count(planner: Planner, boards: int) -> Number:
    """Count the most units of a job of one stock, whose boards cost 1 each."""
    most = _by_volume(planner.job, boards)

    def fits(units: int) -> bool:
        nonlocal most
        cost, bound = planner.find_cost(units)
        if bound > boards:
            most = min(most, units - 1)
        return cost <= boards

    found = _last(fits, most)
    return Number(found, most)


def _parts_of(job: Job, board: Board, named: str | None) -> tuple[Part, ...]:
    """The parts that may be cut from a board and come out of it, as if cut from it alone."""
    return tuple(
        replace(part, stocks=(board.stock,), make=part.make if named is None else 1)
        for part in job.parts
        if board.stock in part.stocks
        and named in (None, part.part)
        and find_reason(part, board, job.saw) is None
    )


def _alone(job: Job, board: Board, parts: tuple[Part, ...]) -> Job:
    """The job of one stock, whose boards cost 1 each, so that the cost of a plan counts them."""
    counted = replace(board, price=Fraction(1), on_hand=0, buyable=True)
    return replace(job, parts=parts, boards=(counted,))


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
