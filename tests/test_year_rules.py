"""Sales, goods, the year's form and its estimates, each rule on the fewest rows that show it."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from pytest import approx

from notchbook.sheets.kit.calculate import Filled
from notchbook.sheets.ledgers.months_and_channels import PERSON, people_paid, period_rows
from notchbook.sheets.tax.year_end import basis
from notchbook.tax.forms import categories, figures, form_lines, lines_not_here

from .worked import CHANNEL, TIER, project, value, worked

DAY = date(2026, 6, 1)
SALE = {"date": DAY, "receipt": "1", "project": "thing", "tier": "stall", "kind": "sale"}
SALE |= {"quantity": 1, "price": 20}
ONLINE = {"channel": "web", "fee": 0.1, "fixed_fee": 0.5, "packaging": 0, "postage": 9}
ONLINE |= {"collects_sales_tax": "marketplace"}


def books(sales: Any = (), tables: Any = (), **settings: Any) -> Filled:
    """A shop of one thing with these sales."""
    numbered = [{"receipt": str(n)} | each for n, each in enumerate(sales, 1)]
    rows = {"Projects": [project()], "Sales ledger": numbered} | dict(tables)
    return worked(rows, **settings)


def line(filled: Filled, name: str) -> Any:
    return filled.lines["Year-end", name]


def open_checks(filled: Filled) -> set[str]:
    """The names of the checks that want a look, plans left out."""
    told = {
        name.removesuffix("_state")
        for (sheet, name), state in filled.lines.items()
        if sheet == "Checks" and name.endswith("_state") and state == "look"
    }
    return {name for name in told if not name.endswith("_known") and not name.startswith("stale")}


def made(pieces: int, year: int = 2026) -> dict[str, Any]:
    """So many pieces made on the first day."""
    run_ = {"date": date(year, 1, 1), "project": "thing", "made": pieces, "spoiled": 0}
    return {"Production log": [run_]}


# --- sales -------------------------------------------------------------------------------------


def test_fixed_fee_and_postage_are_estimated_once_a_receipt() -> None:
    """Two lines of one parcel: 10 % of each, the fixed fee and the postage on the first."""
    web = {"Channels": [ONLINE], "Tiers": [TIER | {"channel": "web"}]}
    filled = books([SALE, SALE | {"tier": "STALL", "price": 30, "project": "other"}], web)
    ledger = filled.tables["Sales ledger"]

    assert ledger["fee_taken"].tolist() == approx([2 + 0.5, 3])
    assert ledger["postage_taken"].tolist() == approx([9, 0])


def test_a_returned_deposit_brings_back_no_piece() -> None:
    """10 taken and given back: nothing sold, nothing on the shelf, no materials, 10 of returns."""
    deposit = SALE | {"kind": "deposit", "price": 10, "receipt": "d"}
    back = deposit | {"kind": "return", "quantity": -1, "receipt": "r", "return_of": "d"}
    kept = {"unit_materials": 4, "unit_cost": 9}
    filled = books([deposit | kept, back | kept], stock_method="materials")

    assert line(filled, "returns") == approx(10)
    assert value(filled, "Projects", "sold") == 0
    assert value(filled, "Projects", "finished") == 0
    assert line(filled, "materials_sold") == 0
    assert filled.tables["Sales ledger"]["cost"].tolist() == [0, 0]
    assert open_checks(filled) == set()


@pytest.mark.parametrize(
    ("more", "state"),
    [
        ({}, ""),
        ({"quantity": -2}, "not so sold"),
        ({"date": date(2026, 5, 1)}, "before sale"),
        ({"return_of": "of last year"}, "other receipt"),
        ({"return_of": None}, "no receipt"),
    ],
)
def test_a_return_is_tied_to_its_receipt(more: Any, state: str) -> None:
    """Not more than was sold, not before; a receipt of another year's workbook is a notice."""
    back = SALE | {"kind": "return", "quantity": -1, "receipt": "r", "return_of": "s"}
    filled = books([SALE | {"receipt": "s"}, back | more])

    assert value(filled, "Sales ledger", "state", 1) == state


def test_the_same_line_of_a_receipt_twice() -> None:
    """Several lines a receipt are normal; the same project, tier and kind twice is not."""
    other = SALE | {"project": "other", "receipt": "a"}
    line_a = SALE | {"receipt": "a"}
    ours = {"Projects": [project(), project(project="other")]}

    assert "sales_ledger_rows" not in open_checks(books([line_a, other], ours))
    assert "sales_ledger_rows" in open_checks(books([line_a, other, line_a], ours))
    assert "sales_ledger_rows" not in open_checks(
        books([line_a, line_a | {"kind": "deposit", "ok": "yes"}])
    )


