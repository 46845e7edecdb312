"""A new year: what is carried, what begins empty, and what stays as it was."""

from __future__ import annotations

import shutil
from datetime import date, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl.comments import Comment
from openpyxl.utils import get_column_letter
from pytest import approx

from notchbook.base.refusals import RefusedError
from notchbook.cli import main
from notchbook.commands.compile import compile_shop
from notchbook.commands.next_year import NextYear, roll_forward
from notchbook.definitions import Definitions
from notchbook.gathering import load
from notchbook.sheets.ledgers.counts import CountRow
from notchbook.sheets.making.stock import StockRow
from notchbook.sheets.tax.tool_rows import ToolRow
from notchbook.shop.pipeline import price

from .desk import AS_OF, Desk
from .shops import GOOD, write_shop

TOOLS = """\
tools:
  - {tool: branding iron, cost: 48.00, in_service: 2026-02-10, wear: per use,
     expected_uses: 400, tax_method: expensed, disposed: 2026-09-01, disposed_for: 10}
  - {tool: jobsite table saw, cost: 640.00, in_service: 2025-05-03, wear: hours, life_hours: 2000,
     tax_method: macrs 7, convention: half-year, taken_before: 91.46, disposed: DAY}
"""
RAIL = GOOD["projects/herb-rail.yaml"]
WITHOUT_TOOLS = "".join(line for line in RAIL.splitlines(True) if not line.startswith("tools:"))


def rolled(shop: Path, folder: Path) -> tuple[Definitions, list[str]]:
    """The definitions of the next year, read from its folder, and what to look at."""
    made = roll_forward(shop, folder)
    made.write()
    return load(folder, AS_OF), made.look


@pytest.mark.deep
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
    named = sorted(path.name for path in (folder / "ledgers").iterdir())
    assert named == ["counts.csv", "offcuts.csv"]
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


def test_what_was_to_be_made_next_is_named(tmp_path: Path) -> None:
    """What was typed on Next batches is of the old year; that it is not carried is told."""
    typed = {"ledgers/next_batches.csv": "project,can_sell\nherb rail,4\n"}
    none: dict[str, str | None] = {"ledgers/next_batches.csv": None}

    _, look = rolled(write_shop(tmp_path / "old", **typed), tmp_path / "new")
    _, quiet = rolled(write_shop(tmp_path / "without", **none), tmp_path / "other")

    assert [line for line in look if "Next batches" in line] == [
        "Next batches: what was typed as can sell was for 2026 and is not carried; type it anew"
        " where it holds"
    ]
    assert not [line for line in quiet if "Next batches" in line]


@pytest.mark.parametrize("written", ["block", "flow"])
def test_all_tools_were_sold(tmp_path: Path, written: str) -> None:
    """There is no tools.yaml then, and the folder loads."""
    tools = TOOLS.replace("DAY", "2026-10-01")
    if written == "flow":
        tools = tools.replace("tools:\n  - {", "tools: [{", 1).replace("\n  - {", ",\n  {")
        tools = tools.rstrip() + "]\n"
    files = {"tools.yaml": tools, "projects/herb-rail.yaml": WITHOUT_TOOLS}
    made, _ = rolled(write_shop(tmp_path / "old", **files), tmp_path / "new")

    assert made.rows["Tool depreciation"] == ()
    assert not (tmp_path / "new" / "tools.yaml").exists()


def test_a_sold_tool_that_a_project_uses_stays(tmp_path: Path) -> None:
    """It is told with the line that uses it; nothing more is written off or gained by it."""
    files = {"tools.yaml": TOOLS.replace("DAY", "2026-10-01")}
    made, look = rolled(write_shop(tmp_path / "old", **files), tmp_path / "new")
    line = RAIL[: RAIL.index("tools:")].count("\n") + 1
    priced = price(tmp_path / "new", AS_OF)

    assert [line.partition(";")[0] for line in look if "tools.yaml" in line] == [
        f"tools.yaml: {tool} is gone since {day}, but projects/herb-rail.yaml:{line} still uses"
        " it, so it stays"
        for tool, day in (("branding iron", "2026-09-01"), ("jobsite table saw", "2026-10-01"))
    ]
    assert [row.taken_before for row in made.table("Tool depreciation", ToolRow)] == [48, 169.83]
    assert priced.filled.lines["Year-end", "depreciation"] == 0
    assert priced.filled.lines["Year-end", "tool_gains"] == 0


