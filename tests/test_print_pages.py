"""Pages for paper: what to buy, shop sheets, labels of the pieces, prices; values only."""

from __future__ import annotations

from math import ceil
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

from notchbook.cli import main
from notchbook.commands.print_pages import Pages, make_pages
from notchbook.sheets.tax.tool_rows import ToolRow

from .desk import AS_OF, compiled
from .shops import GOOD, write_shop
from .test_glued_and_rough import write_glued

BOARD = "pine 1x6 8ft"


@pytest.fixture(scope="module")
def shop() -> Path:
    return compiled(write_glued)


@pytest.fixture(scope="module")
def pages(shop: Path, tmp_path_factory: pytest.TempPathFactory) -> Pages:
    return make_pages(shop, {}, tmp_path_factory.mktemp("out") / "pages.xlsx", AS_OF)


@pytest.fixture(scope="module")
def package(pages: Pages) -> bytes:
    return pages.file()


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, ["print", *map(str, words)])


@pytest.mark.deep
def test_what_is_bought_is_what_the_sheets_cut(pages: Pages) -> None:
    """In the order of the vendors, with their sums; beside it what one plan for all would take."""
    bought = pages.filled.tables["To buy"]
    together = pages.priced.filled.tables["Bought together"].set_index("stock")
    takeoff = pages.priced.filled.tables["Material takeoff"].groupby("stock")["need"].sum()

    for row in bought.to_dict("records"):
        there, alone = together["there_now"][row["stock"]], takeoff[row["stock"]]
        assert row["to_buy"] == ceil(max(alone - there, 0) / _packs(pages, row["stock"]))
        assert row["together"] == together["to_buy"][row["stock"]]
    assert bought["vendor"].is_monotonic_increasing
    assert bought["vendor_outlay"].sum() == pytest.approx(bought["outlay"].sum())
    assert bought["vendor_outlay"].sum() > 0


def _packs(pages: Pages, stock: str) -> float:
    stocks = pages.priced.filled.tables["Stock"].set_index("stock")
    return float(stocks["pack"][stock])


@pytest.mark.deep
def test_a_board_that_is_there_is_not_counted_on_twice(tmp_path: Path) -> None:
    """Two sheets draw the one board that is there; the other is bought, as each is cut alone."""
    rail = GOOD["projects/herb-rail.yaml"]
    files = {
        "projects/towel-rail.yaml": rail.replace("project: herb rail", "project: towel rail"),
        "stock.yaml": GOOD["stock.yaml"].replace("price: 7.60}", "price: 7.60, on_hand: 1}"),
    }
    shop = write_shop(tmp_path / "shop", **files)

    pages = make_pages(shop, {}, tmp_path / "pages.xlsx", AS_OF)

    boards = [pages.priced.plans.cuts[name].count_boards(BOARD) for name in pages.projects]
    bought = pages.filled.tables["To buy"].set_index("stock")
    there = pages.priced.filled.tables["Stock"].set_index("stock")["there_now"][BOARD]
    assert there == 1
    assert sum(count > 0 for count in boards) > 1
    assert bought["to_buy"][BOARD] == sum(boards) - there


def test_a_label_for_each_piece(pages: Pages) -> None:
    """By hand: 2 fronts and 16 layers of 8 legs, at the size they are cut to."""
    labels = pages.filled.tables["Labels"]
    legs, fronts = (labels[labels["part"] == name] for name in ("leg", "front"))

    assert (len(legs), len(fronts), len(labels)) == (16, 2, 18)
    assert legs["piece"].tolist()[-1] == "16 of 16"
    assert set(legs["size"]) == {"3/4 x 3 x 12 1/2 in"}  # each reads by itself, once cut apart
    assert set(legs["next"]) == {"glue 2 into one, then trim to size, then assembly"}
    assert set(fronts["next"]) == {"trim to size, then assembly"}


