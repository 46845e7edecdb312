"""What a person types into the workbook, in the real spreadsheet program, and what follows."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.utils import get_column_letter
from pytest import approx

from notchbook.sheets.calculate import Filled, calculate
from notchbook.workbook.layout import Layout, arrange

from .calc import Cell, type_and_save
from .examples import priced, workbook

BOARD, PROJECT = "spruce 2x4 8ft", "hook rail small"


@cache
def layout() -> Layout:
    """Where everything stands in the inch example."""
    shop = priced("inch")
    return arrange(shop.book, shop.filled, shop.units)


def row_of(table: str, key: str, wanted: str) -> int:
    """The sheet's row of a key."""
    keys = priced("inch").filled.tables[table][key].tolist()
    return layout().tables[table].first_row + int(keys.index(wanted))


def cell(table: str, column: str, row: int) -> Cell:
    """The place of a table's cell."""
    spot = layout().tables[table]
    return spot.sheet, f"{spot.letters[column]}{row}"


def line_cell(sheet: str, name: str) -> Cell:
    """The place of a line's cell."""
    row, column = layout().lines[sheet].addresses[name]
    return sheet, f"{get_column_letter(column)}{row}"


class Saved:
    """A workbook as LibreOffice saved it after the typing."""

    def __init__(self, folder: Path, typed: Mapping[Cell, float | str | date]) -> None:
        path = folder / "saved.xlsx"
        type_and_save(workbook("inch"), path, typed)
        self.book = load_workbook(path, data_only=True)

    def __getitem__(self, place: Cell) -> Any:
        return self.book[place[0]][place[1]].value

    def line(self, sheet: str, name: str) -> Any:
        """A line's value."""
        return self[line_cell(sheet, name)]


def before(sheet: str, name: str) -> float:
    """A line's value before the typing."""
    found = priced("inch").filled.lines[sheet, name]
    assert isinstance(found, float)
    return found


PRICES = ("break_even", "for_margin", "suggested", "price", "proceeds", "profit", "per_hour")
COSTS = ("material", "labor", "overhead", "unit_cost", "outlay", "per_hour")


def test_prices_follow_what_is_typed(tmp_path: Path) -> None:
    """A price, a batch size and a labor rate: everything moves to what Python finds for them."""
    batches = {"hook rail small": 13, "card box": 2}
    typed: dict[Cell, float | str | date] = {
        cell("Stock", "price", row_of("Stock", "stock", BOARD)): 9.4,
        line_cell("Settings", "labor_rate"): 31.5,
    }
    for project, batch in batches.items():
        typed[cell("Projects", "batch", row_of("Projects", "project", project))] = batch
    saved = Saved(tmp_path, typed)
    changed = _changed(batches)
    moved = 0
    for table, columns in (("Projects", COSTS), ("Pricing tiers", PRICES)):
        first = layout().tables[table].first_row
        old = priced("inch").filled.tables[table]
        for column in columns:
            for n, expected in enumerate(changed.tables[table][column]):
                found = saved[cell(table, column, first + n)] or 0
                assert found == approx(expected, rel=1e-9, abs=1e-9), (table, column, n)
                moved += expected != approx(old[column].iat[n], rel=1e-9)

    assert moved > 100


def _changed(batches: Mapping[str, int]) -> Filled:
    """The same cells changed on the Python side, with the plans as they are."""
    shop = priced("inch")
    changed = copy.deepcopy(shop.filled)
    stock, projects = changed.tables["Stock"], changed.tables["Projects"]
    stock.loc[stock["stock"] == BOARD, "price"] = 9.4
    for project, batch in batches.items():
        projects.loc[projects["project"] == project, "batch"] = float(batch)
    changed.lines["Settings", "labor_rate"] = 31.5
    calculate(shop.book, changed, shop.units)
    return changed


