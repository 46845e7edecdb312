"""A new year: what is carried, what begins empty, and what stays as it was."""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl.comments import Comment
from openpyxl.utils import get_column_letter

from notchbook.cli import main
from notchbook.compiling import compile_shop
from notchbook.definitions import load
from notchbook.sheets.stock import StockRow
from notchbook.sheets.tool_rows import ToolRow

from .desk import AS_OF, Desk


@pytest.mark.usefixtures("few_rows")
def test_the_next_year(tmp_path: Path) -> None:
    """Prices of the workbook, counts, and what was taken of tools; the old folder untouched."""
    desk = Desk(tmp_path / "shop 2026")
    with desk.open() as book:
        book.put("Stock", 0, price=4.4)
        book.put("Tool depreciation", 0, tax_method="straight line", life_years=4)
        lathe = {"tool": "lathe", "cost": 900, "in_service": datetime(2026, 11, 2)}
        book.add("Tool depreciation", **lathe, tax_method="macrs 7", wear="hours", life_hours=9)
        closing = {"date": datetime(2026, 12, 31), "quantity": 7, "value": 30.8}
        book.add("Counts", **closing, stock="spruce 2x4 8ft")
        book.add("Counts", **closing, project="herb rail")
        book.book.create_sheet("Mine")["A1"] = "=1+1"
        column = book.book["Stock"].max_column + 1
        book.book["Stock"].cell(row=6, column=column, value="shelf")
        book.book["Stock"].cell(row=7, column=column, value="top left")
        book.cell("Stock", "price", 1).comment = Comment("ask again", "me")
    desk.compile()
    before = {path: path.read_bytes() for path in desk.folder.rglob("*") if path.is_file()}
    done = CliRunner().invoke(main, ["next-year", str(desk.folder)])
    folder = tmp_path / "shop-2027"
    made = load(folder, AS_OF)

    assert done.exit_code in (0, 1), done.stderr
    assert [line for line in done.stderr.splitlines() if " stays in " in line] == [
        "notice: your sheet Mine: it stays in the workbook of 2026",
        f"notice: Stock: what you put beside the table in {get_column_letter(column)} (shelf):"
        " it stays in the workbook of 2026",
        "notice: your note on a cell: it stays in the workbook of 2026",
    ]
    assert before == {path: path.read_bytes() for path in desk.folder.rglob("*") if path.is_file()}
    assert made.settings.year == 2027
    first = made.table("Stock", StockRow)[0]
    assert (first.price, first.on_hand) == (4.4, 7)
    tools = {row.tool: row for row in made.table("Tool depreciation", ToolRow)}
    # 48.00 over four years, in use for 11 of the first 12 months
    assert tools["branding iron"].taken_before == 11.0
    assert tools["branding iron"].convention is None
    # the only new tool of a class came in the last quarter: 3.57 %, and so it stays
    assert (tools["lathe"].taken_before, tools["lathe"].convention) == (32.13, "mid-quarter")
    assert (folder / "ledgers" / "counts.csv").read_text() == (
        "date,stock,project,stage,quantity,value\n"
        "2027-01-01,spruce 2x4 8ft,,,7,30.8\n"
        "2027-01-01,,herb rail,,7,30.8\n"
    )
    assert sorted(path.name for path in (folder / "ledgers").iterdir()) == ["counts.csv"]
    compile_shop(folder, None, AS_OF)
    again = CliRunner().invoke(main, ["next-year", str(desk.folder)])
    assert again.exit_code == 2
    assert "not empty" in again.stderr


@pytest.mark.usefixtures("few_rows")
def test_without_a_closing_count(tmp_path: Path) -> None:
    """It says that there is no opening stock, and makes the rest."""
    desk = Desk(tmp_path / "shop")
    done = CliRunner().invoke(
        main, ["next-year", str(desk.folder), "--output", str(tmp_path / "new")]
    )

    assert done.exit_code == 1
    assert "no closing count of 2026" in done.stderr
    assert load(tmp_path / "new", AS_OF).settings.year == 2027
    shutil.rmtree(tmp_path / "new")