def test_a_tool_sold_in_the_next_year_is_sold_there(tmp_path: Path) -> None:
    """A day of sale after the year's end goes along."""
    files = {"tools.yaml": TOOLS.replace("DAY", "2027-01-15")}
    files["projects/herb-rail.yaml"] = WITHOUT_TOOLS
    made, look = rolled(write_shop(tmp_path / "old", **files), tmp_path / "new")
    (saw,) = made.table("Tool depreciation", ToolRow)

    assert (saw.tool, saw.disposed) == ("jobsite table saw", date(2027, 1, 15))
    assert not any("tools.yaml" in line for line in look)


@pytest.mark.usefixtures("few_rows")
def test_closing_counts_as_they_were_typed(tmp_path: Path) -> None:
    """Added up as Stock adds them, spelled as the files do; what cannot be carried is told."""
    desk = Desk(tmp_path / "shop")
    told = {
        "oak varnish": "there is no stock 'oak varnish'",
        "pine 1x6 8ft": "-1 is too low; write 0 or more",
        "clear coat": "the quantity 'about 12' is no number",
    }
    with desk.open() as book:
        day = {"date": datetime(2026, 12, 31)}
        for stock, quantity, value, stage in (
            ("Spruce 2x4 8FT", 4.5, 20, None),
            ("brass cup pull", 7, 9, None),
            ("brass cup pull", 2, 3, None),
            ("brass cup pull", 5, 6, "in work"),
            ("clear coat", "about 12", 3, None),
            ("oak varnish", 1, 3, None),
            ("pine 1x6 8ft", -1, 3, None),
            ("barn board", 4, None, None),
        ):
            row = book.add("Counts", **day, stock=stock, quantity=quantity, value=value)
            book.put("Counts", row, stage=stage)
        row = book.add("Counts", **day, project="Herb Rail", quantity=1, value=8)
        book.add("Counts", date="31 Brumaire", project="herb rail", quantity=1, value=8)
        book.put("Stock", book.row_of("Stock", "stock", "clear coat"), on_hand=20)
    made, look = rolled(desk.folder, tmp_path / "new")
    carried = {row.stock: row for row in made.table("Stock", StockRow)}
    on_hand = {name: row.on_hand for name, row in carried.items()}

    assert (tmp_path / "new" / "ledgers" / "counts.csv").read_text() == (
        "date,stock,project,stage,quantity,value\n"
        "2027-01-01,spruce 2x4 8ft,,,4.5,20\n"
        "2027-01-01,brass cup pull,,,7,9\n"
        "2027-01-01,brass cup pull,,,2,3\n"
        "2027-01-01,brass cup pull,,in work,5,6\n"
        "2027-01-01,clear coat,,,0,3\n"
        "2027-01-01,barn board,,,4,0\n"
        "2027-01-01,,herb rail,,1,8\n"
    )
    assert (on_hand["brass cup pull"], on_hand["spruce 2x4 8ft"]) == (14, 4)  # in work, too
    assert carried["brass cup pull"].counted_on == date(2026, 12, 31)
    assert carried["pine 1x6 8ft"].counted_on is None
    assert (on_hand["clear coat"], on_hand["pine 1x6 8ft"], on_hand["barn board"]) == (20, 0, 4)
    for what in told.values():
        assert any(line.startswith("Counts!") and what in line for line in look), what
    assert any("'31 Brumaire' is no day" in line for line in look)
    assert any("4.5 of spruce 2x4 8ft were counted" in line for line in look)
    assert any("no closing of 2026-12-31 for till" in line for line in look)
    assert any("Next batches: " in line for line in look)
    assert len(look) == len(told) + 4