def test_a_batch_beyond_the_plans(tmp_path: Path) -> None:
    """A batch above the planned rows takes the largest plan again and the plan of the rest."""
    yields = {row.units: row for row in priced("inch").plans.yields[PROJECT]}
    most = max(yields)
    batch = 2 * most + 5
    saved = Saved(
        tmp_path, {cell("Projects", "batch", row_of("Projects", "project", PROJECT)): batch}
    )
    takeoff = priced("inch").filled.tables["Material takeoff"]
    rows = takeoff[(takeoff["project"] == PROJECT) & (takeoff["stock"] == BOARD)].index
    first = layout().tables["Material takeoff"].first_row

    assert len(rows) == 1
    need = saved[cell("Material takeoff", "need", first + int(rows[0]))]
    assert need == 2 * yields[most].boards[BOARD] + yields[5].boards[BOARD]


def test_a_sale_typed_below_the_table(tmp_path: Path) -> None:
    """Totals count it at once, and Checks says that the row waits for a compile."""
    spot = layout().tables["Sales ledger"]
    sale: dict[str, float | str | date] = {
        "date": date(2026, 7, 4),
        "receipt": "below",
        "project": PROJECT,
        "tier": "market table",
        "kind": "sale",
        "quantity": 2,
        "price": 30,
        "discount": 1,
        "fee": 0.5,
    }
    row = spot.last_row + 1
    saved = Saved(
        tmp_path, {cell("Sales ledger", name, row): value for name, value in sale.items()}
    )

    assert saved.line("Year-end", "gross_receipts") == approx(
        before("Year-end", "gross_receipts") + 59
    )
    assert saved.line("Year-end", "commissions") == approx(before("Year-end", "commissions") + 0.5)
    projects = priced("inch").filled.tables["Projects"].set_index("project")
    materials = 2 * projects["unit_materials"][PROJECT]  # today's, as none are typed
    assert saved.line("Year-end", "net_profit") == approx(
        before("Year-end", "net_profit") + 58.5 - materials, abs=0.01
    )
    july = row_of("Months and channels", "label", "Jul")
    sales = priced("inch").filled.tables["Months and channels"]["sales"].iat[6]
    assert saved[cell("Months and channels", "sales", july)] == approx(sales + 59)
    made = row_of("Projects", "project", PROJECT)
    sold = priced("inch").filled.tables["Projects"]["sold"].iat[made - spot.first_row]
    assert saved[cell("Projects", "sold", made)] == sold + 2
    assert saved.line("Checks", "sales_ledger_below") == 1
    assert saved.line("Checks", "sales_ledger_below_state") == "look"
    assert saved.line("Checks", "verdict") == "needs a look"
    for tie in ("sales_by_month", "sales_by_channel", "sales_by_project"):
        assert saved.line("Checks", f"{tie}_state") == "OK"


def test_a_sale_typed_into_a_ready_row(tmp_path: Path) -> None:
    """A ready row wakes up: its worked-out cells show, and nothing is open."""
    spot = layout().tables["Sales ledger"]
    row = spot.first_row + spot.filled
    sale: dict[str, float | str | date] = {
        "date": date(2026, 7, 4),
        "receipt": "ready",
        "project": "no such thing",
        "tier": "market table",
        "quantity": 1,
        "price": 30,
    }
    saved = Saved(
        tmp_path, {cell("Sales ledger", name, row): value for name, value in sale.items()}
    )

    assert saved[cell("Sales ledger", "gross", row)] == 30
    assert saved[cell("Sales ledger", "month", row)] == 7
    assert saved[cell("Sales ledger", "state", row)] == "no project"
    assert saved.line("Checks", "sales_ledger_below") == 0
    assert saved.line("Checks", "sales_ledger_rows") == 1
    assert saved.line("Checks", "sales_by_project_state") == "look"


def test_a_purchase_typed_below_the_table(tmp_path: Path) -> None:
    """It is in its category and line at once."""
    spot = layout().tables["Purchases"]
    slip: dict[str, float | str | date] = {
        "date": date(2026, 3, 3),
        "vendor": "someone",
        "what": "leaflets",
        "category": "advertising",
        "amount": 12.5,
    }
    row = spot.last_row + 1
    saved = Saved(tmp_path, {cell("Purchases", name, row): value for name, value in slip.items()})

    assert saved.line("Year-end", "advertising") == approx(before("Year-end", "advertising") + 12.5)
    assert saved.line("Checks", "purchases_below") == 1
    assert saved.line("Checks", "purchases_by_category_state") == "OK"


