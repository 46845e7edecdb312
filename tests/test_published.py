"""The sheets' own rules against published figures, each with its source beside it."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from pytest import approx

from notchbook.tax.forms import figures, form_lines

from .worked import TIER, project, value, worked

NAVY = "US Navy, Engineering Aid Basic, lumber measurement"
DANFORTH = "G. W. Danforth, Mechanical Processes, lumber measurement"
OPENSTAX = "OpenStax, Principles of Accounting, volumes 1 and 2"
TABLE_A8 = "IRS Publication 946, table A-8 (straight line, half-year)"
PUB_334 = "IRS Publication 334, chapter 7, the sample income statement"


# --- board feet, by nominal size ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("thickness", "width", "feet", "expected", "source"),
    [
        (2, 4, 14, 28 / 3, f"{NAVY}: 2 x 4 x 14 / 12"),
        (0.5, 8, 12, 8, f"{DANFORTH}: 12 pieces make 96, half an inch counts as one"),
        (1.5, 6, 16, 12, f"{DANFORTH}: 80 pieces make 960"),
        (2, 6, 16, 16, f"{DANFORTH}: 40 pieces, the product of its inputs"),
        (1, 12, 14, 14, f"{DANFORTH}: 30 pieces, the product of its inputs"),
    ],
)
def test_board_feet(
    thickness: float, width: float, feet: int, expected: float, source: str
) -> None:
    """Stock counts board feet by the nominal size, not by the dressed one."""
    stock = {
        "stock": "board",
        "kind": "lumber",
        "nominal_thickness": thickness,
        "nominal_width": width,
        "thickness": thickness - 0.25,
        "width": width - 0.5,
        "length": feet * 12,
        "price": 10,
        "pack": 1,
    }
    filled = worked({"Stock": [stock]})

    assert value(filled, "Stock", "board_measure") == approx(expected), source
    assert value(filled, "Stock", "per_measure") == approx(10 / expected)


def test_bill_of_board_feet() -> None:
    """Danforth's bill of 12 pieces 1/2 x 8 x 12 ft is 96 board feet on the cut list."""
    parts = [
        {"project": "thing", "part": "a", "make": 12, "thickness": 0.5, "width": 8, "length": 144}
    ]
    filled = worked({"Projects": [project()], "Cut list": parts})

    assert value(filled, "Cut list", "board_measure") == approx(96)
    assert value(filled, "Cut list", "run") == approx(144)


# --- coverage of finishes ----------------------------------------------------------------------


def test_coverage() -> None:
    """166.8 ft2 a gallon (1604 x 52 % solids x 30 % efficiency / 1.5 mil: PaintCenter, Oct 2003).

    A panel whose one face measures as much takes one gallon for a coat, two for two.
    """
    covers = 1604 * 0.52 * 0.30 / 1.5
    assert covers == approx(167, abs=0.5)
    paint = {"stock": "paint", "kind": "consumable", "price": 40, "pack": 1}
    face = {
        "project": "thing",
        "part": "face",
        "make": 1,
        "thickness": 0.5,
        "width": 144 * covers / 96,
    }
    use = {"project": "thing", "stock": "paint", "basis": "area", "amount": 2, "part": "face"}
    filled = worked(
        {
            "Projects": [project()],
            "Stock": [paint | {"covers": covers, "covers_per": 1}],
            "Cut list": [face | {"width": 144 * covers / 96, "length": 96}],
            "Consumables": [use | {"faces": 1}],
        }
    )

    assert value(filled, "Consumables", "unit_amount") == approx(2)
    assert value(filled, "Consumables", "cost") == approx(80)


# --- pricing -----------------------------------------------------------------------------------


def priced(cost: float, asked: float | None = None, margin: float = 0.5, **tier: Any) -> Any:
    """A thing that costs so much, at a tier that wants a margin."""
    stock = {"stock": "goods", "kind": "hardware", "price": cost, "pack": 1}
    use = {"project": "thing", "stock": "goods", "basis": "piece", "amount": 1}
    return worked(
        {
            "Projects": [project()],
            "Stock": [stock],
            "Consumables": [use],
            "Tiers": [TIER | {"margin": margin} | tier],
            "Pricing tiers": [{"project": "thing", "tier": "stall", "asked": asked}],
        }
    )


@pytest.mark.parametrize(
    ("cost", "margin", "price", "source"),
    [
        (10, 0.5, 20, "keystone: Monash University marketing dictionary"),
        (37.5, 0.5, 75, "keystone: a retail mathematics quiz"),
        (8, 1 / 6, 9.6, f"{OPENSTAX}, m68079: variable cost plus 20 %"),
        (9, 1 / 6, 10.8, f"{OPENSTAX}, m68079: full cost plus 20 %"),
    ],
)
def test_price_for_a_margin(cost: float, margin: float, price: float, source: str) -> None:
    """price = cost / (1 - margin), and markup = margin / (1 - margin)."""
    filled = priced(cost, margin=margin)

    assert value(filled, "Pricing tiers", "for_margin") == approx(price), source
    asked = priced(cost, asked=price, margin=margin)
    assert value(asked, "Pricing tiers", "margin") == approx(margin)
    assert value(asked, "Pricing tiers", "markup") == approx(margin / (1 - margin))


