"""Published examples of a year's books, in pandas and through the workbook's own formulas."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from pytest import approx

from .engine_cases import Example, Examples, by_pandas
from .worked import project

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


def staged(stage: str | None, opening: float, closing: float) -> list[dict[str, Any]]:
    row = {"project": "thing", "stage": stage, "quantity": 1}
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
                    sale(1, 0, kind="own use", unit_materials=2_650, date=FIRST),
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
            f"{OPENSTAX}: 2,500 + 10,500 - 11,600 = 1,400 used; consignment of 15,000 with a third"
            " kept. 2023 instructions to Schedule C: meals at half, 65.5 cents a mile; 67, 70 and"
            " 72.5 after it (Notices 2024-08, 2025-5 and 2026-10)",
            {
                "Projects": [project()],
                "Sales ledger": [sale(1, 15_000, fee=5_000)],
                "Purchases": [
                    slip(10_500),
                    slip(31.70, "meals"),
                ],
                "Counts": counted(2_500, 11_600),
                "Mileage": [
                    {"date": date(year, 6, 1), "purpose": "market", "miles": 100}
                    for year in (2023, 2024, 2025, 2026)
                ],
            },
            {
                ("Year-end", "used_by_count"): 1_400,
                ("Year-end", "meals"): 15.85,
                ("Year-end", "car"): 72.50,
                ("Year-end", "commissions"): 5_000,
                ("Sales ledger", "net", 0): 10_000,
                ("Mileage", "rate", 0): 0.655,
                ("Mileage", "rate", 1): 0.67,
                ("Mileage", "rate", 2): 0.70,
                ("Mileage", "rate", 3): 0.725,
            },
        ),
        "moving average": Example(
            f"{OPENSTAX}, m67890 and m67891: GPS trackers, 27.62 each on average, cost of goods"
            " 7,253, 8,902 left at 31.24 each as the average moves, gross profit 4,087",
            {
                "Projects": [project()],
                "Stock": [{"stock": "tracker", "kind": "hardware", "price": 33, "pack": 1}],
                "Consumables": [
                    {"project": "thing", "stock": "tracker", "basis": "piece", "amount": 1}
                ],
                "Material takeoff": [{"project": "thing", "stock": "tracker"}],
                "Production log": [
                    {"date": date(2026, 7, 5), "project": "thing", "made": 120, "spoiled": 0},
                    {"date": date(2026, 7, 15), "project": "thing", "made": 180, "spoiled": 0},
                ],
                "Sales ledger": [
                    sale(120, 36, date=date(2026, 7, 5)),
                    sale(180, 39, date=date(2026, 7, 15)),
                ],
                "Purchases": [
                    slip(210 * 33, stock="tracker", packs=210, date=date(2026, 7, 25)),
                    slip(225 * 27, stock="tracker", packs=225, date=date(2026, 7, 10)),
                ],
                "Counts": [{"date": FIRST, "stock": "tracker", "quantity": 150, "value": 3_150}],
            },
            {
                ("Year-end", "goods_available"): 16_155,
                ("Year-end", "materials_sold"): 7_252.94,
                ("Year-end", "closing_stock"): 8_902.06,
                ("Year-end", "goods_sold"): 7_252.94,
                ("Year-end", "gross_profit"): 11_340 - 7_252.94,
                ("Sales ledger", "books_cost", 0): 21,
                ("Sales ledger", "books_cost", 1): 4_732.94 / 180,
                ("Stock", "moving_average", 0): 8_902.06 / 285,
                ("Stock", "average_cost", 0): 27.6154,
                ("Stock", "expected", 0): 285,
                ("Stock", "books_value", 0): 8_902.06,
            },
            settings={"stock_method": "materials"},
        ),
        "a simple use of materials": Example(
            f"{OPENSTAX}, m68125: 400 + 1,000 - 500 = 900; the rates of IRS Topic 554 on a profit"
            " of 40,000",
            {
                "Projects": [project()],
                "Sales ledger": [sale(40_900)],
                "Purchases": [slip(1_000)],
                "Counts": counted(400, 500),
            },
            {
                ("Year-end", "goods_sold"): 900,
                ("Year-end", "used_by_count"): 900,
                ("Year-end", "net_profit"): 40_000,
                ("Year-end", "se_earnings"): 36_940,
                ("Year-end", "se_social"): 4_580.56,
                ("Year-end", "se_medicare"): 1_071.26,
                ("Year-end", "se_tax"): 5_651.82,
                ("Year-end", "se_half"): 2_825.91,
            },
        ),
        "raw, in work and finished": Example(
            f"{OPENSTAX}, m68005: 1,400 of materials used; 1,000 + 2,681 - 1,025 = 2,656 made;"
            " 1,531 + 2,656 - 1,725 = 2,462 sold (its labor and overhead as other costs)",
            {
                "Projects": [project()],
                "Purchases": [slip(10_500), slip(366 + 915, "freight in")],
                "Counts": [
                    *counted(2_500, 11_600),
                    *staged("in work", 1_000, 1_025),
                    *staged(None, 1_531, 1_725),
                ],
            },
            {
                ("Year-end", "opening_raw"): 2_500,
                ("Year-end", "opening_in_work"): 1_000,
                ("Year-end", "opening_finished"): 1_531,
                ("Year-end", "closing_raw"): 11_600,
                ("Year-end", "closing_in_work"): 1_025,
                ("Year-end", "closing_finished"): 1_725,
                ("Year-end", "opening_stock"): 2_500 + 1_000 + 1_531,
                ("Year-end", "closing_stock"): 11_600 + 1_025 + 1_725,
                ("Year-end", "other_costs"): 366 + 915,
                ("Year-end", "goods_sold"): 2_462,
                ("Projects", "opening", 0): 1,
            },
        ),
    }
)


@pytest.mark.parametrize("engine", ["pandas", "calc"])
@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.deep
def test_published_years(name: str, engine: str) -> None:
    """Both pandas and LibreOffice find what the publication prints."""
    one = EXAMPLES[name]
    found = by_pandas(one) if engine == "pandas" else EXAMPLES.by_libreoffice(name)

    assert found == {
        place: approx(value, abs=one.within) for place, value in one.expected.items()
    }, one.source
