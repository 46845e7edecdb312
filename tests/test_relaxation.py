"""The relaxation of tight boards comes to its end, and sums between bound and cost are few."""

from __future__ import annotations

from math import ceil

import pytest

from notchbook.planning import Planner
from notchbook.planning.search.search import Search

from .benchmarks.random_jobs import tight_job
from .plain_shops import Shop, board, job_of, part, shop_of


def searched(shop: Shop, steps: int) -> Search:
    """One unit's search, nothing on hand, with so many steps and nothing done yet."""
    planner = Planner(job_of(shop))
    planner.budget.start(steps)
    (group,) = planner.groups
    made = [each.make for each in planner._sorted.parts]
    return Search(group, made, [0] * len(planner.grid.boards))


@pytest.mark.parametrize(
    ("boards", "seed"),
    [(2, 1), (2, 2), pytest.param(3, 0, marks=pytest.mark.deep)],
)
def test_boards_cut_apart_to_the_millimetre_are_relaxed_to_the_end(boards: int, seed: int) -> None:
    """The bound is what was planted: the boards that the pieces were drawn from."""
    search = searched(tight_job(boards, seed), 1_000_000)
    relaxed = search.relaxation.root(search.demand, search.hand, 1_000_000)
    (price,) = {each.price for each in search.grid.boards}

    assert relaxed.converged
    assert ceil(search.proved(relaxed.values) / price) == boards
    assert search.budget.left > 0


@pytest.mark.parametrize(
    ("goal", "most", "asked"),
    [
        (830, 1240, [830, 960, 1090, 1240]),  # 2 short, one of each, 2 long; dearer ones in one
        (830, 955, [830, 955]),
        (830, 830, [830]),
        (960, 1085, [960, 1085]),
    ],
)
def test_one_question_for_each_sum_of_boards(goal: int, most: int, asked: list[int]) -> None:
    """Boards of 4.15 and 5.45: what lies between two sums of theirs buys nothing more."""
    size = ("3/2", "7/2")
    boards = [board("short", (*size, 96), "4.15"), board("long", (*size, 120), "5.45")]
    rail = part("rail", 3, ("3/2", "3/2", 50), "short", "long")
    search = searched(shop_of([rail], boards), 1)
    step = 100 // search.grid.money  # cents
    assert [each * step for each in search._sums(goal // step, most // step)] == asked
