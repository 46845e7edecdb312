"""What a person types into the workbook, in the real spreadsheet program, and what follows.

All scenarios are tried in one sitting at one workbook, each taken back before the next.
"""

from __future__ import annotations

import copy
import tempfile
from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from openpyxl import load_workbook
from openpyxl.utils import get_column_letter
from pytest import approx

from notchbook.sheets.kit.calculate import Filled, calculate
from notchbook.sheets.tax.typed_over import is_watch
from notchbook.workbook.layout.layout import BookLayout, arrange

from .calc import AFTER, BEFORE, ERROR, Cell, Seen, Typed, try_out
from .desk import few_blank_rows
from .engines import agree
from .examples import priced, workbook

pytestmark = pytest.mark.deep

BOARD, PROJECT = "spruce 2x4 8ft", "hook rail small"
PRICE, LABOR_RATE = 9.4, 31.5
BATCHES = {"hook rail small": 13, "card box": 2}
NARROWER = 0.0625
SALE: dict[str, float | str | date] = {
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
UNKNOWN_SALE: dict[str, float | str | date] = {
    "date": date(2026, 7, 4),
    "receipt": "ready",
    "project": "no such thing",
    "tier": "market table",
    "quantity": 1,
    "price": 30,
}
SLIP: dict[str, float | str | date] = {
    "date": date(2026, 3, 3),
    "vendor": "someone",
    "what": "leaflets",
    "category": "advertising",
    "amount": 12.5,
}


LIMITS = {"hours": 10.0, "money": 40.0}
SOLD = {"spoon rack": 12.0}
INSTEAD = {"card box": 9.0, "hook rail large": 31.0}


class Below(NamedTuple):
    """A row typed below its table, and the check that names it."""

    table: str
    row: dict[str, float | str | date]
    check: str


BELOW = {
    "a part below": Below(
        "Cut list",
        {
            "project": PROJECT,
            "part": "extra",
            "make": 1,
            "thickness": 0.75,
            "width": 1,
            "length": 9,
            "stocks": BOARD,
        },
        "cut_list_known",
    ),
    "a stock below": Below(
        "Stock", {"stock": "walnut", "kind": "lumber", "price": 20, "pack": 1}, "stock_known"
    ),
    "a project below": Below("Projects", {"project": "new thing", "batch": 2}, "projects_known"),
}


class Other(NamedTuple):
    """Another value in a row that the plan looked at."""

    table: str
    key: str
    wanted: str
    column: str
    value: float | str


LOOKED_AT = {
    "another stock": Other("Cut list", "project", PROJECT, "stocks", "pine 1x6 8ft"),
    "another pattern": Other("Laid surfaces", "surface", "border", "pattern", "chevron"),
}
SAW = ("kerf", "deepest_cut")
TYPED_OVER: dict[str, tuple[str, float | str]] = {
    "a line of the form typed over": ("advertising", 777.25),
    "an estimate typed over": ("payment", 1.0),
    "a day typed over": ("payment_2", date(2026, 7, 1).toordinal() - 693_594),
    "a word typed over": ("convention_of_year", "half-year"),
    "text over a line": ("returns", "none"),
}


@cache
def layout() -> BookLayout:
    """Where everything stands in the inch example, with few blank rows, once it is compiled."""
    workbook("inch", few=True)
    shop = priced("inch")
    with few_blank_rows():
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
    spot = layout().lines[sheet]
    row, column = spot.addresses[name]
    return spot.sheet, f"{get_column_letter(column)}{row}"


def most_planned() -> int:
    """The largest batch of the project that has a plan of its own."""
    return max(row.units for row in priced("inch").plans.yields[PROJECT])


def batch_of(project: str) -> Cell:
    """The place of a project's batch size."""
    return cell("Projects", "batch", row_of("Projects", "project", project))


def next_cell(column: str, project: str) -> Cell:
    """The place of a project's cell on Next batches."""
    return cell("Next batches", column, row_of("Next batches", "project", project))


def row(table: str, number: int, values: Mapping[str, float | str | date]) -> Typed:
    """A row's cells by their places."""
    return {cell(table, name, number): value for name, value in values.items()}


def below(table: str) -> int:
    """The sheet's row below a table."""
    return layout().tables[table].last_row + 1


def ready_row() -> int:
    """The first sale's row that is ready to be typed into."""
    spot = layout().tables["Sales ledger"]
    return spot.first_row + spot.filled


@cache
def scenarios() -> dict[str, Typed]:
    """What is typed, by the name of each scenario."""
    part = row_of("Cut list", "project", PROJECT)
    width = column("Cut list", "width").iat[part - layout().tables["Cut list"].first_row]
    amounts = layout().tables["Purchases"].first_row
    return {
        "prices": {
            cell("Stock", "price", row_of("Stock", "stock", BOARD)): PRICE,
            line_cell("Settings", "labor_rate"): LABOR_RATE,
            **{batch_of(project): batch for project, batch in BATCHES.items()},
        },
        "next batches": {
            **{line_cell("Next limits", name): each for name, each in LIMITS.items()},
            **{next_cell("can_sell", project): each for project, each in SOLD.items()},
            **{next_cell("make_instead", project): each for project, each in INSTEAD.items()},
        },
        "a batch beyond": {batch_of(PROJECT): 2 * most_planned() + 5},
        "a sale below": row("Sales ledger", below("Sales ledger"), SALE),
        "a sale in a ready row": row("Sales ledger", ready_row(), UNKNOWN_SALE),
        "a purchase below": row("Purchases", below("Purchases"), SLIP),
        "text for a number": {cell("Purchases", "amount", amounts): "twelve"},
        "another width": {cell("Cut list", "width", part): width - NARROWER},
        **{name: {line_cell("Year-end", each[0]): each[1]} for name, each in TYPED_OVER.items()},
        "a figure typed over": {
            cell("Tax tables", "value", layout().tables["Tax tables"].first_row): 9
        },
        **{name: row(each.table, below(each.table), each.row) for name, each in BELOW.items()},
        **{name: {line_cell("Settings", name): before("Settings", name) + 0.125} for name in SAW},
        **{
            name: {cell(each.table, each.column, row_of(*each[:3])): each.value}
            for name, each in LOOKED_AT.items()
        },
    }


@cache
def sitting() -> tuple[dict[str, Seen], dict[Cell, Any]]:
    """What all scenarios showed, and the workbook that was saved with the prices typed."""
    with tempfile.TemporaryDirectory(prefix="notchbook-edits-") as folder:
        saved = Path(folder) / "saved.xlsx"
        seen = try_out(
            workbook("inch", few=True), scenarios(), Path(folder) / "seen.txt", {"prices": saved}
        )
        book = load_workbook(saved, data_only=True)
    cells = {
        (str(sheet.title), each.coordinate): each.value
        for sheet in book.worksheets
        for line in sheet.iter_rows()
        for each in line
    }
    return seen, cells


class After:
    """The workbook in LibreOffice after what a scenario types."""

    def __init__(self, scenario: str) -> None:
        self.cells: Mapping[Cell, Any] = sitting()[0][scenario]

    def __getitem__(self, place: Cell) -> Any:
        return self.cells.get(place)

    def line(self, sheet: str, name: str) -> Any:
        """A line's value."""
        return self[line_cell(sheet, name)]


class Saved(After):
    """The workbook as LibreOffice saved it with the prices typed."""

    def __init__(self) -> None:
        self.cells = sitting()[1]


def column(table: str, name: str) -> Any:
    """A table's column before the typing."""
    return priced("inch").filled.tables[table][name]


def before(sheet: str, name: str) -> float:
    """A line's value before the typing."""
    found = priced("inch").filled.lines[sheet, name]
    assert isinstance(found, float)
    return found


PRICES = ("break_even", "for_margin", "suggested", "price", "proceeds", "profit", "per_hour")
COSTS = ("material", "labor", "overhead", "unit_cost", "outlay", "per_hour")


def test_scenarios_do_not_touch_each_other() -> None:
    """After all of them everything is as it was; each but shows more than what was typed."""
    seen = sitting()[0]
    start = seen[BEFORE]

    assert len(start) > 10_000
    assert ERROR not in start.values()
    assert start.keys() == seen[AFTER].keys()
    assert [place for place in start if not agree(start[place], seen[AFTER][place])] == []
    for name, typed in scenarios().items():
        cells = start.keys() | seen[name].keys()
        moved = {place for place in cells if not agree(start.get(place), seen[name].get(place))}
        assert moved > typed.keys(), name


def test_prices_follow_what_is_typed() -> None:
    """A price, a batch size and a labor rate: everything moves to what Python finds for them."""
    saved = Saved()
    changed = _changed()
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


def _changed() -> Filled:
    """The same cells changed on the Python side, with the plans as they are."""
    shop = priced("inch")
    changed = copy.deepcopy(shop.filled)
    stock, projects = changed.tables["Stock"], changed.tables["Projects"]
    stock.loc[stock["stock"] == BOARD, "price"] = PRICE
    for project, batch in BATCHES.items():
        projects.loc[projects["project"] == project, "batch"] = float(batch)
    changed.lines["Settings", "labor_rate"] = LABOR_RATE
    calculate(shop.book, changed, shop.units)
    return changed


def test_next_batches_follow_what_is_typed() -> None:
    """Limits, what can be sold and other numbers: all moves to what Python finds for them."""
    shop = priced("inch")
    changed = copy.deepcopy(shop.filled)
    changed.lines |= {("Next limits", name): each for name, each in LIMITS.items()}
    rows = changed.tables["Next batches"]
    for name, typed in (("can_sell", SOLD), ("make_instead", INSTEAD)):
        for project, value in typed.items():
            rows.loc[rows["project"] == project, name] = value
    calculate(shop.book, changed, shop.units)
    seen, moved = After("next batches"), 0

    for table in ("Next batches", "Next materials"):
        first = layout().tables[table].first_row
        for each in shop.book.tables[table].columns:
            if each.rule is None or shop.book.tables[table].is_folded(each):
                continue
            for n, expected in enumerate(changed.tables[table][each.name]):
                found = seen[cell(table, each.name, first + n)]
                assert agree(found or type(expected)(), expected), (table, each.name, n)
                moved += not agree(shop.filled.tables[table][each.name].iat[n], expected)
    for name, cells in shop.book.lines["Next limits"].cells.items():
        if cells.rule is not None:
            assert seen.line("Next limits", name) == approx(changed.lines["Next limits", name])

    assert moved > 30
    assert float(changed.lines["Next limits", "changed"]) >= 2
    assert set(changed.tables["Next batches"]["state"]) >= {"old", "over counts on"}


def test_a_batch_beyond_the_plans() -> None:
    """A batch above the planned rows takes the largest plan again and the plan of the rest."""
    yields = {row.units: row for row in priced("inch").plans.yields[PROJECT]}
    saved = After("a batch beyond")
    takeoff = priced("inch").filled.tables["Material takeoff"]
    rows = takeoff[(takeoff["project"] == PROJECT) & (takeoff["stock"] == BOARD)].index
    first = layout().tables["Material takeoff"].first_row

    assert len(rows) == 1
    need = saved[cell("Material takeoff", "need", first + int(rows[0]))]
    assert need == 2 * yields[most_planned()].boards[BOARD] + yields[5].boards[BOARD]


@pytest.mark.parametrize("scenario", TYPED_OVER)
def test_a_number_typed_over_a_line_is_told_at_once(scenario: str) -> None:
    """Beside the line alone, not beside those that follow from it, and on Checks."""
    seen, name = After(scenario), TYPED_OVER[scenario][0]
    watches = [each for each in layout().lines["Year-end"].addresses if is_watch(each)]

    assert len(watches) > 80
    told = [each for each in watches if seen.line("Year-end", each) == 1]  # not an error
    assert told == [f"{name}_typed_over"]
    if (
        scenario == "text over a line"
    ):  # what follows from words is an error, and a check that fails
        assert seen.line("Checks", "profit_again") == "an error"
        assert seen.line("Checks", "profit_again_state") == "look"
        assert seen.line("Checks", "verdict") == "needs a look"
    assert seen.line("Checks", "year_end_typed_over") == 1
    assert seen.line("Checks", "year_end_typed_over_state") == "look"


def test_a_figure_typed_over_is_told_at_once() -> None:
    seen = After("a figure typed over")
    first = layout().tables["Tax tables"].first_row

    assert seen[cell("Tax tables", "state", first)] == "typed over"
    assert seen.line("Checks", "tables_typed_over") == 1
    assert seen.line("Checks", "tables_typed_over_state") == "look"


def test_a_sale_typed_below_the_table() -> None:
    """Totals count it at once, and Checks says that the row waits for a compile."""
    saved = After("a sale below")

    assert saved.line("Year-end", "gross_receipts") == approx(
        before("Year-end", "gross_receipts") + 59
    )
    assert saved.line("Year-end", "commissions") == approx(before("Year-end", "commissions") + 0.5)
    # a whole count tells what is left, whatever was sold
    assert before("Year-end", "whole_count") == 1
    assert saved.line("Year-end", "net_profit") == approx(
        before("Year-end", "net_profit") + 58.5, abs=0.01
    )
    july = row_of("Months and channels", "label", "Jul")
    sales = priced("inch").filled.tables["Months and channels"]["sales"].iat[6]
    assert saved[cell("Months and channels", "sales", july)] == approx(sales + 59)
    made = row_of("Projects", "project", PROJECT)
    sold = (
        priced("inch")
        .filled.tables["Projects"]["sold"]
        .iat[made - layout().tables["Projects"].first_row]
    )
    assert saved[cell("Projects", "sold", made)] == sold + 2
    assert saved.line("Checks", "sales_ledger_below") == 1
    assert saved.line("Checks", "sales_ledger_below_state") == "look"
    assert saved.line("Checks", "verdict") == "needs a look"
    for tie in ("sales_by_month", "sales_by_channel", "sales_by_project"):
        assert saved.line("Checks", f"{tie}_state") == "OK"


def test_a_sale_typed_into_a_ready_row() -> None:
    """A ready row wakes up: its worked-out cells show, and nothing is open."""
    saved, row = After("a sale in a ready row"), ready_row()

    assert saved[cell("Sales ledger", "gross", row)] == 30
    assert saved[cell("Sales ledger", "month", row)] == 7
    assert saved[cell("Sales ledger", "state", row)] == "no project"
    assert saved.line("Checks", "sales_ledger_below") == 0
    assert saved.line("Checks", "sales_ledger_rows") == 1
    assert saved.line("Checks", "sales_by_project_state") == "look"


def test_a_purchase_typed_below_the_table() -> None:
    """It is in its category and line at once."""
    saved = After("a purchase below")

    assert saved.line("Year-end", "advertising") == approx(before("Year-end", "advertising") + 12.5)
    assert saved.line("Checks", "purchases_below") == 1
    assert saved.line("Checks", "purchases_by_category_state") == "OK"


def test_text_where_a_number_belongs() -> None:
    """Stray text counts as 0 and is named; the other totals stay."""
    amounts = column("Purchases", "amount")
    first, total = amounts.iat[0], amounts.sum()
    saved = After("text for a number")

    assert first > 0
    assert saved.line("Checks", "purchases_numbers") == 1
    assert saved.line("Checks", "purchases_by_category_state") == "OK"
    spent = sum(
        saved[cell("Months and channels", "spent", row_of("Months and channels", "label", month))]
        for month in ("quarter 1", "quarter 2", "quarter 3", "quarter 4")
    )
    assert spent == approx(total - first)


@pytest.mark.parametrize("name", BELOW)
def test_rows_typed_below_are_stale_until_compile(name: str) -> None:
    """A part, stock or project typed below its table is named until the next compile."""
    table, _, check = BELOW[name]
    saved = After(name)

    assert saved.line("Checks", check) == 1
    assert saved.line("Checks", f"{check}_state") == "look"
    if table == "Cut list":
        place = row_of("Projects", "project", PROJECT)
        assert saved[cell("Projects", "stale", place)] == "stale"
        other = row_of("Projects", "project", "card box")
        assert not saved[cell("Projects", "stale", other)]


@pytest.mark.parametrize("name", SAW)
def test_a_saw_setting_makes_plans_stale(name: str) -> None:
    """Plans were made for the saw as it was."""
    saved = After(name)

    assert saved.line("Checks", "stale_projects") == len(priced("inch").definitions.projects)


@pytest.mark.parametrize("name", LOOKED_AT)
def test_what_else_the_plan_looked_at(name: str) -> None:
    """Stocks to cut from and patterns make plans stale too."""
    assert After(name).line("Checks", "stale_projects") == 1


def test_a_size_changed_makes_its_plan_stale() -> None:
    """Only the project whose part changed is stale; its takeoff says so."""
    saved = After("another width")
    takeoff = priced("inch").filled.tables["Material takeoff"]
    first = layout().tables["Material takeoff"].first_row
    states = {
        (project, saved[cell("Material takeoff", "state", first + n)] or "")
        for n, project in enumerate(takeoff["project"])
    }

    assert saved.line("Checks", "stale_projects") == 1
    assert {project for project, state in states if state == "stale"} == {PROJECT}