def test_margin_and_markup() -> None:
    """A shirt of 15 that costs 10: 33.33 % of the price, 50 % of the cost (OpenStax m68115)."""
    filled = priced(10, asked=15)

    assert value(filled, "Pricing tiers", "profit") == approx(5)
    assert value(filled, "Pricing tiers", "margin") == approx(1 / 3)
    assert value(filled, "Pricing tiers", "markup") == approx(0.5)


@pytest.mark.parametrize(
    ("batch", "profit"),
    [(225, 0), (175, -4000), (300, 6000), (425, 16000)],
)
def test_break_even(batch: int, profit: float) -> None:
    """Price 100, variable cost 20, fixed 18,000: break-even at 225 pieces (OpenStax m68116).

    The fixed cost is set-up that a batch shares.
    """
    filled = worked(
        {
            "Projects": [project(batch)],
            "Stock": [{"stock": "stone", "kind": "hardware", "price": 20, "pack": 1}],
            "Consumables": [{"project": "thing", "stock": "stone", "basis": "piece", "amount": 1}],
            "Work steps": [{"project": "thing", "step": "fixed", "setup": 18_000, "minutes": 0}],
            "Pricing tiers": [{"project": "thing", "tier": "stall", "asked": 100}],
        },
        labor_rate=60,
    )

    assert value(filled, "Pricing tiers", "profit") * batch == approx(profit, abs=1e-6)


def test_job_cost_sheet() -> None:
    """Job MAC001: materials 700, labor 66, overhead 250 % of labor: 931 (OpenStax m68005)."""
    materials = {"vinyl": 300, "black": 100, "red": 60, "gold": 60, "grommets": 120, "framing": 60}
    filled = worked(
        {
            "Projects": [project()],
            "Stock": [
                {"stock": name, "kind": "hardware", "price": cost, "pack": 1}
                for name, cost in materials.items()
            ],
            "Consumables": [
                {"project": "thing", "stock": name, "basis": "piece", "amount": 1}
                for name in materials
            ],
            "Work steps": [
                {"project": "thing", "step": step, "setup": 0, "minutes": minutes}
                for step, minutes in (("print", 15), ("grommets", 15), ("frame", 36))
            ],
            "Pricing tiers": [{"project": "thing", "tier": "stall", "asked": 2000}],
        },
        labor_rate=60,
        overhead_rate=150,
    )

    assert value(filled, "Projects", "hardware") == approx(700)
    assert value(filled, "Projects", "labor") == approx(66)
    assert value(filled, "Projects", "overhead") == approx(165)
    assert value(filled, "Projects", "unit_cost") == approx(931)
    assert value(filled, "Pricing tiers", "profit") == approx(1069)


# --- depreciation ------------------------------------------------------------------------------


def tool(**more: Any) -> Any:
    """A tool worked out."""
    row = {"tool": "press", "business_share": 1, "salvage": 0, "taken_before": 0}
    figures_of_us = [vars(each) for each in figures("us")]
    tools = [row | {"in_service": date(2026, 1, 2)} | more]
    return worked({"Tool depreciation": tools, "Tax tables": figures_of_us})


@pytest.mark.parametrize(
    ("cost", "salvage", "uses", "done", "expense", "source"),
    [
        (58_000, 10_000, 960_000, 180_000, 9_000, "the press, year 1"),
        (58_000, 10_000, 960_000, 210_000, 10_500, "the press, year 3"),
        (10_000, 1_000, 100_000, 30_000, 2_700, "the machine, year 2"),
        (15_000, 3_000, 120_000, 23_000, 2_300, "the truck"),
        (25_000, 6_000, 125_000, 26_000, 3_952, "the other truck"),
    ],
)
def test_wear_of_a_use(
    cost: float, salvage: float, uses: int, done: int, expense: float, source: str
) -> None:
    """Units of use: (cost - salvage) / expected uses (OpenStax volume 1, chapter 11)."""
    filled = tool(
        cost=cost, salvage=salvage, wear="per use", expected_uses=uses, tax_method="expensed"
    )

    assert value(filled, "Tool depreciation", "wear_use") * done == approx(expense), source


def years(filled: Any) -> list[float]:
    """The schedule of the first tool."""
    return [value(filled, "Tool depreciation", f"year_{n}") for n in range(8)]


