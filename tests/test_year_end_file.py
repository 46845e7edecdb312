"""`year-end` reads the workbook as last saved, whoever saved it, and says where it is stale."""

from __future__ import annotations

import json
import re
import zipfile
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook
from openpyxl.utils import get_column_letter

from notchbook.cli import main
from notchbook.workbook.read.anchors import find_anchors

from .calc import Cell, type_and_save
from .desk import Desk, few_blank_rows

SOLD = {"date": date(2026, 12, 31), "receipt": "901", "project": "herb rail"}
SOLD |= {"tier": "market stall", "quantity": 1, "price": 40, "fee": 1.5}
BOUGHT = {"date": date(2026, 2, 28), "vendor": "Yard A", "what": "ledger", "amount": 12.34}
BOUGHT |= {"category": "office"}


def year_end(desk: Desk) -> tuple[Result, dict[str, float]]:
    """What the command says of the shop as saved, and the amounts of the lines."""
    told = CliRunner().invoke(main, ["year-end", str(desk.folder), "--json"])
    lines = json.loads(told.stdout)["lines"]
    return told, {each["line"]: each["amount"] for each in lines}


def below(desk: Desk, table: str, row: dict[str, Any]) -> dict[Cell, Any]:
    """The cells of the first blank row of a ledger, and what is typed there."""
    book = desk.look()
    sheet, head, column = book.head(table, "date")
    filled = book.book[sheet]
    at = next(n for n in range(head + 1, head + 99) if filled.cell(n, column).value is None)
    letters = {name: get_column_letter(book.head(table, name)[2]) for name in row}
    return {(sheet, f"{letters[name]}{at}"): value for name, value in row.items()}


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    """A sale and a slip typed in LibreOffice, and saved there."""
    with few_blank_rows():
        desk = Desk(tmp_path_factory.mktemp("saved"))
    typed = below(desk, "Sales ledger", SOLD) | below(desk, "Purchases", BOUGHT)
    type_and_save(desk.path, desk.path, typed)
    return desk


@pytest.mark.deep
def test_what_was_typed_in_libreoffice_counts(saved: Desk) -> None:
    """Both rows are in the lines, and the file's own numbers are the ones worked out here.

    Sold before: 2 at 32 and 1 at 24, with a fee of 2.73; nothing for the office.
    """
    told, amounts = year_end(saved)

    assert (amounts["1"], amounts["10"], amounts["18"]) == (88 + 40, 4.23, 12.34)
    assert "the file says" not in told.stderr


@pytest.mark.deep
def test_a_number_of_the_file_that_differs(saved: Desk, tmp_path: Path) -> None:
    """One stored value is another: its cell, both amounts and what to do, exit 1."""
    desk = Desk(tmp_path)
    stale = _with_stored(saved.path, "nb_Year_end_gross_receipts", "77.5")
    desk.path.write_bytes(stale)
    told, amounts = year_end(desk)

    assert told.exit_code == 1
    assert amounts["1"] == 128
    (line,) = (each for each in told.stderr.splitlines() if "the file says" in each)
    assert re.search(r"Year-end!C\d+: the file says 77\.50 for Gross receipts or sales", line)
    assert "it is 128.00; compile again" in line


@pytest.mark.deep
def test_a_file_saved_without_values(desk: Desk) -> None:
    """A program that does not calculate leaves none; the amounts are told all the same."""
    with desk.open() as book:
        book.add("Sales ledger", **SOLD | {"date": date(2026, 5, 5), "kind": "sale"})
    told, amounts = year_end(desk)

    assert amounts["1"] == 128
    assert "saved by a program that does not calculate" in told.stderr
    assert "the file says" not in told.stderr


def _with_stored(path: Path, anchor: str, value: str) -> bytes:
    """The file with another stored value in the cell of an anchor."""
    book = load_workbook(path)
    sheet, row, column = find_anchors(book)[anchor]
    part = f"xl/worksheets/sheet{book.sheetnames.index(sheet) + 1}.xml"
    cell = re.compile(rf'(<c r="{get_column_letter(column)}{row}"[^>]*>.*?<v>)[^<]*(</v>)')
    target = path.with_name("other.xlsx")
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name == part:
                text, found = cell.subn(rf"\g<1>{value}\g<2>", data.decode(), count=1)
                assert found == 1
                data = text.encode()
            new.writestr(name, data)
    return target.read_bytes()
