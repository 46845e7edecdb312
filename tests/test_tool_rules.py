"""The traps of depreciation, each on the fewest tools that show it."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from pytest import approx

from notchbook.sheets.kit.calculate import Filled
from notchbook.sheets.tax.tool_depreciation import years_shown
from notchbook.sheets.tax.tool_rows import ToolRow

from .worked import project, value, worked

SALE = {"receipt": "1", "project": "thing", "tier": "stall", "kind": "sale", "quantity": 1}


def tool(method: str = "macrs 7", day: date = date(2026, 3, 3), **more: Any) -> dict[str, Any]:
    """A tool of 1,000."""
    row = {"tool": "t", "cost": 1_000, "salvage": 0, "taken_before": 0, "business_share": 1}
    return row | {"tax_method": method, "in_service": day} | more


def books(*tools: dict[str, Any], sold: float = 0, **settings: Any) -> Filled:
    """A shop that sold so much and owns these tools."""
    named = [each | {"tool": f"tool {n}"} for n, each in enumerate(tools)]
    day = date(settings.get("year", 2026), 5, 5)
    sales = [SALE | {"date": day, "price": sold}] if sold else []
    rows = {"Projects": [project()], "Sales ledger": sales, "Tool depreciation": named}
    return worked(rows, **settings)


def shown(filled: Filled, row: int = 0, years: int = 8) -> list[float]:
    return [value(filled, "Tool depreciation", f"year_{n}", row) for n in range(years)]


def line(filled: Filled, name: str) -> Any:
    return filled.lines["Year-end", name]


# --- conventions -------------------------------------------------------------------------------


def test_the_last_quarter_turns_the_year_to_mid_quarter() -> None:
    """41 of 100 in the last quarter is over 40 %; 40 of 100 is not."""
    spring, fall = tool(cost=590), tool(day=date(2026, 10, 1), cost=410)
    over = books(spring, fall)
    at = books(spring | {"cost": 600}, fall | {"cost": 400})

    assert line(over, "convention_of_year") == "mid-quarter"
    assert shown(over, 0)[0] == approx(147.50)  # quarter 1: 25 % of 590
    assert shown(over, 1)[0] == approx(14.64)  # quarter 4: 3.57 % of 410
    assert line(at, "convention_of_year") == "half-year"


def test_a_convention_stays_once_its_year_is_closed() -> None:
    """A tool of last fall keeps its mid-quarter when the others of that year are sold and gone."""
    kept = tool(day=date(2025, 11, 1), taken_before=35.70, convention="mid-quarter")
    new = tool()
    filled = books(kept, new)

    assert line(filled, "convention_of_year") == "half-year"
    assert shown(filled, 0)[:2] == approx([275.50, 196.80])
    assert shown(filled, 1)[0] == approx(142.90)


def test_selling_a_new_tool_takes_it_out_of_the_test() -> None:
    """Put to work and sold in the same year: no test, no depreciation, all of it a loss."""
    kept = tool(cost=100)
    passing = tool(day=date(2026, 11, 1), disposed=date(2026, 12, 20), disposed_for=900)
    filled = books(kept, passing)

    assert line(filled, "convention_of_year") == "half-year"
    assert shown(filled, 1) == [0] * 8
    assert value(filled, "Tool depreciation", "gain", 1) == approx(-100)


def test_the_test_looks_after_section_179_and_before_bonus() -> None:
    """600 of 1,000 in the fall: section 179 takes it out of the test, bonus leaves it in."""
    spring = tool(cost=400)
    fall = tool("section 179", date(2026, 11, 1), cost=600)
    bonus = tool("bonus", date(2026, 11, 1), cost=600, acquired=date(2026, 10, 1))

    assert line(books(spring, fall, sold=9_999), "convention_of_year") == "half-year"
    assert line(books(spring, bonus), "convention_of_year") == "mid-quarter"


def test_a_past_year_without_its_convention_is_named() -> None:
    """Half-year is taken, and a notice says that it was not typed."""
    filled = books(tool(day=date(2024, 5, 5), taken_before=387.80))

    assert shown(filled)[0] == approx(174.90)
    assert value(filled, "Tool depreciation", "state") == "no convention"
    assert filled.lines["Checks", "conventions_unsaid"] == 1


def test_a_typed_convention_against_the_test_is_named() -> None:
    """This year's tools follow the test; another word beside them wants a look."""
    filled = books(tool(convention="mid-quarter"))

    assert filled.lines["Checks", "tool_depreciation_rows_state"] == "look"


