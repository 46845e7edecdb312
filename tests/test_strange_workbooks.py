"""Workbooks as people and other programs leave them: compiled whole, or refused in a sentence."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.table import Table, TableStyleInfo

from notchbook.base.refusals import RefusedError
from notchbook.cli import main
from notchbook.commands.adopting import adoption

from .calc import type_and_save
from .desk import Desk
from .maker import shop
from .test_safety import changed


@pytest.mark.deep
@pytest.mark.usefixtures("few_rows")
def test_sheets_of_ours_copied(tmp_path: Path) -> None:
    """Copied in LibreOffice, with their tables; the copies are the maker's, and stay so."""
    desk = Desk(tmp_path, shop())
    copies = {"Stock": "Stock copy", "Settings": "Settings copy", "Sales ledger": "Sales copy"}
    type_and_save(
        desk.path,
        desk.path,
        {},
        "\n".join(f'b.Sheets.copyByName("{old}","{new}",2)' for old, new in copies.items()),
    )
    before = {name: load_workbook(desk.path)[name]["A7"].value for name in copies.values()}
    desk.compile()
    desk.compile()
    book: Any = load_workbook(desk.path)

    assert {name: book[name]["A7"].value for name in copies.values()} == before
    assert all(book[name].tables for name in copies.values())
    names = [name for sheet in book.worksheets for name in sheet.tables]
    assert len({name.casefold() for name in names}) == len(names)


@pytest.mark.usefixtures("few_rows")
@pytest.mark.deep
def test_a_deleted_setting_comes_back_by_name(tmp_path: Path) -> None:
    """With its value; the formulas that read it are not taken for the maker's."""
    desk = Desk(tmp_path, shop())
    row = desk.look().line("Settings", "skip_per_hour").row
    deleted = f'b.Sheets.getByName("Settings").Rows.removeByIndex({row - 1},1)'
    type_and_save(desk.path, desk.path, {}, deleted)
    report = desk.compile()

    assert report.look == []
    assert "Settings: skip below was deleted; it is back: 15" in report.notices
    assert any("was deleted (#REF!); it reads it again" in each for each in report.notices)
    assert desk.look().line("Settings", "skip_per_hour").value == 15
    assert not [each for each in desk.compile().notices if "deleted" in each]


@pytest.mark.usefixtures("few_rows")
def test_a_table_on_an_own_sheet(tmp_path: Path) -> None:
    """Stays a table, under its name and with its style."""
    desk = Desk(tmp_path, shop())
    with desk.open() as book:
        sheet = book.book.create_sheet("Wishes")
        for row in (["what", "price"], ["a vise", 120], ["a lamp", 40]):
            sheet.append(row)
        table = Table(displayName="Wishes", ref="A1:B3", headerRowDxfId=0)
        table.tableStyleInfo = TableStyleInfo(name="TableStyleLight9", showRowStripes=True)
        sheet.add_table(table)
    desk.compile()
    found = desk.look().book["Wishes"].tables["Wishes"]

    assert (found.ref, found.tableStyleInfo.name) == ("A1:B3", "TableStyleLight9")
    assert found.headerRowDxfId is None  # a number into another workbook's looks


@pytest.mark.deep
@pytest.mark.usefixtures("few_rows")
def test_charts_of_ours_under_other_names(tmp_path: Path) -> None:
    """Saved by a program that names them anew, they are known by the columns that they draw."""
    desk = Desk(tmp_path, shop())
    book: Any = load_workbook(desk.path)
    book.save(desk.path)

    assert not [line for line in desk.compile().notices if line.startswith("left out")]


@pytest.mark.deep
@pytest.mark.usefixtures("few_rows")
@pytest.mark.parametrize(
    "place", ["Stock!$XFE$6", "Stock!$A$1048577", "Stock!$A$0", "Stock!$ZZZZ$1"]
)
def test_a_name_of_ours_that_leads_nowhere(tmp_path: Path, place: str) -> None:
    """Outside of any sheet: the column is found by its header, as where the name is gone."""
    desk = Desk(tmp_path, shop())
    with desk.open() as book:
        names = book.book.defined_names
        names["nb_Stock_price"] = DefinedName("nb_Stock_price", attr_text=place)
        book.put("Stock", 0, on_hand=7)
    desk.compile()

    assert desk.look().cell("Stock", "on_hand", 0).value == 7


@pytest.mark.usefixtures("few_rows")
@pytest.mark.parametrize("part", ["xl/worksheets/sheet3.xml", "xl/styles.xml", "xl/workbook.xml"])
def test_a_damaged_part_is_named(tmp_path: Path, part: str) -> None:
    """In one line, and in no words of a library."""
    desk = Desk(tmp_path, shop())
    desk.path.write_bytes(changed(desk.path.read_bytes(), part, lambda data: data[:-40]))
    with pytest.raises(RefusedError) as refused:
        desk.compile()
    told = str(refused.value)

    assert f"its part {part} is damaged" in told
    assert "\n" not in told
    assert "Error" not in told


@pytest.mark.usefixtures("few_rows")
@pytest.mark.deep
def test_a_new_name_on_each_side(tmp_path: Path) -> None:
    """The workbook's stands, the conflict is told once, and `adopt` writes it into the files."""
    desk = Desk(tmp_path, shop())
    with desk.open() as book:
        at = book.row_of("Stock", "stock", "brass cup pull")
        book.put("Stock", at, stock="brass pull")
    for file in ("stock.yaml", "projects/herb-rail.yaml"):
        desk.replace(file, "brass cup pull", "cup pull")
    report, again = desk.compile(), desk.compile()

    assert desk.look().column("Stock", "stock")[at] == "brass pull"
    assert [(each.workbook, each.definitions) for each in report.changes.conflicts] == [
        ("brass pull", "cup pull")
    ]
    assert list(again.changes) == []
    adoption(desk.folder).write()
    assert "brass pull" in (tmp_path / "stock.yaml").read_text(encoding="utf-8")
    assert CliRunner().invoke(main, ["check", str(tmp_path)]).exit_code == 0
    assert list(desk.compile().changes) == []