def test_a_printed_shop_sheet_tells_what_the_drawings_letters_are(
    package: bytes, tmp_path: Path
) -> None:
    """Drawings speak of a and b; states, which on paper never change, take no room there."""
    path = tmp_path / "pages.xlsx"
    path.write_bytes(package)
    book = load_workbook(path)
    sheet = next(
        each for each in book.worksheets if each["B1"].value is None and each.title not in _OTHERS
    )
    rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    heads = {str(value) for row in rows for value in row}
    head = next(n for n, row in enumerate(rows) if "cut list" in row)
    key = rows[head].index("key")

    assert [row[key] for row in rows[head + 1 : head + 3]] == ["a", "b"]
    assert not heads & {"plan state", "state"}
    assert "packs to buy" in heads


def test_pages_count_themselves(package: bytes, tmp_path: Path) -> None:
    """Each sheet says which of how many its page is, by breaks of its own; nothing filters."""
    path = tmp_path / "pages.xlsx"
    path.write_bytes(package)
    book: Any = load_workbook(path)
    for sheet in book.worksheets:
        if sheet.sheet_state != "visible":
            continue
        pages = len(sheet.row_breaks.brk) + 1
        assert sheet.page_setup.useFirstPageNumber
        assert sheet.oddFooter.right.text == f"page &P of {pages}"
        assert not sheet.tables


_OTHERS = ("To buy", "Labels", "Price list", "Tools")


def test_values_only(package: bytes, tmp_path: Path) -> None:
    """No formula, and each page has its sheet."""
    (tmp_path / "pages.xlsx").write_bytes(package)
    book = load_workbook(tmp_path / "pages.xlsx")
    shown = [sheet.title for sheet in book.worksheets if sheet.sheet_state == "visible"]

    assert shown == ["To buy", "herb rail", "Labels", "Price list", "Tools"]
    formulas = [
        c
        for sheet in book.worksheets
        for row in sheet.iter_rows()
        for c in row
        if c.data_type == "f"
    ]
    assert formulas == []


@pytest.mark.deep
def test_written_where_it_may_be(shop: Path, package: bytes, tmp_path: Path) -> None:
    """An earlier print is replaced, anything else stays; the shop's workbook is no place."""
    target, other = tmp_path / "pages.xlsx", tmp_path / "letter.xlsx"
    target.write_bytes(package)
    other.write_bytes(b"a letter")
    workbook = next(shop.glob("*.xlsx"))

    result = run(shop, "--output", target)
    assert result.exit_code == 0, result.stderr
    assert "Labels: 18\n" in result.stdout
    for path, said in ((other, "is no print"), (workbook, "own workbook")):
        before = path.read_bytes()
        result = run(shop, "--output", path)
        assert (result.exit_code, path.read_bytes()) == (2, before)
        assert said in result.stderr


def test_pages_are_no_workbook_of_a_shop(package: bytes, shop: Path, tmp_path: Path) -> None:
    """Nobody compiles into them."""
    target = tmp_path / "pages.xlsx"
    target.write_bytes(package)
    result = CliRunner().invoke(main, ["compile", str(shop), "--output", str(target)])

    assert result.exit_code == 2
    assert "no shop's workbook" in result.stderr


def test_an_unknown_project_names_the_nearest(shop: Path, tmp_path: Path) -> None:
    """Exit 2, and nothing is written."""
    result = run(shop, "herb rial", "--output", tmp_path / "pages.xlsx")

    assert (result.exit_code, list(tmp_path.iterdir())) == (2, [])
    assert "nearest known: herb rail" in result.stderr


def test_the_tools_stand_on_one_page(pages: Pages) -> None:
    """What a preparer asks, tool by tool, adds up to the year; a page of some projects has none."""
    assets = pages.filled.tables["Assets"]
    held = pages.priced.definitions.table("Tool depreciation", ToolRow)

    assert assets["tool"].tolist() == [row.tool for row in held] == ["branding iron"]
    assert assets["business_cost"].tolist() == [row.cost for row in held]
    assert assets["used_method"].tolist() == ["expensed"]
    assert assets["year_0"].sum() == sum(row.cost for row in held)
    assert pages.list_contents()[-1] == "Tools: 1"
    some = make_pages(pages.priced.definitions.folder, {"herb rail": None}, Path("p.xlsx"), AS_OF)
    assert "Assets" not in some.filled.tables