# --- past years and business share -------------------------------------------------------------


def test_a_changed_business_share_acts_from_this_year_on() -> None:
    """Three years at 100 % were filed; this year's 11.52 % counts at 50 %, the past stands."""
    filled = books(
        tool("macrs 5", date(2023, 2, 2), business_share=0.5, taken_before=712)
        | {"convention": "half-year"}
    )

    assert shown(filled)[:4] == approx([57.60, 57.60, 28.80, 0])
    assert value(filled, "Tool depreciation", "taken") == approx(712 + 57.60)
    assert filled.lines["Checks", "tool_depreciation_rows_state"] == "OK"


def test_never_more_than_the_cost() -> None:
    """More filed than the tables say: what is left ends the schedule."""
    filled = books(tool("macrs 5", date(2023, 2, 2), taken_before=950, convention="half-year"))

    assert shown(filled)[:3] == approx([50, 0, 0])


@pytest.mark.parametrize("cost", [99.99, 1_234.57, 0.07])
@pytest.mark.parametrize("method", ["macrs 3", "macrs 5", "macrs 7"])
def test_the_years_add_up_to_the_cost(method: str, cost: float) -> None:
    """Rounded to the cent each year, the last year takes what rounding left."""
    filled = books(tool(method, cost=cost))

    assert sum(shown(filled)) == approx(cost)
    assert value(filled, "Tool depreciation", "later") == 0


# --- section 179 -------------------------------------------------------------------------------


def test_section_179_stops_at_the_profit_and_carries_over() -> None:
    """Profit 600 before it, wages 150: 750 of 1,000 this year, 250 in the next; basis is gone."""
    filled = books(tool("section 179"), sold=600, other_earned=150)

    assert line(filled, "before_179") == approx(600)
    assert line(filled, "taken_179") == approx(750)
    assert line(filled, "depreciation") == approx(750)
    assert line(filled, "carried_out_179") == approx(250)
    assert line(filled, "net_profit") == approx(-150)
    assert shown(filled)[:2] == approx([1_000, 0])


def test_what_was_carried_in_comes_first_to_its_end() -> None:
    """250 carried in and no new tool: taken as far as the profit goes."""
    assert line(books(sold=100, carried_179=250), "depreciation") == approx(100)
    assert line(books(sold=100, carried_179=250), "carried_out_179") == approx(150)
    assert line(books(sold=900, carried_179=250), "depreciation") == approx(250)


def test_a_loss_before_section_179_takes_from_the_wages() -> None:
    """Profit and other earned income count together: 0 sold, 142.90 of a class, wages 500."""
    filled = books(tool("section 179"), tool("macrs 7"), other_earned=500)

    assert line(filled, "taken_179") == approx(500 - 142.90)
    assert line(books(tool("section 179")), "taken_179") == 0


def test_the_home_comes_before_section_179() -> None:
    """The limit sees the use of the home; the home itself never makes a loss."""
    filled = books(tool("section 179"), sold=600, home_use=250)

    assert line(filled, "taken_179") == approx(350)
    assert line(filled, "home") == approx(250)
    assert line(filled, "net_profit") == approx(0)


def test_beyond_the_limit_the_rest_goes_through_its_class() -> None:
    """2023: 2,940,000 chosen against 1,110,000; the rest at 14.29 %."""
    filled = books(tool("section 179", date(2023, 5, 5), cost=2_940_000), year=2023, sold=9e6)

    assert line(filled, "elected_179") == approx(1_110_000)
    assert line(filled, "class_depreciation") == approx(0.1429 * 1_830_000)


def test_a_part_elected_under_section_179() -> None:
    """400 of 1,000 at once, the rest by its class; of last year's tool the class goes on."""
    now = tool("section 179", elected_179=400)
    past = tool("section 179", date(2025, 3, 3), elected_179=400, taken_before=485.74)
    filled = books(now, past | {"convention": "half-year"}, sold=9_999)

    assert line(filled, "wanted_179") == approx(400)
    assert line(filled, "elected_179") == approx(400)
    assert shown(filled, 0)[:2] == approx([400 + 85.74, 146.94])
    assert shown(filled, 1)[:2] == approx([146.94, 104.94])


