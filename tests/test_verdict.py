"""The verdict knows what people pay: suggested prices, losses, reasons, what spoiled pieces add."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from notchbook.commands.prices import COSTS
from notchbook.sheets.kit.calculate import Filled

from .worked import TIER, project, value, worked

SEEN = {"project": "thing", "where": "home store", "price": 20.0, "on": date(2026, 3, 2)}
PART = {"project": "thing", "part": "side", "make": 1, "stocks": "kit"}
MADE = {"project": "thing", "made": 1, "minutes": 30}
SALE = {"date": date(2026, 4, 4), "project": "thing", "tier": "stall", "kind": "sale"}


def shop(
    cost: float = 10,
    minutes: float = 30,
    seen: float | None = 20,
    tier: dict[str, Any] | None = None,
    thing: dict[str, Any] | None = None,
    asked: float | None = None,
    ledgers: dict[str, Any] | None = None,
    **said: Any,
) -> Filled:
    """One thing of bought material and work, at one tier that follows the market."""
    rows = {
        "Tiers": [TIER | {"follows": "market"} | (tier or {})],
        "Projects": [project() | (thing or {})],
        "Stock": [{"stock": "kit", "kind": "hardware", "price": cost, "pack": 1}],
        "Cut list": [PART],
        "Consumables": [{"project": "thing", "stock": "kit", "basis": "piece", "amount": 1}],
        "Work steps": [{"project": "thing", "step": "all", "setup": 0, "minutes": minutes}],
        "Seen prices": [] if seen is None else [SEEN | {"price": seen}],
        "Pricing tiers": [{"project": "thing", "tier": "stall", "asked": asked}],
        **(ledgers or {}),
    }
    return worked(rows, **({"local_factor": 0.55, "labor_rate": 24} | said))


@pytest.mark.parametrize("labor_rate", [5, 12, 21, 24, 40, 60])
@pytest.mark.parametrize("spoilage", [0, 0.1])
def test_seen_too_cheap_is_skipped_at_any_wage(labor_rate: float, spoilage: float) -> None:
    """Seen at 20.00, paid 11.00 here: nobody pays more because the wage is higher."""
    filled = shop(labor_rate=labor_rate, thing={"spoilage": spoilage})

    assert value(filled, "Pricing tiers", "suggested") == 11
    assert value(filled, "Projects", "verdict") == "skip"
    assert value(filled, "Pricing tiers", "state") == "below break-even"
    assert value(filled, "Projects", "state") == "a price loses"


def test_a_price_that_loses_says_so_beside_the_number() -> None:
    """In money; a suggestion that would lose is told where a better price is asked."""
    for asked, said in ((None, "loses 11.00 a piece"), (8, "loses 14.00 a piece")):
        assert value(shop(asked=asked), "Pricing tiers", "loses") == said
    assert value(shop(asked=40), "Pricing tiers", "loses") == "suggested would lose"
    assert value(shop(cost=1, minutes=6), "Pricing tiers", "loses") == ""


def test_minutes_that_the_cuts_alone_take_are_a_notice_until_the_log_settles_it() -> None:
    """30 typed: 24 at the saw leave a fifth, 25 less; two runs with minutes are what counts."""
    runs = [{"date": date(2026, 3, day), **MADE} for day in (1, 2)]
    found = [
        shop(
            thing={"saw_minutes": minutes},
            ledgers={"Production log": log, "Estimates": [{"project": "thing"}]},
        )
        for minutes, log in ((24, ()), (25, ()), (25, runs))
    ]

    assert [each.lines["Checks", "saw_off"] for each in found] == [0, 1, 0]
    said = shop(
        thing={"saw_minutes": 25, "minutes_ok": "yes"},
        ledgers={"Estimates": [{"project": "thing"}]},
    )
    assert said.lines["Checks", "saw_off"] == 0
    assert found[1].lines["Checks", "saw_off_state"] == "notice"
    assert value(found[0], "Projects", "saw_share") == approx(0.8)


@settings(max_examples=15, deadline=None)
@given(
    seen=st.floats(0.3, 300),
    cost=st.floats(0, 200),
    ending=st.sampled_from([0, 0.5, 0.95]),
    follows=st.sampled_from(["market", "margin"]),
)
def test_no_suggestion_passes_what_people_pay(
    seen: float, cost: float, ending: float, follows: str
) -> None:
    """It ends as wished, or is the market price itself where that is less than one ending."""
    filled = shop(cost=cost, seen=seen, tier={"follows": follows}, ending=ending)
    suggested, market = (value(filled, "Pricing tiers", name) for name in ("suggested", "market"))

    assert 0 < suggested <= market + 1e-6
    ends = suggested - ending
    assert suggested == approx(market) or ends == approx(round(ends), abs=1e-6)


def test_price_asked_below_cost_is_told() -> None:
    """A box at 24.00 that needs 25.33 loses 1.33 on each piece."""
    filled = shop(cost=25.33, minutes=0, seen=None, asked=24)

    assert value(filled, "Pricing tiers", "profit") == approx(-1.33)
    assert value(filled, "Pricing tiers", "state") == "below break-even"


def test_reason_is_money() -> None:
    """What people pay, what it needs, what an hour earns: (11 - 10) / 0.5 hours."""
    filled = shop(cost=10, minutes=30)

    assert value(filled, "Projects", "reason") == (
        "people here pay 11.00, it needs 22.00 to break even; 2.00 an hour"
    )
    asked = shop(cost=10, minutes=30, asked=9.5)
    assert value(asked, "Projects", "reason") == (
        "people here pay 11.00, it needs 22.00 to break even; -1.00 an hour at your 9.50"
    )


@pytest.mark.parametrize(
    ("smallest", "amount", "words"),
    [(0.01, 1234.5, "1234.50"), (0.01, 0.05, "0.05"), (1, 1234.4, "1234"), (0.001, 2.5, "2.500")],
)
def test_amounts_in_sentences_have_the_currency_s_decimals(
    smallest: float, amount: float, words: str
) -> None:
    """Cents, none, or thousandths."""
    filled = shop(seen=None, asked=amount, smallest=smallest)

    assert value(filled, "Projects", "reason").startswith(f"you ask {words}, ")


def test_nothing_seen_asked_or_sold_is_no_verdict() -> None:
    """A suggestion out of cost and margin says nothing about what people pay."""
    assert value(shop(seen=None), "Projects", "verdict") == "no price seen"
    assert value(shop(seen=None, asked=80), "Projects", "verdict") == "worth making"


def sold(*prices: float, discount: float = 0) -> dict[str, list[dict[str, Any]]]:
    """A receipt a price."""
    rows = [
        SALE | {"receipt": str(n), "quantity": 1, "price": price, "discount": discount}
        for n, price in enumerate(prices)
    ]
    return {"Sales ledger": rows}


def test_enough_sales_say_what_people_pay() -> None:
    """Three pieces at 60 on average: the verdict follows them, and says so."""
    few, enough = (shop(seen=None, ledgers=sold(*prices)) for prices in ((50, 70), (50, 70, 60)))

    assert value(few, "Projects", "verdict") == "no price seen"
    assert value(enough, "Projects", "got") == approx(60)
    assert value(enough, "Projects", "reason").startswith("you got 60.00, it needs 22.00")
    assert value(enough, "Pricing tiers", "suggested") == 60


def test_discounts_do_not_pull_the_suggestion_down() -> None:
    """Sixty sales at the suggested price, a tenth off each: the suggestion stays."""
    price = value(shop(seen=None), "Pricing tiers", "suggested")
    filled = shop(seen=None, ledgers=sold(*[price] * 60, discount=price / 10))

    assert value(filled, "Pricing tiers", "suggested") == price


def test_factor_of_the_tier_wins() -> None:
    """What people pay there, else the project's factor, else the shop's."""
    for tier, thing, paid in ((0.9, 0.5, 18), (None, 0.5, 10), (None, None, 11)):
        filled = shop(tier={"local_factor": tier}, thing={"local_factor": thing})

        assert value(filled, "Pricing tiers", "market") == approx(paid)


def test_cost_adds_up_with_spoilage() -> None:
    """A tenth goes wrong: the parts of the cost, and what spoiled pieces add, are the unit cost."""
    filled = shop(thing={"spoilage": 0.1})
    parts = [value(filled, "Projects", column) for column in COSTS.values()]

    assert sum(parts) == approx(value(filled, "Projects", "unit_cost"))
    assert value(filled, "Projects", "spoilage_cost") == approx((10 + 12) / 0.9 - 22)


def test_an_hour_has_one_meaning() -> None:
    """Proceeds less materials, wear and overhead of a good piece, by the hours of a good piece."""
    filled = shop(thing={"spoilage": 0.2}, asked=40, minutes=30, overhead_rate=4)

    assert value(filled, "Pricing tiers", "per_hour") == approx(
        (40 - (10 + 4 * 0.5) / 0.8) / (0.5 / 0.8)
    )


def test_pace_stretches_the_minutes() -> None:
    """Steps that run over by 15 %: so do minutes, labor and what stands on Work steps."""
    plain, slow = shop(), shop(thing={"pace": 1.15})

    for table, column in (("Projects", "minutes"), ("Projects", "labor"), ("Work steps", "labor")):
        assert value(slow, table, column) == approx(1.15 * value(plain, table, column))
