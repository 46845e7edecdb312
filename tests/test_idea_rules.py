"""The rules of Ideas: what is left of a price, how long it may take, the verdict and its reason."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from pytest import approx

from notchbook.planning.model.plan import Blank, CutBoard, Offcut, Piece, Plan, Status, Strip
from notchbook.shop.ideas_ranked import rank_ideas
from notchbook.shop.use_rates import common_use_rates, find_use_rates

from .worked import CHANNEL, TIER, worked

BOARD = {"stock": "pine", "kind": "lumber", "price": 8.0, "pack": 1.0}
BOARD |= {"thickness": 0.75, "width": 3.5, "length": 96.0}
SHEET = {**BOARD, "stock": "ply", "kind": "panel", "thickness": 0.25, "width": 24.0, "length": 48.0}
HOOK = {"stock": "hook", "kind": "hardware", "price": 10.0, "pack": 25.0}
IDEA = {"idea": "shelf", "price": 60.0, "seen_at": "pier shop", "batch": 1.0, "other": 0.0}
CUT = {"idea": "shelf", "stock": "pine", "amount": 6.0}
SIZE = {"thickness": 0.375, "width": 1.0, "length": 16.0}
SEEN = {"project": "shelf", "where": "home store", "price": 40.0, "on": date(2026, 5, 2)}
RATES: dict[str, Any] = {
    "use_lumber": 0.5,
    "use_panel": 0.8,
    "local_factor": 0.45,
    "overhead_rate": 4,
}


def shelf(
    idea: dict[str, Any] | None = None,
    cuts: Any = (),
    seen: Any = (),
    board: dict[str, Any] | None = None,
    tier: dict[str, Any] | None = None,
) -> dict[str, Any]:
    """The row of one idea, worked out in a shop that sells at a fee of 10 % and 1.00 a piece."""
    rows = {
        "Channels": [CHANNEL | {"fee": 0.1, "packaging": 1.0}],
        "Tiers": [TIER | (tier or {})],
        "Stock": [BOARD | (board or {}), SHEET, HOOK],
        "Ideas": [IDEA | (idea or {})],
        "Idea cuts": cuts,
        "Seen prices": seen,
    }
    filled = worked(rows, only=("Ideas", "Idea cuts"), **RATES)
    found: dict[str, Any] = filled.tables["Ideas"].to_dict("records")[0]
    return found | {"cuts": filled.tables["Idea cuts"].to_dict("records")}


def test_a_guess_by_hand() -> None:
    """Seen at 60.00 is 27.00 here, 24.30 after the fee, 23.30 after the bag; then by hand."""
    row = shelf(
        {"stock_1": "pine", "amount_1": 0.25, "stock_2": "hook", "amount_2": 5, "other": 1.3}
    )

    assert row["materials"] == approx(2.00 + 2.00)
    assert row["left"] == approx(23.30 - 4.00 - 1.30)
    assert row["minutes_allowed"] == approx(60 * 18.00 / (30 + 4))
    assert row["verdict"] == "worth it up to 31 minutes"
    assert row["reason"] == (
        "people here pay 27.00, 18.00 is left after material and fees; enough for 31 minutes at"
        " 30.00 an hour"
    )
    assert row["least_price"] == row["per_hour"] == 0


@pytest.mark.parametrize(
    ("minutes", "verdict"), [(30, "worth a closer look"), (45, "borderline"), (70, "leave it")]
)
def test_minutes_decide(minutes: float, verdict: str) -> None:
    """At 30.00 an hour it is worth it, at 15.00 borderline; set-up is shared by the batch."""
    guess = {"minutes": minutes - 2, "setup": 8, "batch": 4, "other": 5.3}
    row = shelf(guess)

    assert row["per_hour"] == approx(18.00 / (minutes / 60) - 4)
    assert row["verdict"] == verdict
    least = shelf({**guess, "price": row["least_price"] / 0.45})
    assert least["per_hour"] == approx(30)


def test_nothing_left_is_left_alone() -> None:
    """Also where no minutes are guessed."""
    row = shelf({"other": 40})

    assert (row["verdict"], row["minutes_allowed"]) == ("leave it", 0)


def test_no_price_seen() -> None:
    """Nothing is said of what is left."""
    row = shelf({"price": None, "seen_at": None, "other": 3, "minutes": 20})

    assert (row["verdict"], row["left"], row["per_hour"]) == ("no price seen", 0, 0)
    assert row["reason"] == "type the price you saw; it takes 3.00"
    assert row["least_price"] == approx((3 + 1 + (30 + 4) / 3) / 0.9)


@pytest.mark.parametrize(
    ("seen", "average"),
    [
        ([SEEN], 50.0),
        ([{**SEEN, "where": "pier shop", "price": 60.0}], 60.0),  # the same one, told twice
        ([{**SEEN, "where": "pier shop"}], 50.0),
        ([{**SEEN, "project": "other"}], 60.0),
    ],
)
def test_prices_seen_count_once(seen: Any, average: float) -> None:
    """That of the row counts beside those of Seen prices, unless it stands there."""
    row = shelf(seen=seen)

    assert row["seen_average"] == approx(average)
    assert row["market"] == approx(average * 0.45)


def test_the_tier_knows_its_place() -> None:
    """The factor is the main tier's, else the idea's, else the shop's."""
    assert shelf({"local_factor": 0.5})["market"] == approx(30)
    assert shelf({"local_factor": 0.5}, tier={"local_factor": 0.4})["market"] == approx(24)


