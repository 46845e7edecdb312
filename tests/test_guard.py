"""What the old workbook holds is in the new one or in the report, else nothing is replaced."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.comments import Comment
from openpyxl.utils import column_index_from_string

from notchbook.base.refusals import RefusedError
from notchbook.gathering.ledgers import Ledgers
from notchbook.workbook.carry.carrier import _Carrier
from notchbook.workbook.carry.copying import Copier
from notchbook.workbook.carry.edits_of_ours import EditsOfOurs
from notchbook.workbook.file.merged import merged_ranges
from notchbook.workbook.file.package_cells import PackageCells
from notchbook.workbook.read.typed import TypedTable

from .desk import Desk, Sheets
from .maker import shop
from .searching import seldom

STEPS: dict[str, tuple[type, str]] = {
    "a value on a sheet of one's own": (Copier, "value"),
    "a value beside a table": (_Carrier, "own"),
    "a number over a formula that is planned": (EditsOfOurs, "_planned"),
    "a formula over one of ours": (EditsOfOurs, "_formula"),
    "a word over a header": (EditsOfOurs, "_word"),
    "a note": (EditsOfOurs, "note"),
}
"""What a maker does, and the step of the carrying that keeps it or tells of it."""

ALWAYS = ("a value on a sheet of one's own", "a number over a formula that is planned")


def work(what: str, book: Sheets) -> str:
    """Does it; returns the cell that must be named."""
    stock = book.book["Stock"]
    match what.rsplit(maxsplit=1)[-1]:
        case "own":
            book.book.create_sheet("Mine")["B2"] = "hinges"
            return "Mine!B2"
        case "table":
            place = stock.cell(row=8, column=stock.max_column + 1, value="bin 4").coordinate
            return f"Stock!{place}"
        case "planned":
            cell = book.cell("Yield", "boards", 2)
            cell.value = 77
        case "ours":
            cell = book.cell("Projects", "labor", 0)
            cell.value = "=1+1"
        case "header":
            cell = book.book["Stock"]["A6"]
            cell.value = "what I have"
        case _:
            cell = book.cell("Stock", "price", 0)
            cell.comment = Comment("ask Ann", "me")
    return f"{cell.parent.title}!{cell.coordinate}"


@pytest.mark.usefixtures("few_rows")
@pytest.mark.parametrize(
    "what", [*ALWAYS, *seldom(*(each for each in STEPS if each not in ALWAYS))]
)
def test_a_step_that_drops_something_is_caught(
    what: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The cell is named, the old file stays, and the new one lies beside it."""
    desk = Desk(tmp_path, shop())
    with desk.open() as book:
        place = work(what, book)
    before = desk.path.read_bytes()
    monkeypatch.setattr(*STEPS[what], lambda *_: None)

    with pytest.raises(RefusedError, match=f"lose without a word.*{place}"):
        desk.compile()
    assert desk.path.read_bytes() == before
    assert load_workbook(desk.path.with_name("Bench and Burr 2026 (not in place).xlsx"))


@pytest.mark.deep
@pytest.mark.usefixtures("few_rows")
def test_a_ledger_that_loses_a_price_is_caught(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also where the rows that are written have lost it already."""
    carried = Ledgers.carried

    def forgetful(self: Ledgers, table: TypedTable) -> Any:
        rows, strays = carried(self, table)
        return [{**row, "price": None} if row.get("receipt") else row for row in rows], strays

    desk = Desk(tmp_path, shop())
    with desk.open() as book:
        book.add("Sales ledger", receipt="N1", project="herb rail", tier="market stall", price=31)
        row = book.row_of("Sales ledger", "receipt", "N1")
        place = book.cell("Sales ledger", "price", row).coordinate
    monkeypatch.setattr(Ledgers, "carried", forgetful)

    with pytest.raises(RefusedError, match=f"Sales ledger!{place}, which says 31"):
        desk.compile()


def joined(book: Any, sheet: str, area: str) -> None:
    """Joins cells as LibreOffice does, which keeps what stands beneath the first."""
    book[sheet].merged_cells.add(area)


@pytest.mark.usefixtures("few_rows")
def test_values_under_joined_cells_stay(tmp_path: Path) -> None:
    """On our tables they are single again, which is told; on a maker's sheet they stay joined."""
    desk = Desk(tmp_path, shop())
    with desk.open() as book:
        book.put("Stock", 0, price=4.4)
        book.put("Stock", 1, price=14.4)
        price = book.cell("Stock", "price", 0).column_letter
        joined(book.book, "Stock", f"{price}7:{price}8")
        mine = book.book.create_sheet("Mine")
        mine["B2"], mine["B3"] = "hinges", "and screws"
        joined(book.book, "Mine", "B2:B3")
        joined(book.book, "Mine", "M80:XFD1048576")
    report = desk.compile()
    new = PackageCells(desk.path.read_bytes())
    column = column_index_from_string(price)

    assert [line for line in report.look if "joined" in line] == [
        f"Stock!{price}7:{price}8: these joined cells are single again, each with what it holds"
    ]
    assert [new.sheets["Stock"].value(row, column) for row in (7, 8)] == [4.4, 14.4]
    assert new.sheets["Mine"].value(3, 2) == "and screws"
    assert merged_ranges(desk.path.read_bytes()) == {"Mine": ["B2:B3", "M80:XFD1048576"]}
