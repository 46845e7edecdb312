"""Plans reach published optima and hand-worked cases, and are proved where they can be."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from notchbook.planning import find_misfits, make_plan, plan_yields
from notchbook.planning.search.guillotine import Guillotine, Way
from notchbook.planning.search.unlimited import ValueTable

from .plain_shops import (
    PLAIN_SAW,
    Shop,
    board,
    job_of,
    panel,
    part,
    planned,
    shop_of,
    stock_lengths,
)
from .plan_verifier import faults

# -- worked examples of textbooks ------------------------------------------------------------
# (length, price) of the boards, (length, quantity) of the pieces, the least cost
WORKED: dict[str, tuple[list[list[int]], list[list[int]], int]] = {
    # the paper machine of the literature: 13 widths out of rolls of 5,600 mm, 73 rolls, 0.401 %
    # of waste (Wikipedia, "Cutting stock problem")
    "paper machine": (
        [[5600, 1]],
        [
            [1380, 22], [1520, 25], [1560, 12], [1710, 14], [1820, 18], [1880, 18], [1930, 20],
            [2000, 10], [2050, 12], [2100, 14], [2140, 16], [2150, 18], [2200, 20],
        ],
        73,
    ),
    # Gilmore, Gomory, "A linear programming approach to the cutting-stock problem", 1961: stock
    # of 5, 6 and 9 at 6, 7 and 10
    "Gilmore and Gomory": ([[5, 6], [6, 7], [9, 10]], [[2, 20], [3, 10], [4, 20]], 170),
    # Chvatal, "Linear Programming", 1983, p. 195: the relaxation is 452.25
    "Chvatal": ([[100, 1]], [[45, 97], [36, 610], [31, 395], [14, 211]], 453),
    # the same with 35 for 36, as a solver's manual prints it; optimum by complete enumeration
    "Chvatal misprinted": ([[100, 1]], [[45, 97], [35, 610], [31, 395], [14, 211]], 453),
    # Winston, "Operations Research", Woodco: 17 ft boards; optimum by complete enumeration
    "Woodco": ([[17, 1]], [[3, 25], [5, 20], [9, 15]], 19),
    # a lumber mill of a solver's tutorial: logs of 40; relaxation 88.3, so 89
    "lumber mill": ([[40, 1]], [[8, 90], [12, 111], [16, 55], [20, 30]], 89),
    # after Kantorovich 1939, as constraint solvers' tutorials have it; relaxation 3.67
    "Kantorovich": ([[10, 1]], [[7, 2], [5, 2], [3, 4]], 4),
    # Ragsdale, "Spreadsheet Modeling", 25 ft lumber; relaxation 2,166.67
    "lumber of 25 ft": ([[25, 1]], [[7, 5000], [9, 1200], [11, 300]], 2167),
    # Taylor, "Introduction to Management Science", 25 ft boards; relaxation 775
    "boards of 25 ft": ([[25, 1]], [[7, 700], [9, 1200], [10, 300]], 775),
    # a solver's tutorial with five lengths, price = length: 303,550 of pieces and the relaxation
    # leaves 481.6 of waste, stock comes in whole thousands and 304,000 is too little
    "five lengths": (
        [[4000, 4000], [5000, 5000], [6000, 6000], [7000, 7000], [8000, 8000]],
        [
            [3980, 14], [3690, 2], [3656, 2], [3290, 2], [3256, 2], [3018, 26], [2890, 2],
            [2856, 2], [2790, 4], [2756, 4], [2490, 4], [2456, 4], [2391, 21], [943, 13],
            [938, 14], [596, 21],
        ],
        305_000,
    ),
    # two of Rietz's instances, where rounding the relaxation up is a near thing: with patterns that
    # make no more of a piece than is wanted it is 7.0069 (6.9896 without) and 8.8
    "Rietz x1": (
        [[387, 1]],
        [
            [177, 3], [145, 2], [133, 2], [130, 1], [129, 5], [127, 2], [121, 2], [113, 1],
            [105, 1], [97, 1],
        ],
        8,
    ),
    "Rietz model": ([[45, 1]], [[27, 3], [23, 3], [15, 6], [11, 6], [9, 10]], 9),
    # known as GauWae1: the relaxation is 1.93, with patterns as above 2.2
    "Waescher and Gau": ([[10_000, 1]], [[5000, 1], [3750, 1], [3250, 1], [3001, 1], [2000, 2]], 3),
}  # fmt: skip


@pytest.mark.parametrize("name", WORKED)
def test_worked_examples_are_solved_and_proved(name: str) -> None:
    """The plan costs what the source says, and its bound says that nothing is cheaper."""
    lengths, pieces, least = WORKED[name]
    plan = planned(stock_lengths(lengths, pieces))
    assert (plan["cost"], plan["cost_bound"], plan["status"]) == (least, least, "optimal")


def test_a_bound_that_cannot_be_reached_is_not_called_optimal() -> None:
    """Six boards are needed where the relaxation, 4.967, promises five (known as Fieldhouse+).

    The pieces are 149 long, so five boards of 30 could waste 1 together. Only two of 15, three of
    10 or five of 6 waste so little of a board, and there are three of 15.
    """
    plan = planned(stock_lengths([[30, 1]], [[15, 3], [10, 5], [6, 9]]))
    assert plan["cost"] == 6
    assert plan["cost_bound"] in (5, 6)
    assert plan["status"] == ("optimal" if plan["cost_bound"] == 6 else "feasible")


# -- hand-worked: turned strips and the offcut of a rip ---------------------------------------

SPRUCE = board("spruce", ("3/2", "7/2", 96), "4.00")
UNIT = [
    part("post", 2, (1, 1, 15), "spruce"),
    part("slat", 3, ("3/8", 1, 19), "spruce"),
    part("back", 1, ("3/2", "13/4", "45/2"), "spruce"),
]
HAND = {"kerf": "1/8", "squaring": "1/8", "end_trim": 0, "deepest_cut": None}


def test_two_units_come_out_of_one_board() -> None:
    """Squaring leaves 3 1/4 x 1 1/2. Two backs take 45 1/8 of length and a kerf.

    1 + 1/8 + 1 + 1/8 + 1 fill 3 1/4, and 1 + 1/8 + 3/8 fill 1 1/2: a blank of 38 1/8 gives three
    strips of 1 x 1, each two posts (30 1/8), and three of 3/8 x 1, each two slats (38 1/8).
    45 1/8 + 1/8 + 38 1/8 = 83 3/8 of 96.
    """
    plan = planned(shop_of(UNIT, [SPRUCE], **HAND), 2)
    assert (plan["cost"], plan["cost_bound"], plan["status"]) == (4, 4, "optimal")


def test_twelve_units_come_out_of_five_boards() -> None:
    """The relaxation says 4.65 boards, so five are proved."""
    plan = planned(shop_of(UNIT, [SPRUCE], **HAND), 12)
    assert (plan["cost"], plan["cost_bound"], plan["status"]) == (20, 20, "optimal")


def test_rows_of_yield_know_the_hand_worked_plans() -> None:
    """One board for one unit and for two, five for twelve, ten for 24 at most."""
    rows = plan_yields(job_of(shop_of(UNIT, [SPRUCE], **HAND)), 24)
    boards = {row.units: row.boards["spruce"] for row in rows}
    assert (boards[1], boards[2], boards[12]) == (1, 1, 5)
    assert boards[24] <= 10


# -- what the saw can do ------------------------------------------------------------------------


def rips(plan: dict[str, Any]) -> list[dict[str, Any]]:
    """The strips of all ripped blanks."""
    return [
        strip
        for cut in plan["boards"]
        for blank in cut["blanks"]
        for strip in blank["strips"]
        if (strip["thickness"], strip["width"]) != (cut["thickness"], cut["width"])
    ]


def test_a_wide_face_is_never_ripped_through() -> None:
    """Out of 1 1/2 x 5 1/2 come slats of 5/8 x 2 1/2: two columns first, then 2 1/2 deep.

    A saw that cuts 3 deep never passes through 5 1/2; without columns the rip would be 5 1/4.
    """
    wide = board("wide", ("3/2", "11/2", 96), "7.15")
    shop = shop_of([part("slat", 4, ("5/8", "5/2", 40), "wide")], [wide], deepest_cut=3)
    plan = planned(shop, 2)
    assert (plan["cost"], plan["status"]) == (7.15, "optimal")
    assert sum(len(strip["pieces"]) for strip in rips(plan)) == 8
    shallow = shop | {"saw": shop["saw"] | {"deepest_cut": "9/4"}}
    assert "wide: the strips cannot be ripped so" in faults(plan, shallow, 2)


def test_a_rip_may_be_just_as_deep_as_the_saw_cuts() -> None:
    """Slats of 3/4 x 2 lie two above each other in 3 1/4 x 1 1/2, once a column of 2 is ripped.

    The second rip is 2 deep. Four blanks of 9 2/3 a board make eight slats, so nine take two.
    """
    spruce = board("spruce", ("3/2", "7/2", 48), 1)
    slat = part("slat", 9, ("3/4", 2, Fraction(29, 3)), "spruce")
    saw = {"kerf": 0, "squaring": "1/8", "end_trim": 0, "shortest_rip": 0, "deepest_cut": 2}
    plan = planned(shop_of([slat], [spruce], **saw))
    assert (plan["cost"], plan["cost_bound"], plan["status"]) == (2, 2, "optimal")


def test_a_part_that_needs_too_deep_a_rip_fits_nothing() -> None:
    """3/8 x 5 out of 3/4 x 5 1/2 is a rip 5 deep."""
    pine = board("pine", ("3/4", "11/2", 96), "7.60")
    thin = shop_of([part("thin", 1, ("3/8", 5, 20), "pine")], [pine], deepest_cut=3)
    (misfit,) = find_misfits(job_of(thin))
    (reason,) = misfit.reasons
    assert reason.limit == "depth"
    assert (reason.needs, reason.leaves) == (Fraction(5), Fraction(3))
    with pytest.raises(ValueError, match="thin"):
        make_plan(job_of(thin), 1, "rail")
    planned(thin | {"saw": thin["saw"] | {"deepest_cut": None}})


@pytest.mark.parametrize(
    ("size", "limit", "needs", "leaves"),
    [
        (("3/4", "43/8", 4), "width", "43/8", "21/4"),
        ((1, 1, 4), "thickness", 1, "3/4"),
        (("3/4", 1, 96), "length", 96, "191/2"),
    ],
)
def test_a_part_that_fits_no_stock_is_named_with_the_measure(
    size: tuple[object, object, object], limit: str, needs: str, leaves: str
) -> None:
    """Squaring leaves 5 1/4 of 5 1/2 and the end trims 95 1/2 of 96."""
    pine = board("pine", ("3/4", "11/2", 96), "7.60")
    (misfit,) = find_misfits(job_of(shop_of([part("end", 1, size, "pine")], [pine])))
    (reason,) = misfit.reasons
    assert (misfit.part, reason.limit) == ("end", limit)
    assert (reason.needs, reason.leaves) == (Fraction(needs), Fraction(leaves))


# -- stock --------------------------------------------------------------------------------------


def test_too_little_of_a_stock_is_told_and_the_rest_is_planned() -> None:
    """Three reclaimed boards give six pieces of 29; two of eight are short, shelves are bought."""
    barn = board("barn", ("7/8", "11/2", 60), 0, buyable=False, on_hand=3)
    pine = board("pine", ("3/4", "11/2", 96), "7.60")
    parts = [
        part("top", 2, ("7/8", 5, 29), "barn"),
        part("shelf", 1, ("3/4", "11/2", 40), "pine"),
    ]
    shop = shop_of(parts, [barn, pine])
    plan = planned(shop, 4)
    assert plan["short"] == [{"part": "top", "count": 2}]
    assert plan["cost"] == 15.2
    assert planned(shop, 3)["short"] == []
    rows = plan_yields(job_of(shop), 4)
    assert [row.boards["barn"] for row in rows] == [1, 2, 3, 4]


def test_boards_that_cannot_be_bought_are_not_free() -> None:
    """Three barn boards of 60 give just the three tops of 40, so that the shelf of 50 is bought."""
    barn = board("barn", ("3/4", "11/2", 60), 0, buyable=False, on_hand=3)
    pine = board("pine", ("3/4", "11/2", 96), "5.48")
    parts = [
        part("top", 3, ("3/4", "11/2", 40), "barn"),
        part("shelf", 1, ("3/4", "11/2", 50), "pine", "barn"),
    ]
    plan = planned(shop_of(parts, [barn, pine]))
    assert (plan["cost"], plan["cost_bound"], plan["status"]) == (5.48, 5.48, "optimal")


def test_boards_on_hand_are_used_before_any_is_bought() -> None:
    """Two of five boards are there; the free reclaimed one is used before those of value."""
    pine = board("pine", ("3/4", "11/2", 96), "7.60", on_hand=2)
    barn = board("barn", ("3/4", "11/2", 96), 0, buyable=False, on_hand=1)
    front = part("front", 1, ("3/4", "11/2", 60), "pine", "barn")
    plan = planned(shop_of([front], [pine, barn]), 6)
    counts = {cut["stock"]: (cut["count"], cut["on_hand"]) for cut in plan["boards"]}
    assert counts == {"pine": (5, 2), "barn": (1, 1)}
    assert (plan["cost"], plan["status"]) == (22.8, "optimal")
    kept = planned(shop_of([front], [pine, barn]), 1)
    assert [cut["stock"] for cut in kept["boards"]] == ["barn"]


def test_no_more_is_taken_from_stock_than_there_is() -> None:
    """Two pieces of 15 7/8 a board: of five boards one is the dearer one on hand, four bought."""
    cheap = board("cheap", ("3/4", "7/2", 48), "2.00")
    dear = board("dear", ("3/4", "7/2", 48), "3.00", on_hand=1)
    pieces = part("end", 9, ("3/4", "7/2", "127/8"), "cheap", "dear")
    plan = planned(shop_of([pieces], [cheap, dear]))
    counts = {cut["stock"]: cut["on_hand"] for cut in plan["boards"]}
    assert counts == {"cheap": 0, "dear": 1}
    assert (plan["cost"], plan["status"]) == (8, "optimal")


def test_a_whole_section_beside_ripped_blanks_counts_in_the_bound() -> None:
    """One cap of the whole section is worth more than a blank as long, and there is one only.

    Three rails and two slats of 46 fill a board and half of another; the cap goes beside the third
    rail. No bound may say that three boards are needed.
    """
    wide, narrow = ("3/4", "11/2", 96), ("3/4", "7/2", 96)
    boards = [board("wide", wide, "0.04"), board("narrow", narrow, "0.11")]
    parts = [
        part("slat", 2, ("3/4", 1, 46), "wide", "narrow"),
        part("rail", 3, ("3/4", "7/2", 46), "wide", "narrow"),
        part("cap", 1, ("3/4", "11/2", 6), "wide"),
    ]
    plan = planned(shop_of(parts, boards, kerf=0, squaring=0, deepest_cut=2))
    assert (plan["cost"], plan["cost_bound"], plan["status"]) == (0.08, 0.08, "optimal")


def test_the_cheapest_mix_of_lengths_is_bought() -> None:
    """Five of 40, two out of a long board at 7.60, one out of a short one.

    At 3.50 five short ones are 17.50 and two long with one short 18.70; at 4.00 20.00 and 19.20.
    """
    long = board("long", ("3/4", "11/2", 96), "7.60")
    front = part("front", 5, ("3/4", "11/2", 40), "long", "short")
    for price, cost in (("3.50", 17.5), ("4.00", 19.2)):
        short = board("short", ("3/4", "11/2", 48), price)
        plan = planned(shop_of([front], [long, short]))
        assert (plan["cost"], plan["status"]) == (cost, "optimal")


# -- edges --------------------------------------------------------------------------------------


def test_nothing_to_cut_is_a_plan() -> None:
    """No units, no parts, or parts of which none are made."""
    pine = board("pine", ("3/4", "11/2", 96), "7.60", on_hand=1)
    none = part("front", 0, ("3/4", "11/2", 40), "pine")
    some = part("front", 1, ("3/4", "11/2", 40), "pine")
    for parts, units in (([none], 3), ([some], 0), ([], 5)):
        plan = planned(shop_of(parts, [pine]), units)
        assert (plan["boards"], plan["cost"], plan["status"]) == ([], 0, "optimal")


@pytest.mark.parametrize("kerf", [0, "1/8"])
def test_a_part_may_be_the_whole_board(kerf: object) -> None:
    """Without end trims a part as large as its board takes all of one each time."""
    pine = board("pine", ("3/4", "11/2", 96), "7.60")
    whole = part("plank", 1, ("3/4", "11/2", 96), "pine")
    sheet = panel("ply", ("1/4", 24, 48), "11.80", grain=True)
    full = part("back", 1, ("1/4", 24, 48), "ply")
    plan = planned(shop_of([whole, full], [pine, sheet], end_trim=0, kerf=kerf), 7)
    assert (plan["cost"], plan["status"]) == (135.8, "optimal")


def test_a_thousand_units_come_with_a_bound() -> None:
    """2,000 fronts, 3,000 ends, 5,000 slats: a plan within two boards of its bound."""
    pine = board("pine", ("3/4", "11/2", 96), "7.60")
    parts = [
        part("front", 2, ("3/4", "11/2", 24), "pine"),
        part("end", 3, ("3/4", "11/2", "41/8"), "pine"),
        part("slat", 5, ("3/4", "3/2", "45/2"), "pine"),
    ]
    plan = planned(shop_of(parts, [pine]), 1000)
    assert plan["cost"] - plan["cost_bound"] <= 2 * 7.6


# -- panels -------------------------------------------------------------------------------------
# Sizes: Beasley, "Algorithms for unconstrained two-dimensional guillotine cutting", J. Opl Res.
# Soc. 36, 1985 (OR-Library gcut1, gcut9); quantities: Cintra, Miyazawa, Wakabayashi, Xavier, Eur.
# J. Opl Res. 191, 2008. The fewest sheets were proved by enumerating all patterns.
SQUARES: dict[str, tuple[int, list[tuple[int, int, int]], int, int]] = {
    "gcut1d": (
        250,
        [
            (167, 184, 90), (114, 118, 75), (167, 152, 71), (83, 140, 13), (70, 86, 39),
            (143, 166, 79), (120, 160, 63), (66, 148, 93), (87, 141, 61), (69, 165, 85),
        ],
        294,
        291,
    ),
    "gcut9d": (
        1000,
        [
            (310, 426, 91), (673, 468, 61), (426, 463, 40), (325, 498, 95), (555, 540, 18),
            (292, 455, 30), (343, 341, 56), (362, 491, 95), (305, 688, 51), (459, 607, 53),
        ],
        131,
        122,
    ),
}  # fmt: skip


def square_sheets(name: str, *, grain: bool) -> Shop:
    """A published set as a shop: length, width and quantity of parts out of square sheets."""
    side, pieces, *_ = SQUARES[name]
    sheet = panel("sheet", (1, side, side), 1, grain=grain)
    parts = [
        part(f"p{n}", often, (1, width, length), "sheet")
        for n, (length, width, often) in enumerate(pieces)
    ]
    return shop_of(parts, [sheet], **PLAIN_SAW)


@pytest.mark.parametrize("grain", [True, False])
@pytest.mark.parametrize("name", SQUARES)
def test_the_fewest_sheets_are_found_and_proved(name: str, grain: bool) -> None:
    """With grain no piece may turn, without it any may."""
    *_, fixed, turned = SQUARES[name]
    fewest = fixed if grain else turned
    plan = planned(square_sheets(name, grain=grain))
    assert (plan["cost"], plan["cost_bound"], plan["status"]) == (fewest, fewest, "optimal")


@pytest.mark.parametrize(("turned", "greatest"), [(False, 56460), (True, 58136)])
def test_the_greatest_value_of_one_sheet(turned: bool, greatest: int) -> None:
    """Sizes and fixed value of gcut1: Beasley 1985 (OR-Library); turned: Cintra et al. 2008.

    A piece is worth its area, and may be had as often as wanted.
    """
    side, pieces, *_ = SQUARES["gcut1d"]
    ways = [Way(n, length, width, turned=False) for n, (length, width, _) in enumerate(pieces)]
    if turned:
        ways += [Way(n, width, length, turned=True) for n, (length, width, _) in enumerate(pieces)]
    table = ValueTable(Guillotine((side, side), ways, [9] * len(pieces), kerf=0))
    table.fill([length * width for length, width, _ in pieces])
    assert table.worth == greatest