def test_sales_tax_is_due_by_quarter_and_only_where_you_collect_it() -> None:
    """31 March and 1 April part the quarters; a marketplace pays its own on."""
    street = CHANNEL | {"collects_sales_tax": "self"}
    tiers = [TIER, TIER | {"tier": "post", "channel": "web"}]
    sales = [
        SALE | {"date": date(2026, 3, 31), "sales_tax": 1.20},
        SALE | {"date": date(2026, 4, 1), "sales_tax": 2.40},
        SALE | {"date": date(2026, 4, 1), "sales_tax": 7.00, "tier": "post"},
    ]
    filled = books(sales, {"Channels": [street, ONLINE], "Tiers": tiers})

    assert [line(filled, f"tax_{n}") for n in range(1, 5)] == approx([1.20, 2.40, 0, 0])
    assert line(filled, "tax_by_others") == approx(7)
    assert line(filled, "gross_receipts") == approx(60)


def test_a_gift_at_no_price_leaves_the_shelf() -> None:
    """A piece given away for 0: no income, its materials are used."""
    filled = books([SALE | {"price": 0, "unit_materials": 6}], stock_method="materials")

    assert line(filled, "gross_receipts") == 0
    assert value(filled, "Projects", "sold") == 1
    assert line(filled, "materials_sold") == approx(6)


@pytest.mark.parametrize(
    ("day", "month"), [(date(2024, 2, 29), "Feb"), (date(2024, 12, 31), "Dec")]
)
def test_the_leap_day_and_the_last_day(day: date, month: str) -> None:
    """Each falls in its month; months without a sale show nothing."""
    filled = books([SALE | {"date": day}], year=2024)
    months = filled.tables["Months and channels"]
    sales = dict(zip(months["label"], months["sales"], strict=True))

    assert sales[month] == approx(20)
    assert sum(sales[each] for each in ("Jan", "Mar", "Apr", "Nov")) == 0
    assert line(filled, "gross_receipts") == approx(20)


def test_a_return_of_last_years_sale_counts_this_year() -> None:
    """Sold in December, given back in January: this year's returns, no sale of this year."""
    back = SALE | {"kind": "return", "quantity": -1, "date": date(2026, 1, 4), "return_of": "x9"}
    filled = books([back])

    assert line(filled, "returns") == approx(20)
    assert line(filled, "net_receipts") == approx(-20)
    assert open_checks(filled) == set()


def test_totals_by_project_and_tier_stand_beside_months_and_channels() -> None:
    """Every way of adding up gives the sales of the ledger."""
    filled = books([SALE, SALE | {"date": date(2026, 9, 9), "price": 35}])
    months = filled.tables["Months and channels"]

    assert months.groupby("kind")["sales"].sum().to_dict() == approx(
        {"month": 55, "quarter": 55, "channel": 55, "project": 55, "tier": 55, "category": 0}
    )


def test_sell_through_and_days_on_hand() -> None:
    """8 of 10 sold in 151 days: 80 %, and the two left last 37.75 days."""
    run_ = {"date": date(2026, 1, 9), "project": "thing", "made": 10, "spoiled": 0}
    filled = books([SALE | {"quantity": 8}], {"Production log": [run_]}, as_of=date(2026, 5, 31))

    assert value(filled, "Projects", "sell_through") == approx(0.8)
    assert value(filled, "Projects", "days_on_hand") == approx(2 * 151 / 8)


def test_sold_before_it_was_made() -> None:
    """Two sold in March, two made in April: the balance is right, the order is not."""
    made = {"date": date(2026, 4, 1), "project": "thing", "made": 2, "spoiled": 0}
    sold = SALE | {"quantity": 2, "date": date(2026, 3, 1)}

    assert "sold_before_made" in open_checks(books([sold], {"Production log": [made]}))
    sold |= {"date": date(2026, 4, 1)}
    assert "sold_before_made" not in open_checks(books([sold], {"Production log": [made]}))


# --- stock and cost of goods -------------------------------------------------------------------


