"""Cutting plans are sound, their bounds honest, their yields in order."""

from collections import Counter
from collections.abc import Callable
from copy import deepcopy
from fractions import Fraction
from typing import Any

import pytest

from notchbook.planning import (
    Board,
    Job,
    Part,
    Saw,
    find_misfits,
    make_plan,
    plan_yields,
    planner,
)
from notchbook.planning.model.grid import put_on_grid
from notchbook.planning.yields import YieldPlan, smooth

from .plan_verifier import exact, faults, separable

Shop = dict[str, Any]
SAW = {"kerf": "1/8", "squaring": "1/8", "end_trim": "1/4", "shortest_rip": 12, "deepest_cut": 3}


def lumber(stock: str, size: tuple[str, str, str], price: str = "4.15", **more: Any) -> Shop:
    """A board as plain data."""
    thickness, width, length = size
    board = {"stock": stock, "kind": "lumber", "price": price, "on_hand": 0, "buyable": True}
    return board | {
        "thickness": thickness,
        "width": width,
        "length": length,
        "grain": False,
        **more,
    }


def part(name: str, make: int, size: tuple[str, str, str], *stocks: str, **more: Any) -> Shop:
    """A part as plain data."""
    thickness, width, length = size
    named = {"part": name, "project": "rail", "make": make, "from": list(stocks), "turn": False}
    return named | {"thickness": thickness, "width": width, "length": length, **more}


def shop_of(parts: list[Shop], boards: list[Shop], **saw: Any) -> Shop:
    """A shop as plain data, with the usual saw."""
    return {"parts": parts, "boards": boards, "saw": SAW | saw}


def job_of(shop: Shop, usable_offcut: int = 12) -> Job:
    """The planner's view of the plain data."""
    saw = {key: None if value is None else Fraction(value) for key, value in shop["saw"].items()}
    return Job(
        tuple(
            Part(
                p["part"], p["project"], p["make"],
                Fraction(p["thickness"]), Fraction(p["width"]), Fraction(p["length"]),
                tuple(p["from"]), p["turn"],
            )
            for p in shop["parts"]
        ),
        tuple(
            Board(
                b["stock"], b["kind"],
                Fraction(b["thickness"]), Fraction(b["width"]), Fraction(b["length"]),
                Fraction(b["price"]), b["on_hand"], b["buyable"], b["grain"],
            )
            for b in shop["boards"]
        ),
        Saw(**saw),  # type: ignore[arg-type]
        Fraction(usable_offcut),
    )  # fmt: skip


def planned(shop: Shop, units: int) -> dict[str, Any]:
    """The plan's JSON, once the verifier has passed it."""
    plan = make_plan(job_of(shop), units, "rail").as_json(2)
    assert faults(plan, shop, units) == []
    return plan


SPRUCE = lumber("spruce", ("3/2", "7/2", "96"))
PINE = lumber("pine", ("3/4", "11/2", "96"), "7.60")
PLY = lumber("ply", ("1/4", "24", "48"), "11.80", kind="panel", grain=True)
BARN = lumber("barn", ("7/8", "11/2", "60"), "0", buyable=False, on_hand=2)


# -- hand cases -------------------------------------------------------------------------------


def test_nine_strips_from_one_section() -> None:
    """3 x 1 + 2/8 = 3 1/4 across after squaring, 3 x 3/8 + 2/8 = 1 3/8 of 1 1/2 up: nine a blank.

    Blanks of 22 1/2: 4 x 22 1/2 + 3/8 = 90 3/8 of 95 1/2, so 36 a board.
    """
    shop = shop_of([part("slat", 36, ("3/8", "1", "45/2"), "spruce")], [SPRUCE])
    one = planned(shop, 1)
    assert [cut["count"] for cut in one["boards"]] == [1]
    (blank,) = one["boards"][0]["blanks"]  # alike, they stay one piece and are ripped once
    assert blank["length"] == 90.375
    assert [len(strip["pieces"]) for strip in blank["strips"]] == [4] * 9
    assert one["boards"][0]["blanks"][0]["strips"][0]["at"] == [0.125, 0]
    assert one["cost"] == 4.15


