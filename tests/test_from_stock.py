"""Boards that are there taken for plans that were made without them, against plans made with."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from notchbook.planning import Board, Job, Part, Saw, make_plan
from notchbook.planning.from_stock import has_a_choice, put_in_stock, take_from_stock

SAW = Saw(*map(Fraction, ("1/8", "1/8", "1/4", "12", "3")))


def a_board(stock: str, length: int, price: str, buyable: bool = True, there: int = 0) -> Board:
    size = (Fraction(1), Fraction(4), Fraction(length))
    return Board(stock, "lumber", *size, Fraction(price), there, buyable, False)


def a_job(random: Random, boards: tuple[Board, ...]) -> Job:
    stocks = tuple(board.stock for board in boards)
    lengths, size = random.sample(range(14, 46), 3), (Fraction(1), Fraction(4))
    parts = tuple(
        Part(f"p{n}", "x", random.randint(1, 3), *size, Fraction(each), stocks, False)
        for n, each in enumerate(lengths)
    )
    return Job(parts, boards, SAW, Fraction(12))


@pytest.mark.seeds(quick=3, deep=20)
def test_one_stock_to_buy(seed: int) -> None:
    """As cheap, and as well proved, as the plan that knew of the boards; old boards beside them."""
    random = Random(seed)
    boards = a_board("new", 96, "5.20"), a_board("old", 60, "0", buyable=False, there=2)
    job, there = a_job(random, boards), {"new": random.randint(0, 6), "old": 2.0}
    plan = take_from_stock(make_plan(job, 2, "x"), job, there)
    known = make_plan(put_in_stock(job, there), 2, "x")

    assert not has_a_choice(job, there)
    assert (plan.cost, plan.cost_bound, plan.status) == (known.cost, known.cost_bound, known.status)
    assert plan.count_from_stock()["new"] == min(plan.count_boards("new"), there["new"])


@pytest.mark.seeds(quick=3, deep=20)
def test_stocks_to_choose_from(seed: int) -> None:
    """Where two can be bought it may be dearer; the bound stays one for all plans."""
    random = Random(seed)
    job = a_job(random, (a_board("short", 72, "4.40"), a_board("long", 96, "5.20")))
    there = {"short": random.randint(1, 3), "long": 0}
    plan = take_from_stock(make_plan(job, 2, "x"), job, there)
    known = make_plan(put_in_stock(job, there), 2, "x")

    assert has_a_choice(job, there)
    assert plan.cost_bound <= known.cost <= plan.cost
    assert (plan.status == "optimal") is (plan.cost == plan.cost_bound)
    assert not has_a_choice(job, {"short": 0.0})