def test_sizes_become_a_share_of_a_board() -> None:
    """Volume over the board's, over the rate by which boards end up in pieces."""
    row = shelf(cuts=[CUT | SIZE])
    share = 6 * (0.375 * 1 * 16) / (0.75 * 3.5 * 96 * 0.5)

    assert row["cuts"][0]["boards"] == approx(share)
    assert row["cuts"][0]["rate_from"] == "common practice"
    assert row["materials"] == approx(share * 8.00)
    planned = {"planned_use": 0.75, "planned_from": "its own plans"}
    assert shelf(cuts=[CUT | SIZE], board=planned)["materials"] == approx(share * 8.00 / 1.5)


@pytest.mark.parametrize(
    ("stock", "thickness", "layers", "of_board"),
    [("pine", 2.25, 3, 2.25), ("ply", 0.25, 1, 0.25), ("ply", 0.6, 3, 0.75), ("pine", 3, 1, 3)],
)
def test_thicker_than_the_stock_is_glued_up(
    stock: str, thickness: float, layers: int, of_board: float
) -> None:
    """A sheet keeps its thickness in each layer; a narrow piece is turned and needs no glue."""
    wide = 0.75 if thickness == 3 else 1.0
    size = {"thickness": thickness, "width": wide, "length": 10.0}
    (cut,) = shelf(cuts=[{**CUT, "stock": stock, "amount": 1.0} | size])["cuts"]
    board = (0.75 * 3.5 * 96 * 0.5) if stock == "pine" else (0.25 * 24 * 48 * 0.8)

    assert cut["layers"] == layers
    assert cut["boards"] == approx(of_board * wide * 10 / board)


def test_lines_without_a_size_count_by_eye() -> None:
    """Half a board and four hooks are just these."""
    row = shelf(cuts=[{**CUT, "amount": 0.5}, {**CUT, "stock": "hook", "amount": 4.0}])

    assert row["materials"] == approx(4.00 + 1.60)


def test_best_first() -> None:
    """By what an hour earns; then by minutes; last what has no price."""
    rows = [
        {**IDEA, "idea": "no price", "price": None},
        {**IDEA, "idea": "long", "minutes": 60.0},
        {**IDEA, "idea": "dear", "price": 90.0},
        {**IDEA, "idea": "cheap", "price": 30.0},
        {**IDEA, "idea": "short", "minutes": 20.0},
    ]
    filled = worked({"Ideas": rows}, only=("Ideas",), **RATES)

    names = [row["idea"] for row in rank_ideas(filled)]
    assert names == ["short", "long", "dear", "cheap", "no price"]


def plan(status: Status) -> Plan:
    """Two boards 1 x 4 x 100, cut alike into two pieces 1 x 2 x 45; 1 x 4 x 50 left of one."""
    pieces = (Piece("rail", "shelf", Fraction(45)),) * 2
    strip = Strip(Fraction(1), Fraction(2), (Fraction(0), Fraction(0)), False, pieces)
    board = CutBoard(
        "pine", 2, 0, Fraction(1), Fraction(4), Fraction(100), (Blank(Fraction(95), (strip,)),)
    )
    left = Offcut("pine", Fraction(1), Fraction(4), Fraction(50), 1)
    return Plan("shelf", 1, status, Fraction(0), Fraction(0), (board,), (), (left,), ())


def test_use_rates_by_hand() -> None:
    """Wood in pieces over wood bought: 360 of 800, or of 600 where the offcut costs nothing."""
    kinds = {"pine": "lumber", "oak": "lumber", "ply": "panel", "hook": "hardware"}
    own, alike = (0.45, "its own plans"), (0.45, "plans of lumber")

    assert find_use_rates([plan("optimal")], kinds, False) == {"pine": own, "oak": alike}
    spared = find_use_rates([plan("optimal")], kinds, spare_offcuts=True)
    assert spared["pine"] == (0.6, "its own plans")
    assert find_use_rates([plan("feasible")], kinds, False) == {}  # only what is proved
    assert set(common_use_rates()) == {"lumber", "panel"}
