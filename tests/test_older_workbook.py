"""A workbook that the version before wrote, with a maker's edits in it, compiled by this one."""

from __future__ import annotations

import hashlib
import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from notchbook.commands.compile import Report, compile_shop
from notchbook.workbook.file.snapshot import SHEET

from .desk import Sheets
from .searching import seldom

SHOP = Path(__file__).parent / "older_shop"
WORKBOOK = "Bench and Burr 2026.xlsx"


class Older:
    """The shop in a folder of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.path = folder, folder / WORKBOOK
        shutil.copytree(SHOP, folder, dirs_exist_ok=True)

    def compile(self) -> Report:
        return compile_shop(self.folder, None, None)

    def look(self) -> Sheets:
        return Sheets(load_workbook(self.path))


@pytest.fixture(scope="module")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> tuple[Older, Report]:
    """The shop and what the first compile told."""
    older = Older(tmp_path_factory.mktemp("older"))
    return older, older.compile()


@pytest.mark.deep
def test_what_was_done_to_it_is_told(compiled: tuple[Older, Report]) -> None:
    """Each edit once, and nothing of the version before is taken for the maker's."""
    _, report = compiled

    assert [str(each) for each in report.changes.kept] == [
        "Stock, spruce 2x4 8ft, pack price: 4.4 in the workbook, 4.15 in the files",
        "Settings, labor rate an hour: 26 in the workbook, 24 in the files",
    ]
    assert sorted(line.split(":")[0] for line in report.look) == [
        "Projects!Q7",
        "Projects!T7",
        "Stock!A6",
        "Yield!D9",
        "herb rail!D11",
    ]


def test_what_was_typed_and_painted_stays(compiled: tuple[Older, Report]) -> None:
    """Values, rows, notes, looks, sizes, own cells and sheets."""
    older, _ = compiled
    book = older.look()
    stock = book.book["Stock"]
    names = book.column("Stock", "stock")
    price = book.cell("Stock", "price", 0).coordinate

    assert book.column("Stock", "price") == [4.4, 14.25, 6.2, 4]
    assert names[3] == "screw 30 mm"
    assert book.column("Sales ledger", "receipt")[-1] == "N1"
    assert book.cell("Projects", "batch", 0).comment.text == "ask Ann"
    assert book.cell("Stock", "price", 1).fill.fgColor.rgb[-6:] == "FFAA00"
    assert book.cell("Stock", "price", 2).number_format == "0.000"
    assert book.cell("Stock", "price", 0).number_format != "0.000"
    assert stock.column_dimensions["B"].width == 41
    assert stock.row_dimensions[8].height == 33
    assert [cell.value for cell in stock[7]][-2:] == ["bin 4", f"={price}*2"]
    assert [book.book["Mine"][place].value for place in ("A1", "B2")] == [
        "=Stock!$A$8",
        "remember the hinges",
    ]
    assert book.book["herb rail"]["L12"].value == "jig is in the blue box"


@pytest.mark.deep
def test_the_next_compile_has_nothing_to_tell(compiled: tuple[Older, Report]) -> None:
    """The new memory says what the old one said."""
    older, _ = compiled
    again = older.compile()
    second = older.path.read_bytes()  # Start says no more what needed a look at the first
    older.compile()

    assert not list(again.changes)
    assert not again.look
    assert older.path.read_bytes() == second


def forget(book: Any, table: str) -> None:
    """Makes the workbook one of a version that did not have a table yet."""
    del book[table]
    for name, defined in list(book.defined_names.items()):
        if table in defined.attr_text:
            del book.defined_names[name]
    sheet = book[SHEET]
    rows = range(5, 5 + sheet["A3"].value)
    stored = json.loads("".join(sheet.cell(row=row, column=1).value for row in rows))
    for kept in (stored["planned"], stored["rules"], stored["formats"], stored["merge"]["tables"]):
        kept.pop(table, None)
    text = json.dumps(stored, ensure_ascii=True, separators=(",", ":"))
    pieces = [text[n : n + 30_000] for n in range(0, len(text), 30_000)]
    for row, piece in zip(rows, [*pieces, *[None] * len(rows)], strict=False):
        sheet.cell(row=row, column=1).value = piece
    sheet["A3"], sheet["A4"] = (
        len(pieces),
        "sum " + hashlib.sha256(text.encode("ascii")).hexdigest(),
    )


@pytest.mark.parametrize("table", ["Statements", *seldom("Marks")])
def test_a_table_that_the_version_before_did_not_have_is_new(table: str, tmp_path: Path) -> None:
    """It is not taken for a sheet that the maker deleted: a ledger, and one the files state."""
    older = Older(tmp_path)
    book = load_workbook(older.path)
    forget(book, table)
    book.save(older.path)
    report = older.compile()

    assert table in load_workbook(older.path).sheetnames
    assert not [line for line in report.notices if "deleted" in line]
    assert [str(each) for each in report.changes.kept] == [
        "Stock, spruce 2x4 8ft, pack price: 4.4 in the workbook, 4.15 in the files",
        "Settings, labor rate an hour: 26 in the workbook, 24 in the files",
    ]