def test_more_elected_than_the_tool_cost_the_business() -> None:
    """The election ends at the business share of the cost."""
    filled = books(tool("section 179", elected_179=900, business_share=0.6), sold=9_999)

    assert line(filled, "elected_179") == approx(600)


@pytest.mark.parametrize(
    ("method", "share", "check", "notice"),
    [
        ("section 179", 0.5, "look", "OK"),
        ("bonus", 0.5, "look", "OK"),
        ("macrs 5", 0.5, "OK", "notice"),
        ("section 179", 0.51, "OK", "OK"),
        ("macrs 5", 0.51, "OK", "OK"),
        ("straight line", 0.3, "OK", "OK"),
    ],
)
def test_half_or_less_for_the_business(method: str, share: float, check: str, notice: str) -> None:
    """Section 179 and bonus want more than half the use; a class at half or less is told of."""
    filled = books(tool(method, life_years=5, business_share=share), sold=9_999)

    assert filled.lines["Checks", "business_use_state"] == check
    assert filled.lines["Checks", "business_half_state"] == notice


# --- expensed ----------------------------------------------------------------------------------


def test_expensed_tools_are_supplies_and_end_at_the_safe_harbour() -> None:
    """2,500 may be expensed, a cent more may not: a check names the yearly election."""
    filled = books(tool("expensed", cost=2_500), sold=9_999)
    above = books(tool("expensed", cost=2_500.01), sold=9_999)

    assert line(filled, "supplies") == approx(2_500)
    assert line(filled, "depreciation") == 0
    assert filled.lines["Checks", "safe_harbour_state"] == "OK"
    assert above.lines["Checks", "safe_harbour_state"] == "look"


# --- sold --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("convention", "sold", "share"),
    [
        ("half-year", date(2026, 2, 2), 0.5),
        ("half-year", date(2026, 12, 31), 0.5),
        ("mid-quarter", date(2026, 2, 2), 0.125),
        ("mid-quarter", date(2026, 6, 30), 0.375),
        ("mid-quarter", date(2026, 7, 1), 0.625),
        ("mid-quarter", date(2026, 12, 31), 0.875),
    ],
)
def test_the_year_of_sale(convention: str, sold: date, share: float) -> None:
    """Half the year's amount, or by the quarter (J. K. Lasser, Your Income Tax 2013, 43.7)."""
    full = {"half-year": 174.90, "mid-quarter": 153.10}[convention]
    before = {"half-year": 387.80, "mid-quarter": 464.30}[convention]
    filled = books(
        tool(day=date(2024, 2, 2), taken_before=before, convention=convention)
        | {"disposed": sold, "disposed_for": 300}
    )

    assert shown(filled)[:2] == approx([full * share, 0], abs=0.006)
    book = 1_000 - before - full * share
    assert value(filled, "Tool depreciation", "gain") == approx(300 - book, abs=0.006)
    assert value(filled, "Tool depreciation", "book_value") == 0


def test_months_in_use_of_a_sold_tool() -> None:
    """Straight line by months: the month of the sale counts only to its last day."""
    row = tool("straight line", date(2024, 2, 29), life_years=5, taken_before=200 * 23 / 12)
    sold_early = books(row | {"disposed": date(2026, 6, 29)})
    sold_late = books(row | {"disposed": date(2026, 6, 30)})

    assert shown(sold_early)[:2] == approx([200 * 5 / 12, 0], abs=0.005)
    assert shown(sold_late)[:2] == approx([200 * 6 / 12, 0], abs=0.005)


@pytest.mark.parametrize(
    ("convention", "sold", "taken"),
    [
        ("half-year", date(2026, 3, 3), 100),
        ("half-year", date(2024, 9, 9), 0),
        ("mid-quarter", date(2026, 3, 3), 200 * 0.125),
        ("mid-quarter", date(2026, 11, 3), 200 * 0.875),
    ],
)
def test_straight_line_in_the_year_of_sale(convention: str, sold: date, taken: float) -> None:
    """By the convention of the first year: half a year, or from the middle of the quarter."""
    row = tool("straight line", date(2024, 2, 2), life_years=5, convention=convention)
    filled = books(row | {"taken_before": 300, "disposed": sold})

    assert shown(filled)[:2] == approx([taken, 0])


