"""Start: what needs a look, how the year is, what to do next, and a way to each sheet in use."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from openpyxl import load_workbook

from notchbook.sheets.start import LOOKS

from .desk import Desk
from .examples import SHOPS, priced, workbook
from .searching import seldom


def labels(start: Any) -> list[str]:
    """The words of the first column, from the first line on."""
    found = [start.cell(row, 1).value for row in range(7, start.max_row + 1)]
    return [each for each in found if each]


@pytest.mark.parametrize("shop", ["metric", *seldom("inch")])
def test_the_order_of_questions(shop: str) -> None:
    """Looks, the year, what is next; the sheets last and small, without blank rows between."""
    start: Any = load_workbook(workbook(shop))["Start"]
    said = labels(start)
    heads = ["What needs a look", "How the year is", "What to do next", "How to use this workbook"]
    at = [said.index(each) for each in heads]

    assert at == sorted(at)
    assert at[0] == 0
    assert at[-1] < said.index("Settings")
    assert [start.cell(row, 1).value for row in range(7, 7 + len(said))] == said
    small = start.cell(7 + said.index("Settings"), 1)
    assert small.font.sz < start.cell(8, 1).font.sz


@pytest.mark.parametrize("shop", SHOPS)
def test_sheets_without_a_row_are_not_listed(shop: str) -> None:
    """Each other sheet has its link; what every shop comes to type into is there from the first."""
    book, tables = priced(shop).book, priced(shop).filled.tables
    links = set(labels(load_workbook(workbook(shop))["Start"]))
    for sheet in book.sheets[1:-1]:
        own = [tables[table.name].empty for table in sheet.tables]
        always = sheet.name in ("Ideas", "Sales ledger", "Purchases", "Production log")
        assert (sheet.name in links) is (always or not own or not all(own)), sheet.name


@pytest.mark.deep
def test_what_needs_a_look_is_named_with_its_cell(desk: Desk) -> None:
    """A row that a check counts, a stock that does not suffice: a sentence and a way to the cell.

    Once these are mended, neither their sentences nor blank rows stand there.
    """
    desk.replace("stock.yaml", "on_hand: 9", "on_hand: 0")
    sold = {"date": date(2026, 5, 5), "receipt": "77", "project": "herb rial", "tier": "trade"}
    with desk.open() as book:
        book.add("Sales ledger", **sold, quantity=1, price=20)
    desk.compile()
    book = desk.look()
    found = {}
    for name in LOOKS:
        if f"nb_Start_{name}" in book.anchors:
            cell = book.line("Start", name)
            sheet, place = cell.hyperlink.location.replace("'", "").split("!")
            found[cell.value] = (sheet, book.book[sheet][place])
    short = next(at for says, at in found.items() if says == "herb rail: not enough barn board")
    unknown = next(at for says, at in found.items() if "herb rial" in says)

    assert short[0] == "Material takeoff"
    assert short[1].column == book.head("Material takeoff", "state")[2]
    assert [cell.value for cell in book.book[short[0]][short[1].row]][:2] == [
        "herb rail",
        "barn board",
    ]
    assert unknown[0] == "Sales ledger"
    row = unknown[1].row - book.head("Sales ledger", "project")[1] - 1
    assert book.cell("Sales ledger", "project", row).value == "herb rial"

    desk.replace("stock.yaml", "on_hand: 0", "on_hand: 9")
    with desk.open() as book:
        book.delete("Sales ledger", row)
    desk.compile()
    start = desk.look().book["Start"]
    assert labels(start)[:2] == ["What needs a look", "checks"]
    left = [start.cell(row, 2).value for row in range(7, 60)]
    assert "herb rail: not enough barn board" not in left
    assert not any("herb rial" in str(says) for says in left)
    assert None not in [start.cell(row, 1).value for row in range(7, 40)]
    heads = [start.cell(r, 3).value for r in range(7, 60) if start.cell(r, 1).font.b]
    assert heads == [None] * len(heads)  # nothing of the longer list is left beside it


def test_the_year_on_start_is_that_of_its_sheets() -> None:
    """Sales and profit as on Year-end; what an hour earned, by hand from Results."""
    filled = priced("inch").filled
    lines, results = filled.lines, filled.tables["Results by project"]
    rate = float(lines["Settings", "overhead_rate"])

    assert lines["Start", "income"] == lines["Year-end", "gross_receipts"]
    assert lines["Start", "profit"] == lines["Year-end", "net_profit"]
    assert float(lines["Start", "per_hour"]) == pytest.approx(
        results["earned"].sum() / results["hours"].sum() - rate
    )
