"""Every build-up of a cost adds up to its total, spoiled pieces included, wherever it stands."""

from __future__ import annotations

from decimal import Decimal

import pytest

from notchbook.commands.prices import COSTS, NAMES, build_price_list, format_price_list
from notchbook.sheets.partner.copy import handed_book
from notchbook.shop.pipeline import Priced, price
from notchbook.trade.money import round_money, round_to_sum

from .desk import AS_OF
from .every_book import BOOKS
from .shops import GOOD, write_shop

BUILD_UPS = {
    "Projects": (
        *("material", "hardware", "consumables", "tools", "labor", "overhead"),
        "spoilage_cost",
    ),
    "Batch sizes": ("material", "other", "time", "spoilage_cost"),
    "Shop cost": ("material", "supplies", "tools", "labor", "overhead", "spoilage_cost"),
}
"""By table: the columns that its unit cost is built up of."""
LABELS = [NAMES.get(name, name) for name in COSTS]
"""What the terminal calls the parts of a cost."""


@pytest.fixture(scope="module")
def priced(tmp_path_factory: pytest.TempPathFactory) -> Priced:
    """The small shop, costs on its shop sheets; of its herb rails one in twenty is spoiled."""
    shop = GOOD["shop.yaml"] + "shop_sheet_costs: true\n"
    return price(write_shop(tmp_path_factory.mktemp("costs"), **{"shop.yaml": shop}), AS_OF)


def test_every_table_that_builds_up_a_unit_cost_is_looked_at() -> None:
    """A new one must be among those of this test, or it could forget a part of the cost."""
    found = {
        name
        for book in BOOKS.values()
        for name, table in book.tables.items()
        if {"unit_cost", "material"} <= table.by_name.keys()
    }
    assert found == set(BUILD_UPS)


@pytest.mark.parametrize("name", BUILD_UPS)
def test_columns_add_up(priced: Priced, name: str) -> None:
    """Row by row, in the shop's workbook; and one row has spoiled pieces at least."""
    rows = priced.filled.tables[name]
    parts = rows[list(BUILD_UPS[name])]

    assert parts.sum(axis=1).to_list() == pytest.approx(rows["unit_cost"].to_list())
    assert (parts["spoilage_cost"] > 0.005).any()


@pytest.mark.parametrize("frozen", [False, True])
def test_no_part_stays_at_home(priced: Priced, frozen: bool) -> None:
    """A partner's copy that shows a unit cost shows all that it is built up of."""
    copy = handed_book(priced.book, frozen=frozen)
    tables = {name: copy.tables[name].by_name for name in BUILD_UPS if name in copy.tables}
    shown = [name for name, columns in tables.items() if "unit_cost" in columns]

    assert "Shop cost" in shown
    for name in shown:
        assert set(BUILD_UPS[name]) <= tables[name].keys()


def test_prices_add_up(priced: Priced) -> None:
    """As JSON and in the terminal, to the last digit."""
    settings = priced.definitions.settings
    for each in build_price_list(priced, None):
        parts = [each["cost"][name] for name in COSTS]
        assert round(sum(parts), 2) == each["cost"]["unit"]
        lines = [
            line.rsplit(maxsplit=1) for line in format_price_list([each], settings).splitlines()
        ]
        told = {label.strip(): amount for label, amount in lines}
        amounts = [Decimal(told[label]) for label in LABELS if label in told]
        assert sum(amounts) == Decimal(told["unit cost"])


@pytest.mark.parametrize(
    ("parts", "decimals", "expected"),
    [
        ((1.374, 12.834, 2.625, 1.307), 2, "1.37 12.83 2.63 1.31"),  # 18.14 as it is
        ((1.374, 12.834, 2.625, 1.301), 2, "1.37 12.83 2.63 1.30"),
        ((0.334, 0.333, 0.333), 2, "0.34 0.33 0.33"),  # 0.99 otherwise
        ((0.006, 0.006, 0.008, 0), 2, "0.00 0.01 0.01 0.00"),  # 0.03 otherwise
        ((2.5, 2.5), 0, "2 3"),
    ],
)
def test_parts_are_rounded_to_their_sum(
    parts: tuple[float, ...], decimals: int, expected: str
) -> None:
    """What is over goes to those that it brings nearest."""
    found = round_to_sum(parts, sum(parts), decimals)
    assert " ".join(map(str, found)) == expected
    assert sum(found) == round_money(sum(parts), decimals)