def test_declining_balance_in_the_year_of_sale() -> None:
    """Twice the straight line on 600, for the four months to the end of April."""
    row = tool("declining balance", date(2025, 1, 1), life_years=5, taken_before=400)
    filled = books(row | {"disposed": date(2026, 4, 30), "disposed_for": 500})

    assert shown(filled)[:2] == approx([600 * 0.4 * 4 / 12, 0])
    assert value(filled, "Tool depreciation", "gain") == approx(500 - 520)


def test_an_expensed_tool_sold_later_is_all_gain() -> None:
    """Nothing of it is on the books; the business share of the money is gain."""
    filled = books(
        tool("expensed", date(2023, 1, 1), business_share=0.5)
        | {"disposed": date(2026, 9, 9), "disposed_for": 30}
    )

    assert value(filled, "Tool depreciation", "gain") == approx(15)
    assert line(filled, "tool_gains") == approx(15)


# --- other -------------------------------------------------------------------------------------


def test_acquired_decides_the_bonus() -> None:
    """Ordered by 19 January 2025, delivered later: the old rate of its year."""
    filled = books(
        tool("bonus", date(2025, 3, 3), acquired=date(2025, 1, 19)),
        tool("bonus", date(2025, 3, 3)),
        year=2025,
    )

    assert value(filled, "Tool depreciation", "bonus", 0) == approx(400)
    assert shown(filled, 0)[0] == approx(400 + 0.1429 * 600)
    assert shown(filled, 1)[:2] == approx([1_000, 0])


def test_a_class_by_the_life_in_years() -> None:
    """Bonus and section 179 go on in the class of their life; no class of 10 years is kept here."""
    filled = books(
        tool("bonus", date(2025, 3, 3), acquired=date(2025, 1, 1), life_years=5, taken_before=520)
        | {"convention": "half-year"},
        tool("bonus", life_years=10),
    )

    assert shown(filled, 0)[0] == approx(0.32 * 600)
    assert value(filled, "Tool depreciation", "state", 1) == "no class"


def test_without_a_form_there_are_no_tax_classes() -> None:
    """`tax: none` knows straight line, declining balance, units and at once; others are refused."""
    filled = books(tool("straight line", life_years=5), tax="none")

    assert shown(filled, 0)[0] == approx(200 * 10 / 12, abs=0.005)
    assert "section_179" not in filled.tables["Tool depreciation"]


def test_as_many_years_as_any_tool_needs() -> None:
    """Eight for the classes, more where a life is longer."""
    long = ToolRow(
        **tool("straight line", date(2026, 7, 1), life_years=15)  # half of 2041 is left
    )

    assert years_shown(2026, []) == 8
    assert years_shown(2026, [long]) == 16


def test_a_tool_sold_in_its_first_year_by_months() -> None:
    """Straight line for the months of use, the rest is loss; 29 February to 31 December."""
    filled = books(
        tool("straight line", date(2024, 2, 29), life_years=10, disposed=date(2024, 12, 31))
        | {"disposed_for": 500},
        year=2024,
    )

    assert shown(filled)[0] == approx(100 * 11 / 12, abs=0.005)
    assert value(filled, "Tool depreciation", "gain") == approx(500 - 1_000 + 91.67)


# --- the class that the form asks for ------------------------------------------------------------


def test_a_new_tool_by_life_waits_for_its_class() -> None:
    """Straight line by months is no method of the form for a new tool: line 13 is without it.

    Publication 946, chapter 4: the class of the property, by its convention. With its class the
    form gets the percentages, whatever the books do; past years go on as they were filed.
    """
    by_life = tool("straight line", life_years=5)
    asked, told = books(by_life), books(by_life | {"class_for_form": "macrs 7"})
    past = books(tool("straight line", date(2025, 1, 2), life_years=5, taken_before=200))

    assert value(asked, "Tool depreciation", "state") == "no class of the form"
    assert asked.lines["Checks", "tool_depreciation_rows_state"] == "look"
    assert line(asked, "depreciation") == 0
    assert shown(asked)[0] == approx(200 * 10 / 12, abs=0.005)
    assert value(told, "Tool depreciation", "state") == ""
    assert line(told, "depreciation") == approx(142.90)
    assert value(past, "Tool depreciation", "state") == ""
    assert line(past, "depreciation") == approx(200)
