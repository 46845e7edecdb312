"""Money rules of the ledgers and tools, on a few rows each, worked by hand."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from pytest import approx

from notchbook.tax.forms import figures

from .worked import TIER, project, value, worked

DAY = date(2026, 6, 1)
SALE = {"date": DAY, "receipt": "1", "project": "thing", "tier": "stall", "kind": "sale"}
FIGURES = [vars(each) for each in figures("us")]


def books(sales: Any = (), **more: Any) -> Any:
    """A shop of one thing with these sales."""
    rows = {"Projects": [project()], "Sales ledger": sales, "Tax tables": FIGURES}
    return worked(rows | more)


def test_refund_of_a_discounted_sale() -> None:
    """20 less 2 sold and given back: 18 in, 18 out, nothing left."""
    sold = SALE | {"quantity": 1, "price": 20, "discount": 2}
    filled = books([sold, sold | {"kind": "return", "quantity": -1}])

    assert filled.lines["Year-end", "gross_receipts"] == approx(18)
    assert filled.lines["Year-end", "returns"] == approx(18)
    assert filled.tables["Sales ledger"]["gross"].tolist() == approx([18, -18])
    assert value(filled, "Projects", "income") == approx(0)
    assert value(filled, "Projects", "sold") == 0


def test_own_use_is_no_income_and_leaves_the_goods() -> None:
    """A piece kept: no receipt, its materials out of the purchases (Publication 334, line 36)."""
    kept = SALE | {"kind": "own use", "quantity": 2, "price": 30, "unit_materials": 5}
    slip = {"date": DAY, "vendor": "v", "what": "w", "category": "materials", "amount": 100}
    category = {"kind": "category", "label": "materials", "category": "materials"}
    period = {"line": "line 36", "first_month": 1, "months": 12}
    more: Any = {"Purchases": [slip], "Months and channels": [category | period]}
    filled = books([kept], **more)

    assert filled.lines["Year-end", "gross_receipts"] == 0
    assert filled.lines["Year-end", "purchases"] == approx(90)
    assert value(filled, "Projects", "income") == 0


def test_deposit_counts_when_paid_and_moves_no_piece() -> None:
    """A deposit is income on its day; postage and cost come with the piece."""
    filled = books([SALE | {"kind": "deposit", "quantity": 1, "price": 10}])

    assert filled.lines["Year-end", "gross_receipts"] == approx(10)
    assert value(filled, "Projects", "sold") == 0
    assert value(filled, "Sales ledger", "cost") == 0


@pytest.mark.parametrize(
    ("row", "state"),
    [
        (SALE | {"quantity": -1, "price": 20}, "wrong sign"),
        (SALE | {"quantity": 1, "price": 20, "kind": "return"}, "wrong sign"),
        (SALE | {"quantity": 1, "price": None}, "no number"),
        (SALE | {"quantity": 1, "price": 20, "date": date(2025, 12, 31)}, "other year"),
        (SALE | {"quantity": 1, "price": 20, "project": "nothing"}, "no project"),
        (SALE | {"quantity": 1, "price": 20, "tier": "nowhere"}, "no tier"),
        (SALE | {"quantity": 1, "price": 20, "date": date(2026, 12, 31)}, ""),
    ],
)
def test_states_of_a_sale(row: Any, state: str) -> None:
    """What is wrong with a row is said in the row and counted on Checks."""
    filled = books([row])

    assert value(filled, "Sales ledger", "state") == state
    assert filled.lines["Checks", "sales_ledger_rows"] == (1 if state else 0)


def test_a_row_without_a_date_is_named() -> None:
    """It is in no total, so a check says so."""
    filled = books([SALE | {"quantity": 1, "price": 20, "date": None}])

    assert filled.lines["Year-end", "gross_receipts"] == 0
    assert filled.lines["Checks", "sales_ledger_undated"] == 1
    assert filled.lines["Checks", "sales_ledger_undated_state"] == "look"


def test_counts_of_things_ignore_the_tolerance_of_money() -> None:
    """Two bad rows are two bad rows, however wide the tolerance."""
    rows = [SALE | {"quantity": 1, "price": 20, "project": "nothing"}] * 2
    filled = worked({"Projects": [project()], "Sales ledger": rows}, tolerance=5)

    assert filled.lines["Checks", "sales_ledger_rows_state"] == "look"


def tool(**more: Any) -> Any:
    """A tool of 100 in five years."""
    row = {"tool": "t", "cost": 100, "salvage": 0, "taken_before": 0, "life_years": 5}
    row |= {"tax_method": "straight line", "in_service": date(2023, 1, 2)}
    return worked({"Tool depreciation": [row | more], "Tax tables": FIGURES})


def test_never_more_than_is_left_is_taken() -> None:
    """95 of 100 taken before: 5 this year, then nothing."""
    filled = tool(taken_before=95)

    assert [value(filled, "Tool depreciation", f"year_{n}") for n in range(3)] == approx([5, 0, 0])
    assert value(filled, "Tool depreciation", "book_value") == approx(0)


def test_a_blank_business_share_is_the_whole() -> None:
    """As the definitions say where it is left out."""
    filled = tool(business_share=None)

    assert value(filled, "Tool depreciation", "year_0") == approx(20)


def test_half_of_the_meals() -> None:
    """Half is deductible from 2023 (2023 instructions to Schedule C, line 24b)."""
    slip = {"date": DAY, "vendor": "v", "what": "w", "category": "meals", "amount": 31.7}
    category = {"kind": "category", "label": "meals", "category": "meals"}
    period = {"line": "line 24b", "first_month": 1, "months": 12}
    more: Any = {"Purchases": [slip], "Months and channels": [category | period]}

    assert books(**more).lines["Year-end", "meals"] == approx(15.85)


def test_miles_and_slips_of_the_car_do_not_go_together() -> None:
    """The standard rate stands for the real costs (Publication 463, as commonly told)."""
    slip = {"date": DAY, "vendor": "v", "what": "w", "category": "car", "amount": 50}
    drive = {"date": DAY, "purpose": "market", "miles": 10}
    more: Any = {"Purchases": [slip], "Mileage": [drive]}

    assert books(**more).lines["Checks", "car_twice_state"] == "look"


def test_break_even_with_a_fee_on_the_price() -> None:
    """(cost + selling cost) / (1 - fee): 18 + 0.40 + (0.60 + 9.40) / 2 at 10 % is 26."""
    channel = {"channel": "street", "fee": 0.1, "fixed_fee": 0.6, "packaging": 0.4, "postage": 9.4}
    filled = worked(
        {
            "Channels": [channel],
            "Tiers": [TIER | {"least_quantity": 2, "margin": 0.3}],
            "Projects": [project()],
            "Stock": [{"stock": "g", "kind": "hardware", "price": 18, "pack": 1}],
            "Consumables": [{"project": "thing", "stock": "g", "basis": "piece", "amount": 1}],
            "Pricing tiers": [{"project": "thing", "tier": "stall"}],
        },
        ending=0.95,
    )

    assert value(filled, "Pricing tiers", "break_even") == approx(26)
    assert value(filled, "Pricing tiers", "for_margin") == approx(39)
    assert value(filled, "Pricing tiers", "suggested") == approx(39.95)
    assert value(filled, "Pricing tiers", "proceeds") == approx(39.95 * 0.9 - 5.4)


def test_marks_that_fill_the_part_exactly_fit() -> None:
    """Eleven marks of 0.3 over 10.1 with no margin: binary noise is no misfit."""
    part = {"project": "thing", "part": "bar", "make": 1}
    size = {"thickness": 1, "width": 1, "length": 10.1, "stocks": "s"}
    mark = {"project": "thing", "part": "bar", "mark": "hole", "count": 11, "spread": "even"}
    filled = worked(
        {
            "Projects": [project()],
            "Cut list": [part | size],
            "Marks": [mark | {"margin": 0, "along": 0.3}],
        }
    )

    assert value(filled, "Marks", "state") == ""
    assert value(filled, "Marks", "last") + 0.3 == approx(10.1)
