"""Boards filled in turn, at values that each plan corrects for the next."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

import pytest

from notchbook.planning import Planner
from notchbook.planning.model.outcome import Outcome, sum_up
from notchbook.planning.search.in_turn import fill_in_turn
from notchbook.planning.search.search import Search

from .benchmarks.random_jobs import lumber_job
from .plain_shops import Shop, board, job_of, part, shop_of


def outcomes(shop: Shop, units: int, values: list[float] | None = None) -> Iterator[Outcome]:
    """What plans filled in turn come to; all parts of the shop share all its boards."""
    planner = Planner(job_of(shop))
    planner.budget.start()
    (group,) = planner.groups
    demand = [each.make * units for each in planner._sorted.parts]
    hand = [each.on_hand for each in planner.grid.boards]
    search = Search(group, demand, hand)
    by_volume = [float(each.volume) for each in planner.grid.parts]
    for cuts in fill_in_turn(search.relaxation, demand, hand, values or by_volume):
        yield sum_up(planner.grid, cuts, demand, group.members, 0)


@pytest.mark.parametrize("units", [1, 7])
def test_every_plan_makes_all_pieces(units: int) -> None:
    """Whatever the batch."""
    assert [each.short for each in islice(outcomes(lumber_job(10, 0), units), 5)] == [{}] * 5


def test_pieces_worth_nothing_are_made_too() -> None:
    """As the relaxation values those that fit into what others leave."""
    shop = lumber_job(10, 0)
    values = [0.0] * 5 + [1.0] * 5
    assert [each.short for each in islice(outcomes(shop, 1, values), 3)] == [{}] * 3


def test_corrected_values_find_what_volumes_do_not() -> None:
    """Later plans of many kinds of pieces are cheaper than the first, which stands for none."""
    first, *later = islice(outcomes(lumber_job(40, 0), 1), 9)
    assert min(each.cost for each in later) < 0.98 * first.cost


def test_boards_on_hand_are_taken_first_and_no_more_than_there_are() -> None:
    """Of 16 pieces a board holds three side by side; with nothing to buy seven stay short."""
    parts = [part("rail", 8, ("3/4", 1, 40), "board"), part("stile", 8, ("3/4", 1, 30), "board")]
    size = ("3/4", "7/2", 48)
    sold = next(outcomes(shop_of(parts, [board("board", size, on_hand=3)]), 1))
    assert (sum(cut.on_hand for cut in sold.cuts), sold.boards, sold.short) == (3, 6, {})
    scarce = next(outcomes(shop_of(parts, [board("board", size, on_hand=3, buyable=False)]), 1))
    assert (scarce.boards, scarce.cost, sum(scarce.short.values())) == (3, 0, 7)


def test_where_nothing_can_be_cut_it_ends() -> None:
    """No board is there and none can be bought."""
    parts = [part("rail", 8, ("3/4", 1, 40), "board")]
    shop = shop_of(parts, [board("board", ("3/4", "7/2", 48), buyable=False)])
    assert [each.cuts for each in outcomes(shop, 1)] == [()]