def test_offcuts_and_their_share() -> None:
    """95 1/2 - 2 x 40 - 2/8 = 15 1/4 is left of a board of 96, and 12 is worth keeping."""
    shop = shop_of([part("front", 2, ("3/4", "11/2", "40"), "pine")], [PINE])
    plan = make_plan(job_of(shop), 3, "rail")
    assert [(o.width, o.length, o.count) for o in plan.offcuts] == [
        (Fraction(11, 2), Fraction(61, 4), 3)
    ]
    assert plan.measure_offcuts("pine") == 3 * Fraction(61, 4) / 96
    assert plan.count_boards("pine") == 3
    assert make_plan(job_of(shop, usable_offcut=16), 3, "rail").offcuts == ()


def test_full_section_is_never_ripped() -> None:
    """Sections as bought need neither squaring nor a long blank: 11 x 8 + 10/8 = 89 1/4."""
    shop = shop_of([part("block", 11, ("3/2", "7/2", "8"), "spruce")], [SPRUCE], deepest_cut="1")
    plan = planned(shop, 1)
    assert plan["boards"][0]["blanks"][0] == {
        "length": 8,
        "strips": [
            {"thickness": 1.5, "width": 3.5, "at": [0, 0], "turned": False,
             "pieces": [{"part": "block", "length": 8}]}
        ],
    }  # fmt: skip


def test_short_parts_share_a_blank_long_enough_to_rip() -> None:
    """Pieces of 4 are cut from ripped blanks of at least 12; the verifier checks the length."""
    shop = shop_of([part("peg", 10, ("3/4", "1", "4"), "pine")], [PINE])
    blanks = planned(shop, 1)["boards"][0]["blanks"]
    assert blanks and all(blank["length"] >= 12 for blank in blanks)


def test_on_hand_before_bought() -> None:
    """Three boards are needed, one is there: two are bought for 15.20."""
    shop = shop_of([part("front", 1, ("3/4", "11/2", "60"), "pine")], [PINE | {"on_hand": 1}])
    plan = planned(shop, 3)
    assert [(cut["count"], cut["on_hand"]) for cut in plan["boards"]] == [(3, 1)]
    assert plan["cost"] == plan["cost_bound"] == 15.2


def test_reclaimed_runs_short_or_gives_way() -> None:
    """Two barn boards yield two pieces of 50; the third is bought, or short if it cannot be."""
    barn_only = shop_of([part("top", 1, ("7/8", "5", "50"), "barn")], [BARN])
    assert planned(barn_only, 3)["short"] == [{"part": "top", "count": 1}]
    oak = lumber("oak", ("7/8", "11/2", "60"), "20.00")
    either = shop_of([part("top", 1, ("7/8", "5", "50"), "oak", "barn")], [BARN, oak])
    plan = planned(either, 3)
    assert plan["cost"] == 20 and plan["short"] == []


def test_parts_of_finite_stock_come_first() -> None:
    """Of three barn boards two go to the part with no other choice, although it is the shorter.

    The third yields one of the longer part, so that one board is bought for the other.
    """
    parts = [
        part("long", 1, ("7/8", "5", "59"), "barn", "oak"),
        part("only", 1, ("7/8", "5", "50"), "barn"),
    ]
    oak = lumber("oak", ("7/8", "11/2", "60"), "20.00")
    plan = planned(shop_of(parts, [BARN | {"on_hand": 3}, oak]), 2)
    assert (plan["short"], plan["cost"]) == ([], 20)


def test_grain_keeps_a_panel_part_along() -> None:
    """Two parts of 38 x 24 go on 48 x 40 only turned: 24 + 24 along it, 38 across."""
    sheet = PLY | {"width": "40", "length": "48"}
    back = part("back", 2, ("1/4", "24", "38"), "ply")
    assert planned(shop_of([back], [sheet], kerf=0), 1)["panels"][0]["count"] == 2
    turned = planned(shop_of([back | {"turn": True}], [sheet], kerf=0), 1)["panels"][0]
    assert turned["count"] == 1
    assert [piece["turned"] for piece in turned["pieces"]] == [True, True]