def test_text_where_a_number_belongs(tmp_path: Path) -> None:
    """Stray text counts as 0 and is named; the other totals stay."""
    spot = layout().tables["Purchases"]
    first = priced("inch").filled.tables["Purchases"]["amount"].iat[0]
    saved = Saved(tmp_path, {cell("Purchases", "amount", spot.first_row): "twelve"})
    total = priced("inch").filled.tables["Purchases"]["amount"].sum()

    assert first > 0
    assert saved.line("Checks", "purchases_numbers") == 1
    assert saved.line("Checks", "purchases_by_category_state") == "OK"
    spent = sum(
        saved[cell("Months and channels", "spent", row_of("Months and channels", "label", month))]
        for month in ("quarter 1", "quarter 2", "quarter 3", "quarter 4")
    )
    assert spent == approx(total - first)


@pytest.mark.parametrize(
    ("table", "typed", "check"),
    [
        (
            "Cut list",
            {"project": PROJECT, "part": "extra", "make": 1}
            | {"thickness": 0.75, "width": 1, "length": 9, "stocks": BOARD},
            "cut_list_known",
        ),
        ("Stock", {"stock": "walnut", "kind": "lumber", "price": 20, "pack": 1}, "stock_known"),
        ("Projects", {"project": "new thing", "batch": 2}, "projects_known"),
    ],
)
def test_rows_typed_below_are_stale_until_compile(
    tmp_path: Path, table: str, typed: dict[str, float | str], check: str
) -> None:
    """A part, stock or project typed below its table is named until the next compile."""
    row = layout().tables[table].last_row + 1
    saved = Saved(tmp_path, {cell(table, name, row): value for name, value in typed.items()})

    assert saved.line("Checks", check) == 1
    assert saved.line("Checks", f"{check}_state") == "look"
    if table == "Cut list":
        place = row_of("Projects", "project", PROJECT)
        assert saved[cell("Projects", "stale", place)] == "stale"
        other = row_of("Projects", "project", "card box")
        assert not saved[cell("Projects", "stale", other)]


@pytest.mark.parametrize("name", ["kerf", "deepest_cut"])
def test_a_saw_setting_makes_plans_stale(tmp_path: Path, name: str) -> None:
    """Plans were made for the saw as it was."""
    saved = Saved(tmp_path, {line_cell("Settings", name): before("Settings", name) + 0.125})

    assert saved.line("Checks", "stale_projects") == len(priced("inch").definitions.projects)


@pytest.mark.parametrize(
    ("table", "key", "wanted", "column", "value"),
    [
        ("Cut list", "project", PROJECT, "stocks", "pine 1x6 8ft"),
        ("Laid surfaces", "surface", "border", "pattern", "chevron"),
        ("Stock", "stock", "loft board", "on_hand", 2),
    ],
)
def test_what_else_the_plan_looked_at(
    tmp_path: Path, table: str, key: str, wanted: str, column: str, value: str | float
) -> None:
    """Stocks, patterns and what there is of reclaimed wood make plans stale too."""
    saved = Saved(tmp_path, {cell(table, column, row_of(table, key, wanted)): value})
    name = "stale_stock" if table == "Stock" else "stale_projects"

    assert saved.line("Checks", name) == 1


def test_a_size_changed_makes_its_plan_stale(tmp_path: Path) -> None:
    """Only the project whose part changed is stale; its takeoff says so."""
    row = row_of("Cut list", "project", PROJECT)
    place = cell("Cut list", "width", row)
    first = layout().tables["Cut list"].first_row
    width = priced("inch").filled.tables["Cut list"]["width"].iat[row - first]
    saved = Saved(tmp_path, {place: width - 0.0625})
    takeoff = priced("inch").filled.tables["Material takeoff"]
    first = layout().tables["Material takeoff"].first_row
    states = {
        (project, saved[cell("Material takeoff", "state", first + n)] or "")
        for n, project in enumerate(takeoff["project"])
    }

    assert saved.line("Checks", "stale_projects") == 1
    assert {project for project, state in states if state == "stale"} == {PROJECT}
