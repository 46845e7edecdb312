"""Published examples of a year's books, in pandas and through the workbook's own formulas."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from pytest import approx

from notchbook.sheets.moving_average import moving_averages

from .engine_cases import Example, Examples, by_pandas
from .worked import project, worked

PUB_334 = "IRS Publication 334"
OPENSTAX = "OpenStax, Principles of Accounting 1 and 2"
DAY = date(2026, 6, 1)
FIRST, LAST = date(2026, 1, 1), date(2026, 12, 31)


def sale(quantity: float, price: float = 1, **more: Any) -> dict[str, Any]:
    row = {"date": DAY, "project": "thing", "tier": "stall", "kind": "sale"}
    return row | {"receipt": str(quantity), "quantity": quantity, "price": price} | more


def slip(amount: float, category: str = "materials", **more: Any) -> dict[str, Any]:
    row = {"date": DAY, "vendor": "v", "what": "w", "category": category}
    return row | {"amount": amount} | more


def counted(opening: float, closing: float, stock: str = "s") -> list[dict[str, Any]]:
    row = {"stock": stock, "quantity": 1}
    return [row | {"date": FIRST, "value": opening}, row | {"date": LAST, "value": closing}]


EXAMPLES = Examples(
    {
        "income statement": Example(
            f"{PUB_334}, chapter 7: gross profit 96,920 from returns, stock and withdrawals",
            {
                "Projects": [project()],
                "Sales ledger": [
                    sale(400_000),
                    sale(-14_940, kind="return"),
                    sale(1, 0, kind="own use", unit_materials=2_650),
                ],
                "Purchases": [slip(285_900)],
                "Counts": counted(37_845, 32_955),
            },
            {
                ("Year-end", "gross_receipts"): 400_000,
                ("Year-end", "returns"): 14_940,
                ("Year-end", "net_receipts"): 385_060,
                ("Year-end", "opening_stock"): 37_845,
                ("Year-end", "purchases"): 283_250,
                ("Year-end", "goods_available"): 321_095,
                ("Year-end", "closing_stock"): 32_955,
                ("Year-end", "goods_sold"): 288_140,
                ("Year-end", "gross_profit"): 96_920,
            },
        ),
        "gross profit test": Example(
            f"{PUB_334}, testing the gross profit: 300,000 less 200,000 is a third",
            {
                "Projects": [project()],
                "Sales ledger": [sale(300_000)],
                "Purchases": [slip(200_000)],
            },
            {("Year-end", "gross_profit"): 100_000, ("Year-end", "goods_sold"): 200_000},
        ),
        "sample return": Example(
            f"{PUB_334}, the sample return of a clothing shop: lines 1, 2, 3 and 35",
            {
                "Projects": [project()],
                "Sales ledger": [sale(397_742), sale(-1_442, kind="return")],
                "Counts": counted(42_843, 0),
            },
            {
                ("Year-end", "gross_receipts"): 397_742,
                ("Year-end", "returns"): 1_442,
                ("Year-end", "net_receipts"): 396_300,
                ("Year-end", "opening_stock"): 42_843,
            },
        ),
        "self-employment": Example(
            "course for enrolled agents: 100,000 in 2024 gives 11,451 + 2,678 = 14,129; half 7,065",
            {
                "Projects": [project()],
                "Sales ledger": [sale(100_000, date=date(2024, 6, 1))],
            },
            {
                ("Year-end", "se_earnings"): 92_350,
                ("Year-end", "se_social"): 11_451.40,
                ("Year-end", "se_medicare"): 2_678.15,
                ("Year-end", "se_tax"): 14_129.55,
                ("Year-end", "se_half"): 7_064.78,
            },
            settings={"year": 2024},
        ),
        "materials, meals and miles": Example(
            f"{OPENSTAX}: 2,500 + 10,500 - 11,600 = 1,400 used; GPS trackers at 27.62 on average;"
            " consignment of 15,000 with a third kept. 2023 instructions to Schedule C: meals at"
            " half. Notice 2026-10: 72.5 cents a mile",
            {
                "Projects": [project()],
                "Stock": [{"stock": "tracker", "kind": "hardware", "price": 33, "pack": 1}],
                "Consumables": [
                    {"project": "thing", "stock": "tracker", "basis": "piece", "amount": 1}
                ],
                "Material takeoff": [{"project": "thing", "stock": "tracker"}],
                "Production log": [
                    {"date": DAY, "project": "thing", "made": 120, "spoiled": 0},
                    {"date": DAY, "project": "thing", "made": 180, "spoiled": 0},
                ],
                "Sales ledger": [sale(1, 15_000, fee=5_000)],
                "Purchases": [
                    slip(225 * 27, "other", stock="tracker", packs=225),
                    slip(210 * 33, "other", stock="tracker", packs=210),
                    slip(10_500),
                    slip(31.70, "meals"),
                ],
                "Counts": [
                    {"date": FIRST, "stock": "tracker", "quantity": 150, "value": 3_150},
                    {"date": LAST, "stock": "tracker", "quantity": 285, "value": 0},
                    *counted(2_500 - 3_150, 11_600),
                ],
                "Mileage": [{"date": DAY, "purpose": "market", "miles": 100}],
            },
            {
                ("Year-end", "used_by_count"): 1_400,
                ("Year-end", "meals"): 15.85,
                ("Year-end", "car"): 72.50,
                ("Year-end", "commissions"): 5_000,
                ("Sales ledger", "net", 0): 10_000,
                ("Stock", "average_cost", 0): 27.6154,
                ("Stock", "expected", 0): 285,
                ("Stock", "shrinkage", 0): 0,
            },
        ),
        "a simple use of materials": Example(
            f"{OPENSTAX}, m68125: 400 + 1,000 - 500 = 900",
            {"Purchases": [slip(1_000)], "Counts": counted(400, 500)},
            {("Year-end", "goods_sold"): 900, ("Year-end", "used_by_count"): 900},
        ),
    }
)


@pytest.mark.parametrize("engine", ["pandas", "calc"])
@pytest.mark.parametrize("name", EXAMPLES)
def test_published_years(name: str, engine: str) -> None:
    """Both pandas and LibreOffice find what the publication prints."""
    one = EXAMPLES[name]
    found = by_pandas(one) if engine == "pandas" else EXAMPLES.by_libreoffice(name)

    assert found == {
        place: approx(value, abs=one.within) for place, value in one.expected.items()
    }, one.source


def test_moving_average_by_the_ledgers() -> None:
    """GPS trackers by their dates: 26.29 after the second purchase, 31.24 at the end (m67891)."""

    def day(number: int) -> date:
        return date(2026, 7, number)

    bought = {"stock": "tracker"}
    filled = worked(
        {
            "Projects": [project()],
            "Stock": [{"stock": "tracker", "kind": "hardware", "price": 33, "pack": 1}],
            "Consumables": [
                {"project": "thing", "stock": "tracker", "basis": "piece", "amount": 1}
            ],
            "Material takeoff": [{"project": "thing", "stock": "tracker"}],
            "Counts": [{"date": FIRST, "stock": "tracker", "quantity": 150, "value": 3_150}],
            "Production log": [
                {"date": day(5), "project": "thing", "made": 120, "spoiled": 0},
                {"date": day(15), "project": "thing", "made": 180, "spoiled": 0},
            ],
            "Purchases": [
                slip(210 * 33, date=day(25), packs=210, **bought),
                slip(225 * 27, date=day(10), packs=225, **bought),
            ],
        }
    )
    year = [float(filled.lines["Settings", name]) for name in ("year_start", "year_end")]

    assert moving_averages(filled.tables, *year) == [approx(8_902.06 / 285, abs=0.0001)]