def goods(method: str, whole: bool = False, **settings: Any) -> Filled:
    """Opening 30, bought 100, 5 pieces of 12 sold, one given back, counted 60.

    The count is whole where the one stock is all there is to count.
    """
    bought = {"date": DAY, "vendor": "v", "what": "w", "category": "materials", "amount": 100}
    counts = [
        {"date": date(2026, 1, 1), "stock": "s", "quantity": 1, "value": 30},
        {"date": date(2026, 12, 31), "stock": "s", "quantity": 1, "value": 60},
    ]
    sold = SALE | {"quantity": 5, "unit_materials": 12, "receipt": "s"}
    back = sold | {"kind": "return", "quantity": -1, "receipt": "r", "return_of": "s"}
    bought |= {"stock": "s", "packs": 10}
    made_ = {"date": date(2026, 1, 2), "project": "thing", "made": 5, "spoiled": 0}
    other = {"stock": "more", "kind": "hardware", "price": 1, "pack": 1}
    tables = {
        "Stock": [{"stock": "s", "kind": "hardware", "price": 12, "pack": 1}, other],
        "Consumables": [{"project": "thing", "stock": "s", "basis": "piece", "amount": 1}],
        "Material takeoff": [{"project": "thing", "stock": "s"}],
        "Purchases": [bought, bought | {"stock": "more", "amount": 0}][: 1 if whole else 2],
        "Production log": [made_],
        "Counts": [*counts, {"date": CLOSE, "project": "thing", "quantity": 1, "value": 14}],
    }
    return books([sold, back], tables, stock_method=method, **settings)


def test_two_stock_methods() -> None:
    """A whole count is the stock at the end by both; else the books, or what was counted, red.

    Opening 1 at 30 and 4 more bought at 10 later: the run took 70, 14 a piece.
    """
    sold, counted = goods("materials"), goods("inventory")

    assert line(sold, "goods_sold") == approx(4 * 14)
    assert line(sold, "closing_stock") == approx(130 - 4 * 14)
    assert line(counted, "closing_stock") == approx(60 + 14)
    assert "closing_stock_uncounted" in open_checks(counted)
    for method in ("materials", "inventory"):
        whole = goods(method, whole=True)
        assert line(whole, "closing_stock") == approx(60 + 14)
        assert line(whole, "stock_gap") == approx(60 + 14 - (130 - 4 * 14))
        assert "closing_stock_uncounted" not in open_checks(whole)


def test_what_was_paid_moves_the_cost_of_goods() -> None:
    """Twice the price of a stock, of goods without a stock, and of a stock that nothing uses."""
    slip = {"date": DAY, "vendor": "v", "what": "w", "category": "materials"}
    stock = {"kind": "hardware", "price": 1, "pack": 1}
    run = {"date": DAY, "project": "thing", "made": 4, "spoiled": 0}

    def cost(knobs: float, odd: float, discs: float) -> Any:
        tables = {
            "Stock": [stock | {"stock": "knob"}, stock | {"stock": "disc"}],
            "Consumables": [{"project": "thing", "stock": "knob", "basis": "piece", "amount": 1}],
            "Material takeoff": [{"project": "thing", "stock": "knob"}],
            "Production log": [run],
            "Purchases": [
                slip | {"amount": knobs, "stock": "knob", "packs": 8},
                slip | {"amount": odd},
                slip | {"amount": discs, "stock": "disc", "packs": 5},
            ],
        }
        return line(books([SALE], tables, stock_method="materials"), "goods_sold")

    assert cost(16, 3, 4) == approx(2 + 3 + 4)
    assert cost(32, 3, 4) == approx(4 + 3 + 4)
    assert cost(16, 6, 8) == approx(2 + 6 + 8)


def test_stock_written_off() -> None:
    """What was wasted is typed on Settings where no whole count says what is left."""
    assert line(goods("materials", written_off=22), "goods_sold") == approx(4 * 14 + 22)
    assert line(goods("inventory", written_off=22), "goods_sold") == approx(130 - 74)
    assert line(goods("materials", whole=True, written_off=22), "goods_sold") == approx(130 - 74)


def test_more_sold_than_there_was() -> None:
    """Stock never falls below nothing, and a check says that slips are missing."""
    filled = books([SALE | {"unit_materials": 12}], stock_method="materials")

    assert line(filled, "closing_stock") == 0
    assert "goods_beyond" in open_checks(filled)


