"""Boards that are there already: taken for a plan that was made as if all of them were bought."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import TypeVar

from notchbook.planning.model.plan import CutBoard, CutPanel, Plan, Status
from notchbook.planning.model.problem import Job

Cut = TypeVar("Cut", CutBoard, CutPanel)


def put_in_stock(job: Job, there: Mapping[str, float]) -> Job:
    """The job with so many of its boards there, so that its plan prefers them."""
    boards = (
        replace(board, on_hand=max(int(there.get(board.stock, 0)), 0)) for board in job.boards
    )
    return replace(job, boards=tuple(boards))


def has_a_choice(job: Job, there: Mapping[str, float]) -> bool:
    """Tell whether boards that are there compete with others that can be bought.

    Then the cheapest plan is another one than where nothing is there. Where the parts that share
    boards have one stock to buy, the fewest of them are the cheapest either way.
    """
    return any(
        len(stocks) > 1 and any(there.get(stock, 0) >= 1 for stock in stocks)
        for stocks in _bought_together(job)
    )


def take_from_stock(plan: Plan, job: Job, there: Mapping[str, float]) -> Plan:
    """Take the boards of a plan from stock as far as they are there; the others are bought.

    What no plan can undercut follows: where no stock has to be chosen, what it missed of a proof
    is missing here, too; else all that is there might have been saved.
    """
    price = {board.stock: board.price for board in job.boards if board.buyable}
    left = {stock: max(int(there.get(stock, 0)), 0) for stock in price}
    least_left = sum((price[stock] * count for stock, count in left.items()), Fraction(0))

    def taken(cut: Cut) -> Cut:
        if cut.stock not in left:
            return cut
        count = min(cut.count, left[cut.stock])
        left[cut.stock] -= count
        return replace(cut, on_hand=count)

    boards, panels = tuple(map(taken, plan.boards)), tuple(map(taken, plan.panels))
    found = replace(plan, boards=boards, panels=panels)
    bought = found.count_bought().items()
    cost = sum((price.get(stock, Fraction(0)) * count for stock, count in bought), Fraction(0))
    if has_a_choice(job, there):
        bound = plan.cost_bound - least_left
    else:
        bound = cost - (plan.cost - plan.cost_bound)
    bound = min(max(bound, Fraction(0)), cost)
    status: Status = "optimal" if bound == cost else "feasible"
    return replace(found, cost=cost, cost_bound=bound, status=status)


def _bought_together(job: Job) -> list[set[str]]:
    """The stocks that can be bought, by the parts that have boards in common."""
    groups: list[set[str]] = []
    for part in job.parts:
        joined = [group for group in groups if group.intersection(part.stocks)]
        groups = [group for group in groups if group not in joined]
        groups.append(set(part.stocks).union(*joined))
    buyable = {board.stock for board in job.boards if board.buyable}
    return [group & buyable for group in groups]