@pytest.mark.parametrize(
    ("in_service", "schedule"),
    [
        (date(2026, 1, 2), [9_600] * 5 + [0] * 3),
        (date(2026, 4, 1), [7_200] + [9_600] * 4 + [2_400, 0, 0]),
    ],
)
def test_straight_line(in_service: date, schedule: list[float]) -> None:
    """Cost 58,000, salvage 10,000, five years; begun in month 4: 7,200 first (OpenStax 11.3)."""
    filled = tool(
        cost=58_000,
        salvage=10_000,
        life_years=5,
        tax_method="straight line",
        in_service=in_service,
    )

    assert years(filled) == approx(schedule)
    assert filled.above["Tool depreciation", "year_3"] == 2029


@pytest.mark.parametrize(
    ("life", "percents"),
    [
        (3, [16.67, 33.33, 33.33, 16.67, 0, 0, 0, 0]),
        (5, [10, 20, 20, 20, 20, 10, 0, 0]),
        (7, [7.14, 14.29, 14.29, 14.29, 14.29, 14.29, 14.29, 7.14]),
    ],
)
def test_straight_line_by_half_years(life: int, percents: list[float]) -> None:
    """Half a year in the first year and in the one after the last (Publication 946, table A-8)."""
    filled = tool(
        cost=10_000,
        life_years=life,
        tax_method="straight line",
        convention="half-year",
        in_service=date(2026, 9, 9),
    )

    assert years(filled) == approx([100 * each for each in percents], abs=1), TABLE_A8


def test_expensed_at_once() -> None:
    """An expensed tool is written off in its first year, by its business share."""
    filled = tool(cost=480, business_share=0.75, tax_method="expensed")

    assert years(filled) == approx([360, 0, 0, 0, 0, 0, 0, 0])
    assert filled.lines["Year-end", "supplies"] == approx(360)
    assert filled.lines["Year-end", "depreciation"] == 0


# --- the year ----------------------------------------------------------------------------------


def test_profit_summary() -> None:
    """Publication 334, chapter 7: gross profit 96,920 from returns, stock and withdrawals."""
    day = date(2026, 6, 1)
    sale = {"date": day, "receipt": "1", "project": "thing", "tier": "stall", "price": 1}
    bought = {"date": day, "vendor": "v", "what": "w", "category": "materials"}
    filled = worked(
        {
            "Projects": [project()],
            "Sales ledger": [
                sale | {"kind": "sale", "quantity": 400_000},
                sale | {"kind": "return", "quantity": -14_940},
            ],
            "Purchases": [bought | {"amount": 285_900}, bought | {"amount": -2_650}],
            "Counts": [
                {"date": date(2026, 1, 1), "stock": "s", "quantity": 1, "value": 37_845},
                {"date": date(2026, 12, 31), "stock": "s", "quantity": 1, "value": 32_955},
            ],
            "Months and channels": [
                {"kind": "category", "label": "materials", "category": "materials"}
                | {"line": "line 36", "first_month": 1, "months": 12}
            ],
        }
    )
    found = {
        name: filled.lines["Year-end", name]
        for name in ("gross_receipts", "returns", "net_receipts", "goods_sold", "gross_profit")
    }

    assert found == approx(
        {
            "gross_receipts": 400_000,
            "returns": 14_940,
            "net_receipts": 385_060,
            "goods_sold": 288_140,
            "gross_profit": 96_920,
        }
    ), PUB_334
    assert filled.lines["Year-end", "gross_profit"] == approx(96_920)


@pytest.mark.parametrize(
    ("day", "rate", "source"),
    [
        (date(2023, 6, 1), 0.655, "2023 instructions to Schedule C"),
        (date(2024, 12, 31), 0.67, "as told with Notice 2025-5"),
        (date(2025, 1, 1), 0.70, "IRS Notice 2025-5"),
        (date(2026, 7, 4), 0.725, "IRS Notice 2026-10"),
    ],
)
def test_mileage_rate_of_the_day(day: date, rate: float, source: str) -> None:
    """The standard rate follows the day of the drive."""
    filled = worked(
        {
            "Mileage": [{"date": day, "purpose": "market", "miles": 100}],
            "Tax tables": [vars(each) for each in figures("us")],
        },
        year=day.year,
    )

    assert value(filled, "Mileage", "amount") == approx(100 * rate), source
    assert filled.lines["Year-end", "car"] == approx(100 * rate)


@pytest.mark.parametrize(
    ("year", "number"),
    [(2023, "27a"), (2025, "27b")],
)
def test_line_of_other_expenses_moves(year: int, number: str) -> None:
    """27a in 2023 (IRS on Form 1040-SS filers), 27b in 2025 (published notes on that form)."""
    lines = {each.name: each.number for each in form_lines("us", year)}

    assert lines["other_expenses"] == number