def test_materials_of_today_until_they_are_kept() -> None:
    """A blank is not 0: the piece takes today's materials; a kept 0 stays 0."""
    stock = {"stock": "g", "kind": "hardware", "price": 7, "pack": 1}
    use = {"project": "thing", "stock": "g", "basis": "piece", "amount": 1}
    tables = {"Stock": [stock], "Consumables": [use]}
    sales = [SALE, SALE | {"unit_materials": 0}, SALE | {"unit_materials": 5}]

    assert line(books(sales, tables), "materials_sold") == approx(7 + 0 + 5)


def test_shrinkage_where_the_count_differs() -> None:
    """4 there, 8 bought, 6 used by the log, 5 counted: one is gone, at the average cost of 2.25."""
    stock = {"stock": "hook", "kind": "hardware", "price": 10, "pack": 4}
    tables = {
        "Stock": [stock],
        "Consumables": [{"project": "thing", "stock": "hook", "basis": "piece", "amount": 2}],
        "Material takeoff": [{"project": "thing", "stock": "hook"}],
        "Production log": [{"date": DAY, "project": "thing", "made": 3, "spoiled": 0}],
        "Purchases": [
            {"date": DAY, "vendor": "v", "what": "w", "category": "hardware", "amount": 19}
            | {"stock": "hook", "packs": 2}
        ],
        "Counts": [
            {"date": date(2026, 1, 1), "stock": "hook", "quantity": 4, "value": 8},
            {"date": date(2026, 12, 31), "stock": "hook", "quantity": 5, "value": 11},
        ],
    }
    filled = books((), tables)

    assert value(filled, "Stock", "used") == approx(6)
    assert value(filled, "Stock", "expected") == approx(6)
    assert value(filled, "Stock", "shrinkage") == approx(1)
    assert value(filled, "Stock", "average_cost") == approx(27 / 12)
    assert value(filled, "Stock", "shrinkage_value") == approx(2.25)


HOOK = {"stock": "hook", "kind": "hardware", "price": 10, "pack": 4, "on_hand": 5}
CLOSE = date(2026, 12, 31)


def test_what_is_in_work_is_neither_raw_nor_finished() -> None:
    """5 hooks on the shelf, 2 in pieces begun: 7 counted; a piece begun is no finished one."""
    counts = [
        {"date": CLOSE, "stock": "hook", "quantity": 5, "value": 12.5},
        {"date": CLOSE, "stock": "hook", "stage": "in work", "quantity": 2, "value": 5},
        {"date": CLOSE, "project": "thing", "stage": "in work", "quantity": 3, "value": 9},
        {"date": CLOSE, "project": "thing", "quantity": 0, "value": 0},
    ]
    filled = books((), {"Stock": [HOOK], "Counts": counts}, stock_method="inventory")

    stages = [line(filled, f"closing_{name}") for name in ("raw", "in_work", "finished")]
    assert stages == approx([12.5, 14, 0])
    assert line(filled, "closing_stock") == approx(26.5)
    assert value(filled, "Stock", "counted") == approx(7)
    assert value(filled, "Projects", "counted") == 0
    assert filled.lines["Checks", "on_hand_counted_state"] == "OK"
    assert "counts_rows" not in open_checks(filled)


@pytest.mark.parametrize(
    ("row", "state"),
    [
        ({"stock": "hook", "stage": "finished"}, "other stage"),
        ({"project": "thing", "stage": "raw"}, "other stage"),
        ({"stock": "hook", "project": "thing"}, "stock or project"),
        ({}, "stock or project"),
        ({"stock": "hook", "stage": "raw"}, ""),
        ({"project": "thing", "stage": "finished"}, ""),
    ],
)
def test_states_of_a_count(row: Any, state: str) -> None:
    """A row counts one thing, at a stage that it can be in."""
    count = {"date": CLOSE, "quantity": 1, "value": 1} | row
    filled = books((), {"Stock": [HOOK], "Counts": [count]})

    assert value(filled, "Counts", "state") == state
    assert ("counts_rows" in open_checks(filled)) is bool(state)


def test_on_hand_that_is_not_the_closing_count() -> None:
    """Nothing moves on hand by itself: 5 typed, 4 counted, a notice."""
    count = {"date": CLOSE, "stock": "hook", "quantity": 4, "value": 10}
    filled = books((), {"Stock": [HOOK], "Counts": [count]})

    assert value(filled, "Stock", "on_hand_gap") == approx(1)
    assert filled.lines["Checks", "on_hand_counted_state"] == "notice"