@pytest.mark.deep
def test_the_order_of_lines_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Parts and boards in another order: the same cuts at the same cost, by the same bound."""
    monkeypatch.setattr(planner, "PLAN", 1_000_000)  # steps; as true of little work as of much
    long = lumber("long spruce", ("3/2", "7/2", "120"), "5.45")
    parts = [
        part("post", 3, ("3/2", "3/2", "29"), "spruce", "long spruce"),
        part("rail", 5, ("3/4", "3/2", "41"), "spruce", "long spruce"),
        part("stile", 4, ("3/2", "7/2", "31"), "spruce", "long spruce"),
        part("shelf", 3, ("3/4", "5", "33"), "pine"),
        part("cleat", 4, ("3/4", "2", "19"), "pine"),
    ]
    boards = [SPRUCE, PINE, long]
    one = make_plan(job_of(shop_of(parts, boards)), 2, "rail")
    other = make_plan(job_of(shop_of(parts[::-1], boards[::-1])), 2, "rail")
    assert (other.cost, other.cost_bound) == (one.cost, one.cost_bound)
    assert Counter(other.cuts()) == Counter(one.cuts())


def test_edges_of_a_job() -> None:
    """No parts, no units, a part as large as its board without trims, and a thousand units."""
    assert planned(shop_of([], [PINE]), 5)["cost"] == 0
    whole = shop_of([part("plank", 1, ("3/4", "11/2", "96"), "pine")], [PINE], end_trim=0, kerf=0)
    assert planned(whole, 0)["boards"] == []
    assert planned(whole, 7)["boards"][0]["count"] == 7
    assert planned(whole, 1000)["cost"] == 7600


def test_pieces_name_their_project_only_together() -> None:
    """With several projects the plan has no name and each piece has one."""
    shop = shop_of([part("front", 1, ("3/4", "11/2", "40"), "pine")], [PINE])
    plan = make_plan(job_of(shop), 1, None).as_json(2)
    assert plan["project"] is None and faults(plan, shop, 1) == []
    boards: Any = plan["boards"]
    assert boards[0]["blanks"][0]["strips"][0]["pieces"][0]["project"] == "rail"


def test_without_grain_a_panel_part_may_turn() -> None:
    """A part 20 long and 40 wide lies only across a sheet of 48 x 24."""
    back = part("back", 1, ("1/4", "40", "20"), "ply")
    assert [misfit.part for misfit in find_misfits(job_of(shop_of([back], [PLY])))] == ["back"]
    sheet = planned(shop_of([back], [PLY | {"grain": False}]), 1)["panels"][0]
    piece = {"part": "back", "at": [0, 0], "length": 40, "width": 20, "turned": True}
    assert sheet["pieces"] == [piece]


def test_a_thick_section_is_ripped_the_shallow_way_first() -> None:
    """4 of thickness is too deep for a saw of 3; the width of 3 is not, and then 1 is left."""
    beam = lumber("beam", ("4", "3", "96"))
    shop = shop_of([part("stick", 8, ("1", "1", "40"), "beam")], [beam], squaring=0)
    assert planned(shop, 1)["boards"][0]["count"] == 1


@pytest.mark.parametrize(
    ("size", "stock", "saw", "sentence"),
    [
        (("3/4", "43/8", "4"), "pine", {},
         "end needs 43/8 in. of width; pine leaves 21/4 after squaring"),
        (("1", "1", "4"), "pine", {}, "end needs 1 in. of thickness; pine is 3/4 thick"),
        (("3/4", "1", "96"), "pine", {},
         "end needs 96 in. of length; pine leaves 191/2 after the end trims"),
        (("3/4", "1", "4"), "pine", {"shortest_rip": 100},
         "end needs a blank of 100 in. to be ripped; pine leaves 191/2 after the end trims"),
        (("3/4", "3/2", "4"), "spruce", {"deepest_cut": 1},
         "end needs a rip 3/2 in. deep in spruce; the saw cuts 1"),
        (("1/2", "3", "4"), "ply", {}, "end needs 1/2 in. of thickness; ply is 1/4 thick"),
        (("1/4", "30", "40"), "ply", {}, "end needs 30 in. of width; ply is 24 wide"),
        (("1/4", "3", "50"), "ply", {}, "end needs 50 in. of length; ply is 48 long"),
    ],
)  # fmt: skip
def test_misfits_say_why(
    size: tuple[str, str, str], stock: str, saw: dict[str, Any], sentence: str
) -> None:
    """A part that fits no board is named with what it needs and what there is."""
    job = job_of(shop_of([part("end", 1, size, stock)], [SPRUCE, PINE, PLY], **saw))
    (misfit,) = find_misfits(job)
    assert [reason.sentence(str, "in.") for reason in misfit.reasons] == [sentence]
    with pytest.raises(ValueError, match="large enough for end"):
        make_plan(job, 1, "rail")


def test_one_stock_that_fits_is_enough() -> None:
    """A part is no misfit while one of its stocks yields it, and it is cut from that one."""
    shop = shop_of([part("end", 1, ("3/4", "3", "50"), "pine", "spruce")], [SPRUCE, PINE])
    job = job_of(shop)
    assert find_misfits(job) == []
    wide = shop_of([part("end", 1, ("3/4", "5", "50"), "spruce", "pine")], [SPRUCE, PINE])
    assert [cut["stock"] for cut in planned(wide, 1)["boards"]] == ["pine"]


# -- rows of Yield ------------------------------------------------------------------------------


def test_yields_leave_stock_out_of_account() -> None:
    """What is on hand counts as bought: one piece of 60 a board, so n boards for n units."""
    shop = shop_of([part("front", 1, ("3/4", "11/2", "60"), "pine")], [PINE | {"on_hand": 5}])
    rows = plan_yields(job_of(shop), 3)
    assert [(row.boards["pine"], row.cost) for row in rows] == [
        (n, n * Fraction("7.6")) for n in (1, 2, 3)
    ]
    left = Fraction(96) - Fraction(1, 2) - 60 - Fraction(1, 8)
    assert rows[2].offcut_boards["pine"] == 3 * left / 96


def test_yields_tell_what_reclaimed_would_be_needed() -> None:
    """Only barn boards will do and two are there: the fourth unit still says four, at no cost."""
    shop = shop_of([part("top", 1, ("7/8", "5", "50"), "barn")], [BARN])
    rows = plan_yields(job_of(shop), 4)
    assert [row.boards["barn"] for row in rows] == [1, 2, 3, 4]
    assert not any(row.cost for row in rows)


def test_yields_spare_reclaimed_boards() -> None:
    """They cost no money, but minutes to get ready: three units come out of two, by hand.

    A board of 60 gives three blanks of 16: two backs, and one blank for four lips of 1. Three units
    take four blanks.
    """
    fence = BARN | {"thickness": "5/8", "width": "21/4", "on_hand": 6}
    parts = [
        part("back", 1, ("5/8", "5", "16"), "barn"),
        part("lip", 1, ("5/8", "1", "16"), "barn"),
    ]
    rows = plan_yields(job_of(shop_of(parts, [fence])), 3)
    assert [row.boards["barn"] for row in rows] == [1, 1, 2]


@pytest.mark.parametrize(
    ("costs", "smoothed"),
    [
        ([9, 7, 8], [7, 7, 8]),  # the second row serves one unit for less
        ([5, 12, 20], [5, 10, 15]),  # twice the first, then the first and the second
        ([9, 12, 7, 30], [7, 7, 7, 14]),
    ],
)
def test_rows_take_over_cheaper_ones(costs: list[int], smoothed: list[int]) -> None:
    """A dear row takes the boards, offcuts and cost of the rows that serve it for less."""
    grid = put_on_grid(job_of(shop_of([], [PINE])))
    rows = [YieldPlan(Counter({0: cost}), Counter({0: 2 * cost}), cost) for cost in costs]
    smooth(rows, grid)
    assert [row.cost for row in rows] == smoothed
    assert [(row.boards[0], row.offcuts[0]) for row in rows] == [(c, 2 * c) for c in smoothed]


def test_rows_do_not_take_reclaimed_boards_that_are_not_there() -> None:
    """Two barn boards are there: the cheap first row, once a board, serves two units, not three."""
    grid = put_on_grid(job_of(shop_of([], [BARN])))
    rows = [YieldPlan(Counter({0: n}), Counter(), cost) for n, cost in ((1, 0), (1, 5), (2, 9))]
    smooth(rows, grid)
    assert [(row.boards[0], row.cost) for row in rows] == [(1, 0), (2, 0), (2, 9)]


# -- the verifier itself ----------------------------------------------------------------------

SAMPLE = shop_of(
    [
        part("slat", 9, ("3/8", "1", "45/2"), "spruce"),
        part("post", 2, ("3/2", "7/2", "20"), "spruce"),
        part("back", 2, ("1/4", "10", "20"), "ply"),
    ],
    [SPRUCE | {"on_hand": 1}, PINE, PLY],
)


def ripped(plan: Any) -> Any:
    """The first blank that was ripped, its strips all of 3/8 x 1."""
    blanks = (blank for cut in plan["boards"] for blank in cut["blanks"])
    return next(blank for blank in blanks if blank["strips"][0]["width"] == 1)


def strip(plan: Any, number: int = 0) -> Any:
    """A strip of that blank."""
    return ripped(plan)["strips"][number]


def panel(plan: Any, number: int = 0) -> Any:
    """A piece of the first sheet."""
    return plan["panels"][0]["pieces"][number]


def raised(plan: Any) -> list[float]:
    """Where the second strip lies, moved by half a kerf towards the first."""
    return [
        min(a, b) + 0.9375 * abs(a - b)
        for a, b in zip(strip(plan)["at"], strip(plan, 1)["at"], strict=True)
    ]


SPOILS: dict[str, Callable[[Any], Any]] = {
    "a piece lost": lambda p: strip(p)["pieces"].pop(),
    "a piece too many": lambda p: strip(p)["pieces"].append(dict(strip(p)["pieces"][0])),
    "a wrong length": lambda p: strip(p)["pieces"][0].update(length=22),
    "a wrong width": lambda p: strip(p).update(width=0.9375),
    "strips on top of each other": lambda p: strip(p).update(at=strip(p, 1)["at"]),
    "no room for the kerf": lambda p: strip(p, 1).update(at=raised(p)),
    "an unsquared edge": lambda p: strip(p).update(at=[0.0, 0.0]),
    "a blank too long": lambda p: ripped(p).update(length=90),
    "a blank too short": lambda p: ripped(p).update(length=11),
    "another stock": lambda p: p["boards"][0].update(stock="pine", thickness=0.75, width=5.5),
    "a shorter board": lambda p: p["boards"][0].update(length=90),
    "more on hand than there is": lambda p: p["panels"][0].update(on_hand=1),
    "one board more": lambda p: p["boards"][0].update(count=p["boards"][0]["count"] + 1),
    "a lower cost": lambda p: p.update(cost=p["cost"] - 1),
    "a bound above the cost": lambda p: p.update(cost_bound=p["cost"] + 1),
    "a panel piece turned": lambda p: panel(p).update(length=10, width=20, turned=True),
    "panel pieces overlapping": lambda p: panel(p).update(at=panel(p, 1)["at"]),
    "a panel piece off the sheet": lambda p: panel(p).update(at=[40, 0]),
    "called short": lambda p: p["short"].append({"part": "back", "count": 1}),
    "an unknown status": lambda p: p.update(status="perfect"),
}


@pytest.mark.parametrize("name", SPOILS)
def test_verifier_refuses_a_spoiled_plan(name: str) -> None:
    """Each way of tampering is noticed; the sound plan passes."""
    plan = deepcopy(planned(SAMPLE, 2))
    SPOILS[name](plan)
    assert faults(plan, SAMPLE, 2) != []


def test_verifier_knows_pinwheels_and_depth() -> None:
    """Five boxes around a middle cannot be cut right across; a deep rip is refused."""
    one, two, three = Fraction(1), Fraction(2), Fraction(3)
    none = Fraction(0)
    pinwheel = [(0, 0, 2, 1), (2, 0, 3, 2), (1, 2, 3, 3), (0, 1, 1, 3), (1, 1, 2, 2)]
    boxes = [(Fraction(a), Fraction(b), Fraction(c), Fraction(d)) for a, b, c, d in pinwheel]
    region = (none, none, three, three)
    assert not separable(boxes, region, none, None)
    assert separable(boxes[:1] + boxes[2:3], region, none, None)
    assert not separable(boxes[:1], region, none, two)
    assert separable([(none, none, one, three)], region, none, three)
    assert exact(0.1) == Fraction(1, 10)
