"""Dual feasible functions: what fits still fits, and bounds on sheets by hand and beside plans."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notchbook.planning import Planner
from notchbook.planning.search.dual_feasible import _functions, fewest_sheets

from .plain_shops import PLAIN_SAW, job_of, panel, part, shop_of

Sizes = Sequence[tuple[int, int]]


def planner_of(sizes: Sizes, sheet: tuple[int, int], kerf: int = 0, *, grain: bool) -> Planner:
    """Pieces, each length by width, from sheets of one size."""
    parts = [part(f"p{n}", 1, (1, wide, long), "ply") for n, (long, wide) in enumerate(sizes)]
    board = panel("ply", (1, sheet[1], sheet[0]), 1, grain=grain)
    return Planner(job_of(shop_of(parts, [board], **PLAIN_SAW | {"kerf": kerf})))


def bound_of(planner: Planner) -> int:
    """The bound for one unit."""
    grid = planner.grid
    return fewest_sheets(grid.boards[0], grid.parts, [1] * len(grid.parts), grid.saw.kerf)


@st.composite
def rows_of_pieces(draw: st.DrawFn) -> tuple[int, list[int], list[int]]:
    """A side, extents that fit on it side by side, and others that came up."""
    side = draw(st.integers(2, 60))
    beside: list[int] = []
    while room := side - sum(beside):
        beside.append(draw(st.integers(1, room)))
        if draw(st.booleans()):
            break
    return side, beside, draw(st.lists(st.integers(1, side), max_size=8))


@given(rows_of_pieces())
def test_what_fits_side_by_side_still_fits(row: tuple[int, list[int], list[int]]) -> None:
    """The definition (Fekete and Schepers 2001): no sum is above what becomes of the side."""
    side, beside, others = row
    extents = sorted({*beside, *others})
    for values, whole in _functions(extents, side):
        restated = dict(zip(extents, values.tolist(), strict=True))
        assert sum(restated[each] for each in beside) <= whole


@pytest.mark.parametrize(
    ("sizes", "sheet", "kerf", "least"),
    [
        ([(51, 51)] * 5, (100, 100), 0, 5),  # over half of each side: one a sheet; by area 2
        ([(50, 50)] * 5, (100, 100), 0, 2),  # four a sheet
        ([(50, 50)] * 5, (100, 100), 1, 5),  # with a kerf between them only one
        ([(34, 100)] * 5, (100, 100), 0, 3),  # over a third of the length: two a sheet; by area 2
        ([(60, 30), (60, 30), (60, 30), (30, 60)], (100, 60), 0, 2),
        ([(100, 100)], (100, 100), 3, 1),
    ],
)
def test_bounds_by_hand(sizes: Sizes, sheet: tuple[int, int], kerf: int, least: int) -> None:
    """Pieces that may not turn."""
    assert bound_of(planner_of(sizes, sheet, kerf, grain=True)) == least


def test_a_piece_that_may_turn_takes_the_lesser_room() -> None:
    """Two of 30 x 80 lie side by side on 100 x 60 only lengthwise: as drawn they are too wide."""
    lengthwise = planner_of([(80, 30)] * 2, (100, 60), grain=True)
    turned = planner_of([(30, 80)] * 2, (100, 60), grain=False)
    assert bound_of(lengthwise) == bound_of(turned) == 1


@given(
    st.lists(st.tuples(st.integers(5, 60), st.integers(5, 40)), min_size=1, max_size=12),
    st.integers(0, 4),
    st.booleans(),
)
def test_no_plan_takes_fewer_sheets(sizes: Sizes, kerf: int, grain: bool) -> None:
    """The bound beside first fit, which knows nothing of it."""
    planner = planner_of(sizes, (60, 40), kerf, grain=grain)
    planner.budget.start()
    found = planner.groups[0].first_fit.best([1] * len(sizes), [0])

    assert bound_of(planner) <= found.boards