# --- the form ----------------------------------------------------------------------------------


@pytest.mark.parametrize("year", [2023, 2024, 2025, 2026])
def test_the_form_of_each_year(year: int) -> None:
    """Printed numbers are unique, and every category but two belongs to a line."""
    lines = form_lines("us", year)
    numbers = [each.number for each in lines]
    known = {each.name for each in lines}

    assert len(set(numbers)) == len(numbers)
    assert [each.category for each in categories("us") if each.line not in known] == [
        "tools",
        "personal",
    ]
    filled = books([SALE | {"date": date(year, 5, 5)}], made(1, year), year=year)
    assert line(filled, "net_profit") == approx(20)
    assert open_checks(filled) == set()


def test_a_year_beyond_the_tables_is_named() -> None:
    """No figure is guessed, and nothing that a maker could mend is red: one notice names them."""
    day = date(2031, 5, 5)
    drive = {"date": day, "purpose": "to the fair", "miles": 10}
    tool = {"tool": "clamp", "cost": 40, "in_service": day, "tax_method": "expensed"}
    slip = {"date": day, "vendor": "v", "what": "clamp", "category": "tools", "amount": 40}
    slip["tool"] = "clamp"
    rows = {"Mileage": [drive], "Tool depreciation": [tool], "Purchases": [slip]}
    filled = books([SALE | {"date": day}], rows | made(1, 2031), year=2031)

    assert open_checks(filled) == set()
    assert filled.lines["Checks", "year_figures_state"] == "notice"
    assert filled.lines["Checks", "high_income_state"] == "OK"
    assert filled.lines["Checks", "year_figures"] == 9
    assert line(filled, "car") == 0
    assert "line numbers are those of 2026" in basis("us", 2031)
    assert "line numbers" not in basis("us", 2026)


def test_last_years_closing_stock_must_open_this_year() -> None:
    """As filed last year beside the opening count; silent where nothing is typed."""
    count = {"date": date(2026, 1, 1), "stock": "glue", "quantity": 2, "value": 226.43}
    sale = [SALE | {"date": date(2026, 5, 5)}]

    def off(**settings: Any) -> set[str]:
        return open_checks(books(sale, {"Counts": [count]} | made(1), **settings)) & {
            "carried_stock"
        }

    assert off() == set()
    assert off(carried_stock=226.43) == set()
    assert off(carried_stock=324.37) == {"carried_stock"}


@pytest.mark.parametrize("category", [each.category for each in categories("us")])
def test_every_category_lands_on_its_line(category: str) -> None:
    """10 of each: on its line, meals at half, tools and personal nowhere."""
    slip = {"date": DAY, "vendor": "v", "what": "w", "category": category, "amount": 10}
    filled = books((), {"Purchases": [slip]})
    wanted = next(each.line for each in categories("us") if each.category == category)
    landed = {
        each.name: line(filled, each.name)
        for each in form_lines("us", 2026)
        if each.part != "I" and line(filled, each.name) and not each.name.startswith("total")
    }

    share = {"meals": 5.0, "tools": 0, "personal": 0}.get(category, 10.0)
    assert landed.get(wanted, 0) == approx(share)
    assert line(filled, "total_expenses") + line(filled, "goods_available") == approx(share)


@pytest.mark.parametrize(
    ("settings", "claimed"),
    [
        ({"home_use": 700, "home_area": 100}, 700),
        ({"home_area": 120}, 600),
        ({"home_area": 420}, 1_500),
        ({}, 0),
    ],
)
def test_use_of_the_home(settings: Any, claimed: float) -> None:
    """Typed, or 5 a square foot up to 300 (Rev. Proc. 2013-13, from memory)."""
    filled = books([SALE | {"price": 5_000}], **settings)

    assert line(filled, "home") == approx(claimed)
    assert line(filled, "net_profit") == approx(5_000 - claimed)


