"""Every build-up of a cost adds up to its total, spoiled pieces included, wherever it stands."""

from __future__ import annotations

import pytest

from notchbook.commands.prices import COSTS, NAMES, build_price_list, format_price_list
from notchbook.sheets import BOOKS
from notchbook.sheets.partner.copy import handed_book
from notchbook.shop.pipeline import Priced, price

from .desk import AS_OF
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
CENT = 0.005
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
    assert (parts["spoilage_cost"] > CENT).any()


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
    """As JSON and in the terminal, within half of the last digit of each amount."""
    for each in build_price_list(priced, None):
        parts = [each["cost"][name] for name in COSTS]
        assert sum(parts) == pytest.approx(each["cost"]["unit"], abs=CENT * (len(parts) + 1))
        lines = [line.rsplit(maxsplit=1) for line in format_price_list([each], "USD").splitlines()]
        told = {label.strip(): amount for label, amount in lines}
        amounts = [float(told[label]) for label in LABELS if label in told]
        assert sum(amounts) == pytest.approx(float(told["unit cost"]), abs=CENT * (len(parts) + 1))
