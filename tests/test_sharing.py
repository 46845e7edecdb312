"""One plan, whatever was asked before it, and steps shared by what may still be saved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import cast

import pytest

from notchbook.planning import Planner, make_plan, planner
from notchbook.planning.model.budget import Budget
from notchbook.planning.search.search import Search, share

from .benchmarks.random_jobs import lumber_job
from .plain_shops import Shop, job_of, shop_of

FEW = 3_000  # steps, which end before anything is proved


@pytest.mark.parametrize(("kinds", "seed", "on_hand"), [(8, 2, 2), (8, 3, 0), (12, 0, 2)])
def test_rows_and_questions_leave_the_plan_as_it_is(
    monkeypatch: pytest.MonkeyPatch, kinds: int, seed: int, on_hand: int
) -> None:
    """Where steps end the search, nothing asked before is taken for the plan."""
    monkeypatch.setattr(planner, "PLAN", FEW)
    shop = lumber_job(kinds, seed)
    for board in shop["boards"]:
        board["on_hand"] = on_hand
    plan = make_plan(job_of(shop), 1, None)
    assert plan.status == "feasible"

    asked = Planner(job_of(shop))
    ended, _ = asked.find_cost(1, below=plan.cost_bound)
    asked.plan_yields(3, 1)
    asked.find_cost(2, below=plan.cost)

    assert ended > plan.cost  # it was not searched to its end
    assert asked.plan(1, None) == plan


# -- several groups of stock ----------------------------------------------------------------------

SOME = 30_000  # steps for each group
JOBS = ((10, 0), (8, 0), (10, 2), (8, 1))


def apart(kinds: int, seed: int) -> Shop:
    """A job whose parts and boards share nothing with those of another."""
    shop, name = lumber_job(kinds, seed), f"{kinds} {seed}"
    for each in shop["parts"]:
        each["part"] = f"{each['part']} {name}"
        each["from"] = [f"{stock} {name}" for stock in each["from"]]
    for each in shop["boards"]:
        each["stock"] = f"{each['stock']} {name}"
    return shop


def test_every_group_has_its_bound_before_any_is_searched() -> None:
    """Four together, with as many steps: the bounds they have alone, and no dearer."""
    alone = [Planner(job_of(apart(*job)), SOME).find_cost(1) for job in JOBS]
    shops = [apart(*job) for job in JOBS]
    joined = shop_of(
        [each for shop in shops for each in shop["parts"]],
        [each for shop in shops for each in shop["boards"]],
    )
    cost, bound = Planner(job_of(joined), SOME * len(JOBS)).find_cost(1)

    assert bound == sum(least for _, least in alone)
    assert bound < cost <= sum((each for each, _ in alone), Fraction(0))


class Watched:
    """A search whose gaps come one after another, and end; each step takes ten of the budget."""

    def __init__(self, budget: Budget, name: str, gaps: Sequence[int], order: list[str]) -> None:
        self.budget, self.name, self.order = budget, name, order
        self.gaps: Iterator[int] = iter(gaps)
        self.gap, self.relaxed = next(self.gaps), 0

    def relax(self, steps: int) -> None:
        """Take all it may."""
        self.relaxed = steps
        self.budget.spend(steps)

    def improve(self) -> bool:
        """Go on to the next gap."""
        self.order.append(self.name)
        self.budget.spend(10)
        self.gap = next(self.gaps, 0)
        return self.gap > 0


def test_steps_go_where_most_may_be_saved() -> None:
    """The greatest gap first, after each has had its part of half of the steps."""
    budget, order = Budget(), list[str]()
    budget.start(1_000)
    gaps = {"few": (3, 2), "many": (9, 4, 1), "none": (0,), "some": (5,)}
    watched = [Watched(budget, name, each, order) for name, each in gaps.items()]
    share(cast("list[Search]", watched), budget)

    assert order == ["many", "some", "many", "few", "few", "many"]
    assert [each.relaxed for each in watched] == [166, 167, 0, 167]