# --- estimates ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("profit", "year", "earnings", "social", "medicare", "half", "source"),
    [
        (100_000, 2024, 92_350, 11_451.40, 2_678.15, 7_064.78, "course for enrolled agents"),
        (40_000, 2026, 36_940, 4_580.56, 1_071.26, 2_825.91, "the arithmetic of the rates"),
        (200_000, 2026, 184_700, 22_878.00, 5_356.30, 14_117.15, "above the base of 184,500"),
        (433, 2026, 0, 0, 0, 0, "399.88 is below 400"),
        (434, 2026, 400.80, 49.70, 11.62, 30.66, "400.80 is not"),
    ],
)
def test_self_employment_tax(
    profit: float,
    year: int,
    earnings: float,
    social: float,
    medicare: float,
    half: float,
    source: str,
) -> None:
    """92.35 % of the profit, 12.4 % up to the wage base and 2.9 %, half of it deductible."""
    filled = books([SALE | {"price": profit, "date": date(year, 5, 5)}], year=year)
    found = [line(filled, f"se_{name}") for name in ("earnings", "social", "medicare", "half")]

    assert found == approx([earnings, social, medicare, half]), source


def test_payments_have_a_floor_and_a_safe_harbour() -> None:
    """26 U.S.C. 6654: nothing below 1,000 owed; else a quarter of last year's tax is enough.

    After an income above 150,000 it takes 110 %.
    """

    def paid(price: float, **settings: Any) -> tuple[float, float]:
        filled = books([SALE | {"price": price}], **settings)
        return line(filled, "payment"), line(filled, "payment_least")

    assert paid(7_000) == (0, 0)  # 15.3 % of 92.35 % of 7,000 is 989.07
    assert paid(7_100) == approx((1_003.20 / 4, 0), abs=0.01)
    assert paid(7_000, last_year_tax=4_000)[1] == 1_000
    assert paid(40_000, last_year_tax=4_000, last_year_income=150_001)[1] == 1_100


def test_other_wages_use_up_the_wage_base() -> None:
    """180,000 of wages leave 4,500 of 2026's base; wages above it leave nothing."""
    some = books([SALE | {"price": 40_000}], other_wages=180_000)
    all_ = books([SALE | {"price": 40_000}], other_wages=190_000)

    assert line(some, "se_social") == approx(4_500 * 0.124)
    assert line(all_, "se_social") == 0
    assert line(all_, "se_medicare") == approx(1_071.26)


@pytest.mark.parametrize(
    ("profit", "wages", "state"), [(125_000, 0, "OK"), (9_000, 116_001, "notice")]
)
def test_additional_medicare_is_not_passed_over(profit: float, wages: float, state: str) -> None:
    """Above 125,000, the least of its thresholds, a notice says that it is not worked out."""
    filled = books([SALE | {"price": profit}], other_wages=wages)

    assert filled.lines["Checks", "high_income_state"] == state


def test_what_to_set_aside_and_when() -> None:
    """Self-employment tax and a tenth of the rest, in four payments."""
    filled = books([SALE | {"price": 40_000}], income_tax_rate=0.1)

    assert line(filled, "income_tax") == approx(0.1 * (40_000 - 2_825.91))
    assert line(filled, "set_aside") == approx(5_651.82 + 3_717.41)
    assert line(filled, "payment") == approx(9_369.23 / 4, abs=0.005)
    assert [line(filled, f"payment_{n}") for n in (1, 4)] == [
        (day - date(1899, 12, 30)).days for day in (date(2026, 4, 15), date(2027, 1, 15))
    ]


# --- currencies and countries ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("smallest", "expected"), [(1, [67, 200, 200]), (0.001, [66.667, 200, 200])]
)
def test_currencies_without_cents_and_with_three_decimals(
    smallest: float, expected: list[float]
) -> None:
    """Yen are whole, dinars have thousandths: amounts round to what can be paid."""
    press = {"tool": "t", "cost": 1_000, "salvage": 0, "taken_before": 0, "life_years": 5}
    press |= {"tax_method": "straight line", "in_service": date(2026, 9, 1)}
    filled = books((), {"Tool depreciation": [press]}, tax="none", smallest=smallest)
    years = [value(filled, "Tool depreciation", f"year_{n}") for n in range(8)]

    assert years[:3] == approx(expected, abs=smallest / 1_000)
    assert sum(years) == approx(1_000)


def test_without_a_form_by_category() -> None:
    """Income less goods and every category; nothing that only a form knows."""
    slip = {"date": DAY, "vendor": "v", "what": "w", "category": "meals", "amount": 10}
    filled = books([SALE], {"Purchases": [slip]} | made(1), tax="none")

    assert line(filled, "meals") == approx(10)
    assert line(filled, "net_profit") == approx(10)
    assert ("Year-end", "se_tax") not in filled.lines
    assert open_checks(filled) == set()


