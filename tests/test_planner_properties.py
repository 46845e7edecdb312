"""Whatever the shop: plans stand up to the verifier, bounds hold, rows of Yield are in order."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from notchbook.planning import Job, YieldRow, find_misfits, make_plan, plan_yields, planner

from .plain_shops import PROJECT, Shop, as_printed, board, job_of, panel, part
from .plan_verifier import faults
from .searching import examples

ROWS = 5
WORK = 1_000_000  # steps a plan, a tenth of what a shop's has: what holds of plans holds of these


@pytest.fixture(autouse=True, scope="module")
def little_work() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(planner, "PLAN", WORK)
        yield


# -- random shops -----------------------------------------------------------------------------

# what the lengths of a shop are whole numbers of: eighths, thirds, mm in an inch shop, and an
# odd length beside its neighbours
GRIDS = [
    (Fraction(1, 8), Fraction(0)),
    (Fraction(1, 16), Fraction(0)),
    (Fraction(1, 3), Fraction(0)),
    (Fraction(5, 127), Fraction(0)),
    (Fraction(1, 8), Fraction(1, 3) + Fraction("0.0001")),
]
THICKNESSES = [Fraction(3, 4), Fraction(3, 2)]
WIDTHS = [Fraction(7, 2), Fraction(11, 2)]


def lengths(grid: Fraction, low: int, high: int) -> st.SearchStrategy[Fraction]:
    """Multiples of the grid from `low` to `high`."""
    return st.integers(int(low / grid), int(high / grid)).map(lambda n: max(n, 1) * grid)


@st.composite
def boards(draw: st.DrawFn) -> list[Shop]:
    """Lumber to buy or reclaimed, of one or two sections and lengths, and perhaps a sheet."""
    found = [
        board(
            f"b{n}",
            (draw(st.sampled_from(THICKNESSES)), draw(st.sampled_from(WIDTHS)),
             draw(st.sampled_from([48, 72, 96]))),
            Fraction(draw(st.integers(1, 12)), draw(st.sampled_from([1, 2, 100]))),
            on_hand=draw(st.integers(0, 2)), buyable=draw(st.booleans()) or n == 0,
        )
        for n in range(draw(st.integers(1, 3)))
    ]  # fmt: skip
    if draw(st.booleans()):
        size = ("1/4", draw(st.integers(12, 24)), draw(st.integers(24, 48)))
        sheet = panel(
            "ply", size, "11.80", grain=draw(st.booleans()), on_hand=draw(st.integers(0, 1))
        )
        found.append(sheet)
    return found


@st.composite
def parts_of(draw: st.DrawFn, all_boards: list[Shop]) -> list[Shop]:
    """Parts that mostly fit: the whole section, a strip of full thickness, ripped both ways."""
    grid, odd = draw(st.sampled_from(GRIDS))
    stocks = [each["stock"] for each in all_boards]
    found = []
    for n in range(draw(st.integers(1, 4))):
        chosen = draw(st.lists(st.sampled_from(stocks), min_size=1, max_size=3, unique=True))
        like = next(each for each in all_boards if each["stock"] == chosen[0])
        length = draw(lengths(grid, 6, int(like["length"]))) + odd
        thickness, width = Fraction(like["thickness"]), Fraction(like["width"])
        kind = draw(st.sampled_from(["whole", "strip", "both ways"]))
        if like["kind"] == "panel":
            width = draw(lengths(grid, 3, int(width)))
        elif kind != "whole":
            width = draw(lengths(grid, 1, 5))
        if like["kind"] == "lumber" and kind == "both ways":
            thickness = draw(lengths(grid, 1, 1)) * Fraction(3, 4)
        found.append(
            part(
                f"p{n}", draw(st.integers(0, 3)), (thickness, width, length), *chosen,
                turn=draw(st.booleans()), project=draw(st.sampled_from([PROJECT, "shelf"])),
            )
        )  # fmt: skip
    if draw(st.booleans()):
        whole = all_boards[0]
        size = (whole["thickness"], whole["width"], whole["length"])
        found.append(part("plank", 1, size, whole["stock"]))
    return found


@st.composite
def shops(draw: st.DrawFn) -> Shop:
    """A small shop with any saw; parts that fit none of their stocks are left out."""
    all_boards = draw(boards())
    saw = {
        "kerf": draw(st.sampled_from([0, "1/8", "3/32"])),
        "squaring": draw(st.sampled_from([0, "1/8"])),
        "end_trim": draw(st.sampled_from([0, "1/4"])),
        "shortest_rip": draw(st.sampled_from([0, 12])),
        "deepest_cut": draw(st.sampled_from([None, 2, 3])),
        "longest_rip": draw(st.sampled_from([None, None, 20, 50])),
        "sheet_trim": draw(st.sampled_from([0, "1/4"])),
    }
    shop: Shop = {
        "parts": draw(parts_of(all_boards)),
        "boards": all_boards,
        "saw": saw,
        "usable_offcut": 12,
        "usable_width": draw(st.sampled_from([0, 2])),
        "usable_thickness": draw(st.sampled_from([0, "1/2"])),
    }
    unfit = {(misfit.project, misfit.part) for misfit in find_misfits(job_of(shop))}
    fitting = [p for p in shop["parts"] if (p["project"], p["part"]) not in unfit]
    assume(fitting)
    return shop | {"parts": fitting}


# -- plans --------------------------------------------------------------------------------------


@examples(30)
@given(shops(), st.integers(0, 4))
def test_every_plan_stands_up(shop: Shop, units: int) -> None:
    """The verifier passes it; it is optimal just where cost and bound agree; it comes again.

    Pieces that are short are told, not paid for: such a plan proves nothing.
    """
    job = job_of(shop)
    plan = make_plan(job, units, None)
    assert faults(as_printed(plan), shop, units) == []
    assert plan.cost_bound <= plan.cost
    proved = plan.cost == plan.cost_bound
    assert proved or plan.status == "feasible"
    assert not proved or plan.short or plan.status == "optimal"
    assert plan.out_of_time or make_plan(job, units, None) == plan


@examples(15)
@given(shops(), st.integers(1, 3))
@pytest.mark.deep
def test_a_board_more_on_hand_saves_its_price_at_most(shop: Shop, units: int) -> None:
    """A proved plan costs no more than any other way to do the same that is known."""
    job = job_of(shop)
    before = make_plan(job, units, None)
    first = shop["boards"][0]
    more = shop | {"boards": [first | {"on_hand": first["on_hand"] + 1}, *shop["boards"][1:]]}
    after = make_plan(job_of(more), units, None)
    assert faults(as_printed(after), more, units) == []
    if before.short or after.short:
        return
    if after.status == "optimal":
        assert after.cost <= before.cost
    if before.status == "optimal":
        assert before.cost <= after.cost + Fraction(first["price"])


@examples(15)
@given(shops(), st.integers(1, 4))
@pytest.mark.deep
def test_volume_is_never_exceeded(shop: Shop, units: int) -> None:
    """Pieces and usable offcuts of a stock together are no more wood than its boards."""
    job = job_of(shop | {"usable_offcut": 2})
    plan = make_plan(job, units, PROJECT)
    sizes = {(p.project, p.part): p.thickness * p.width * p.length for p in job.parts}
    wood: dict[str, Fraction] = defaultdict(Fraction)
    for cut in plan.boards:
        for blank in cut.blanks:
            for piece in (piece for strip in blank.strips for piece in strip.pieces):
                wood[cut.stock] += cut.count * sizes[piece.project, piece.part]
    for sheet in plan.panels:
        for laid in sheet.pieces:
            wood[sheet.stock] += sheet.count * sizes[laid.project, laid.part]
    for each in job.boards:
        whole = each.thickness * each.width * each.length
        used = wood[each.stock] / whole + plan.measure_offcuts(each.stock)
        assert used <= plan.count_boards(each.stock)


# -- rows of Yield ------------------------------------------------------------------------------


def within(row: YieldRow, job: Job) -> bool:
    """Whether the row takes no more of the boards that cannot be bought than there are."""
    return all(b.buyable or row.boards.get(b.stock, 0) <= b.on_hand for b in job.boards)


def worth(job: Job, *rows: YieldRow) -> tuple[Fraction, int]:
    """What rows cost together, and the boards that cannot be bought."""
    scarce = [b.stock for b in job.boards if not b.buyable]
    cost = sum((row.cost for row in rows), Fraction(0))
    return cost, sum(row.boards.get(stock, 0) for row in rows for stock in scarce)


@examples(8)
@given(shops())
def test_rows_are_monotone_and_no_worse_than_two_together(shop: Shop) -> None:
    """A row costs what its boards cost, no more than the next, no more than two smaller ones; at
    the same cost it takes no more boards that cannot be bought."""
    job = job_of(shop)
    rows = plan_yields(job, ROWS)
    assert [row.units for row in rows] == list(range(1, ROWS + 1))
    prices = {b.stock: b.price if b.buyable else Fraction(0) for b in job.boards}
    for u, row in enumerate(rows):
        assert row.cost == sum(prices[stock] * often for stock, often in row.boards.items())
        assert all(0 <= row.offcut_boards[s] <= often for s, often in row.boards.items())
        if u + 1 < len(rows) and within(rows[u + 1], job):
            assert worth(job, row) <= worth(job, rows[u + 1])
        for a in range((u + 1) // 2):
            one, other = rows[a], rows[u - 1 - a]
            both = {s: one.boards[s] + other.boards[s] for s in row.boards}
            if all(b.buyable or both.get(b.stock, 0) <= b.on_hand for b in job.boards):
                assert worth(job, row) <= worth(job, one, other)


@examples(15)
@given(shops(), st.integers(1, ROWS))
def test_rows_agree_with_plans(shop: Shop, units: int) -> None:
    """With nothing on hand a plan costs what the row says, as far as its bound tells."""
    none = [b | {"on_hand": 0 if b["buyable"] else b["on_hand"]} for b in shop["boards"]]
    job = job_of(shop | {"boards": none})
    plan, row = make_plan(job, units, None), plan_yields(job, units)[-1]
    if not plan.short:
        assert within(row, job)
        scarce = {b.stock for b in job.boards if not b.buyable}
        taken = sum(cut.count for cut in plan.boards if cut.stock in scarce)
        assert plan.cost_bound <= row.cost
        assert worth(job, row) <= (plan.cost, taken)


def test_a_shop_of_every_kind_at_once() -> None:
    """Lumber, a sheet, reclaimed wood, thirds and mm in one job, by hand."""
    shop: dict[str, Any] = {
        "parts": [
            part("rail", 2, ("3/4", "3/2", Fraction(64, 3)), "pine", "barn"),
            part("peg", 4, ("3/8", "3/4", Fraction(900, 127)), "pine"),
            part("back", 1, ("1/4", 10, 20), "ply", turn=True),
            part("top", 1, ("7/8", 5, Fraction(40) + Fraction("0.0001")), "barn"),
        ],
        "boards": [
            board("pine", ("3/4", "11/2", 96), "7.60", on_hand=1),
            board("barn", ("7/8", "11/2", 60), 0, buyable=False, on_hand=2),
            panel("ply", ("1/4", 24, 48), "11.80", grain=True),
        ],
        "saw": {"kerf": "3/32", "squaring": "1/8", "end_trim": "1/4", "shortest_rip": 12,
                "deepest_cut": 3},
        "usable_offcut": 12,
    }  # fmt: skip
    plan = as_printed(make_plan(job_of(shop), 3, PROJECT))
    assert faults(plan, shop, 3) == []
    assert plan["short"] == [{"part": "top", "count": 1}]
    assert plan["cost"] == 11.8