def test_what_lies_hidden_among_the_projects(tmp_path: Path) -> None:
    """Only files that are read go along, none that a disk or an editor put there."""
    shop = write_shop(tmp_path / "old")
    (shop / "projects" / "._herb-rail.yaml").write_bytes(b"\0\5\26\7\260")
    rolled(shop, tmp_path / "new")

    assert sorted(path.name for path in (tmp_path / "new" / "projects").iterdir()) == [
        "herb-rail.yaml",
        "peg-board.yaml",
    ]


def test_a_folder_that_would_not_load_is_not_made(tmp_path: Path) -> None:
    """It is tried out first; the refusal names what would be wrong, and nothing is left."""
    files = {name: str(text) for name, text in GOOD.items() if not name.startswith("ledgers")}
    made = NextYear(tmp_path / "new", 2027, {**files, "tools.yaml": "tools:\n"})
    with pytest.raises(RefusedError, match=r"nothing was written: tools\.yaml:1: "):
        made.write()

    assert list(tmp_path.iterdir()) == []


@pytest.mark.usefixtures("few_rows")
def test_an_open_workbook_begins_no_year(tmp_path: Path) -> None:
    """What is not saved yet would be missing from the new year."""
    desk = Desk(tmp_path / "shop")
    (desk.folder / f".~lock.{desk.path.name}#").touch()
    done = CliRunner().invoke(main, ["next-year", str(desk.folder)])

    assert done.exit_code == 2
    assert "is open in a spreadsheet program" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["shop"]


def test_what_the_old_year_leaves_behind(tmp_path: Path) -> None:
    """No waste twice; section 179 and stock as they stand; what nobody counted, by the books."""
    shop = GOOD["shop.yaml"] + "year_end: {written_off: 12.00, carried_179: 50.00}\n"
    files = {
        "shop.yaml": shop,
        "ledgers/purchases.csv": "date,vendor,what,category,amount,stock,packs\n"
        "2026-05-02,Yard A,pulls,hardware,30.00,brass cup pull,2\n"
        "2026-05-02,Yard A,glue,consumables,8.90,wood glue,1\n",
        "ledgers/production.csv": "date,project,made\n2026-05-03,herb rail,3\n",
        "ledgers/sales.csv": "date,receipt,project,tier,quantity,price\n"
        "2026-06-02,1,herb rail,online,1,2.00\n",
        "ledgers/counts.csv": "date,stock,project,quantity,value\n2026-12-31,wood glue,,9,5.00\n",
    }
    old = write_shop(tmp_path / "old", **files)
    lines = price(old, AS_OF).filled.lines
    made, look = rolled(old, tmp_path / "new")
    counts = {row.stock or row.project: row for row in made.table("Counts", CountRow)}

    assert made.settings.written_off == 0
    assert made.settings.carried_179 == approx(lines["Year-end", "carried_out_179"]) != 0
    assert made.settings.carried_stock == approx(lines["Year-end", "closing_stock"], abs=0.005)
    assert sum(each.value or 0 for each in counts.values()) == approx(made.settings.carried_stock)
    assert counts["wood glue"].quantity == 16 - 3 * 3.75
    pulls = counts["brass cup pull"]  # 20 bought, two a piece
    assert pulls.quantity == 20 - 3 * 2
    assert (pulls.value or 0) < 14 * 1.50  # its share of what was written off
    assert counts["herb rail"].quantity == 2
    assert [line for line in look if "not counted" in line] == [
        "the stock of 2026 was not counted whole, so it opens with what its books have left, which"
        " is its stock at the end; count and mend ledgers/counts.csv: 14 of brass cup"
        " pull, 4.75 of wood glue and 2 of herb rail"
    ]