def test_what_to_fill_in_by_hand_is_listed() -> None:
    """Besides lines of Part II: the head, what is at risk, the vehicle, the list of Part V."""
    numbers = [number for _, number in lines_not_here("us", 2026)]

    assert {"A-J", "32", "43", "44", "45", "46", "47", "48"} <= {*numbers}
    assert len(numbers) == len(set(numbers))
    assert not {*numbers} & {each.number for each in form_lines("us", 2026)}


def test_a_platform_may_report_its_gross_with_sales_tax() -> None:
    """With the tax that passed through it, or without: neither differs; anything else does."""
    sale = SALE | {"price": 40, "sales_tax": 2.4, "postage_charged": 5}
    day = {"channel": "street", "first": date(2026, 1, 1), "last": date(2026, 12, 31)}

    def reported(gross: float) -> tuple[Any, Any, Any]:
        filled = books([sale], {"Statements": [day | {"gross": gross}]})
        gap = line(filled, "reported_gap")
        return filled.lines["Checks", "statements_state"], gap, line(filled, "reported_tax")

    assert reported(45) == ("OK", 0, 0)
    assert reported(47.4) == ("OK", approx(0), 2.4)
    assert reported(50) == ("look", approx(2.6), 2.4)
    assert reported(40) == ("look", -5, 0)


def test_use_tax_is_part_of_the_cost_and_owed_until_paid() -> None:
    """6.00 on boards of 100: 106 of goods, 100 out of the till, 6.00 owed less what was paid."""
    day = date(2026, 3, 3)
    slip = {"date": day, "vendor": "v", "what": "w", "amount": 100.0, "use_tax": 6.0}
    money = {"account": "till", "amount": 500.0, "date": date(2026, 1, 1), "what": "opening"}
    rows = [
        money,
        money | {"what": "use tax paid", "amount": 2.5, "date": day},
        money | {"what": "closing", "amount": 397.5, "date": date(2026, 12, 31)},
    ]
    goods = slip | {"category": "materials", "stock": "glue", "packs": 4.0}
    stock = {"stock": "glue", "kind": "consumable", "price": 3.0, "pack": 1.0, "on_hand": 9.0}
    filled = books([], {"Purchases": [goods], "Money": rows, "Stock": [stock]})

    assert line(filled, "purchases") == 106
    assert (line(filled, "use_tax_due"), line(filled, "use_tax_owed")) == (6, 3.5)
    assert value(filled, "Purchases", "pack_price") == 26.5
    assert filled.lines["Accounts", "gap"] == 0
    for name in ("profit_again", "purchases_by_category", "goods", "money"):
        assert filled.lines["Checks", f"{name}_state"] == "OK", name


def test_people_paid_for_work_are_summed_and_told_from_the_threshold() -> None:
    """26 U.S.C. 6041A: 600 until 2025, 2,000 from 2026; by payee, else by vendor."""
    slip = {"what": "sanding", "category": "contract labor", "payee": None}

    def paid(year: int) -> tuple[dict[str, float], Any]:
        day = {"date": date(year, 3, 3)}
        slips = [
            slip | day | {"vendor": "Ash Help", "amount": 1_500.0},
            slip | day | {"vendor": "cash", "payee": "ash help", "amount": 500.0},
            slip | day | {"vendor": "Jo", "amount": 599.99, "category": "contract labour"},
            slip | day | {"vendor": "yard", "amount": 9_000.0, "category": "materials"},
        ]
        people = people_paid(slips)
        periods = period_rows("us", year, ("street",), ("thing",), ("stall",), people)
        filled = books([], {"Purchases": slips, "Months and channels": periods}, year=year)
        table = filled.tables["Months and channels"]
        persons = table[table["kind"] == PERSON]
        assert filled.lines["Checks", "purchases_by_category"] == 0
        spent = dict(zip(persons["label"], persons["spent"], strict=True))
        return spent, filled.lines["Checks", "people_to_report"]

    assert paid(2026) == ({"ash help": 2_000, "Jo": 599.99}, 1)
    assert paid(2025) == ({"ash help": 2_000, "Jo": 599.99}, 1)
    assert figure_of("contract labor", 2025) == 600
    assert figure_of("contract labor", 2026) == 2_000


def figure_of(table: str, year: int) -> float:
    """The published figure of a table in a year."""
    (found,) = (
        each.value
        for each in figures("us")
        if each.table == table
        and each.first is not None
        and each.last is not None
        and each.first.year <= year <= each.last.year
    )
    return found
