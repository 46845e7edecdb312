"""Ideas: what the sheet says of a look, and that file and workbook say the same."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from notchbook.commands.adopting import adoption
from notchbook.commands.ideas import build_ideas
from notchbook.gathering import gather, load
from notchbook.shop.pipeline import price

from . import maker
from .calc import try_out
from .desk import AS_OF, Desk, Sheets
from .shops import GOOD

IDEAS = GOOD["ideas.yaml"]
HOME = "{where: home store, price: 49.50, on: 2026-05-02}"


def text(folder: Path) -> str:
    """What the file of ideas says."""
    return (folder / "ideas.yaml").read_text(encoding="utf-8")


def test_file_stands_on_the_sheet_and_back(desk: Desk) -> None:
    """Each entry has its cell; edits in the workbook reach the file and nothing else changes."""
    sheets = desk.look()
    assert sheets.cell("Ideas", "price", 0).value == 58
    assert sheets.cell("Ideas", "stock_2", 0).value == "brass cup pull"
    assert [sheets.cell("Idea cuts", each, 0).value for each in ("amount", "length")] == [5, 9]
    with desk.open() as sheets:
        sheets.put("Ideas", 0, minutes=41, stock_1="brass cup pull", amount_1=4)
        sheets.put("Ideas", 0, stock_2="spruce 2x4 8ft", amount_2=0.25)  # the other way round
        sheets.add("Ideas", idea="peg rail", price=20, seen_at="fair", stock_1="spruce 2x4 8ft")
        sheets.put("Ideas", 1, amount_1=0.5)
        sheets.add("Idea cuts", idea="key shelf", stock="brass cup pull", amount=2)
        sheets.add(
            "Seen prices", project="key shelf", where="home store", price=49.5, on="2026-05-02"
        )
    found = adoption(desk.folder)
    assert not found.left
    assert list(found.changed()) == ["ideas.yaml"]
    found.write(datetime(2026, 6, 1))
    changed = IDEAS.replace("minutes: 34", "minutes: 41")
    changed = changed.replace("price: 58.00}", f"price: 58.00}}, {HOME}")
    changed = changed.replace("each: 4}", "each: 4}, {stock: brass cup pull, each: 2, apart: true}")
    assert text(desk.folder) == changed + (
        "  - {idea: peg rail, seen: [{where: fair, price: 20.00}],"
        " cuts: [{from: spruce 2x4 8ft, boards: 0.5}]}\n"
    )
    assert not list(adoption(desk.folder).changed())
    assert not gather(desk.folder, None).changes.conflicts


def delete(sheets: Sheets, project: str) -> None:
    """Deletes all rows of a project."""
    for table in ("Projects", "Cut list", "Consumables", "Work steps", "Pricing tiers"):
        while project in (names := sheets.column(table, "project")):
            sheets.delete(table, names.index(project))


@pytest.mark.usefixtures("few_rows")
@pytest.mark.deep
def test_yes_makes_a_project_once(tmp_path: Path) -> None:
    """Its rows are there after a compile, the idea says made; a deleted one does not come back.

    It is planned and priced, and has its shop sheet; another project goes in the same compile.
    """
    desk = Desk(tmp_path, maker.shop_with_variants())
    with desk.open() as sheets:
        delete(sheets, "peg board large")
        sheets.add(
            "Ideas",
            idea="key shelf",
            price=58,
            seen_at="pier shop",
            stock_1="spruce 2x4 8ft",
            amount_1=0.25,
            stock_2="brass cup pull",
            amount_2=4,
            minutes=34,
            setup=10,
            batch=4,
            make_it="yes",
        )
        cut = {"amount": 6, "thickness": 0.375, "width": 1, "length": 16}
        sheets.add("Idea cuts", idea="key shelf", stock="spruce 2x4 8ft", **cut)
    report = desk.compile()
    assert any("key shelf is a project now" in each for each in report.notices)
    assert report.changes.added[-1].row == "key shelf"
    first = desk.path.read_bytes()
    desk.compile()
    assert desk.path.read_bytes() == first  # nothing is left for a second compile
    sheets = desk.look()
    assert sheets.cell("Ideas", "make_it", 0).value == "made"
    assert sheets.column("Cut list", "project").count("key shelf") == 2
    assert sheets.column("Consumables", "project").count("key shelf") == 1
    assert sheets.column("Seen prices", "project") == ["key shelf"]
    row = sheets.row_of("Work steps", "project", "key shelf")
    assert sheets.cell("Work steps", "minutes", row).value == 34
    assert "key shelf" in sheets.book.sheetnames
    assert "key shelf" in sheets.column("Cut plan", "project")
    filled = price(desk.folder, AS_OF).filled.tables
    (its,) = filled["Projects"][filled["Projects"].project == "key shelf"].to_dict("records")
    assert its["stale"] == ""
    assert its["material"] > 0
    assert its["hardware"] == pytest.approx(4 * 1.35)
    assert its["price"] == 23  # 40 % of 58.00, down to a whole amount
    found = adoption(desk.folder)
    assert not found.left
    found.write(datetime(2026, 6, 1))
    files = load(desk.folder, AS_OF)
    assert "key shelf" in files.projects
    assert "project: made" in text(desk.folder)
    changes = gather(desk.folder, None).changes
    assert not changes.conflicts
    assert not changes.added
    with desk.open() as sheets:
        delete(sheets, "key shelf")
    again = gather(desk.folder, None).definitions
    assert again.projects == ("herb rail", "peg board small")
    assert [row["make_it"] for row in again.cells("Ideas")] == ["made"]


@pytest.mark.usefixtures("few_rows")
@pytest.mark.deep
def test_typed_without_python(tmp_path: Path) -> None:
    """LibreOffice shows the verdict at once, and the command says the same of what it saved."""
    desk = Desk(tmp_path / "shop", maker.shop())
    typed: dict[str, float | str] = {"idea": "key shelf", "price": 58, "stock_1": "spruce 2x4 8ft"}
    typed |= {"amount_1": 0.25, "stock_2": "brass cup pull", "amount_2": 4, "other": 1.5}
    cut: dict[str, float | str] = {"idea": "key shelf", "stock": "spruce 2x4 8ft", "amount": 6}
    cut |= {"thickness": 0.375, "width": 1, "length": 16}
    sheets = desk.look()
    cells = {
        ("Ideas", sheets.cell(table, name, 0).coordinate): value
        for table, row in (("Ideas", typed), ("Idea cuts", cut))
        for name, value in row.items()
    }
    saved = tmp_path / "saved.xlsx"
    looks = try_out(desk.path, {"look": cells}, tmp_path / "seen.txt", {"look": saved})
    here = {
        name: looks["look"]["Ideas", sheets.cell("Ideas", name, 0).coordinate]
        for name in ("verdict", "reason", "left", "minutes_allowed", "materials", "market")
    }
    saved.replace(desk.path)
    (said,) = build_ideas(price(desk.folder, AS_OF))
    assert {name: said[name] for name in ("verdict", "reason")} == {
        name: here[name] for name in ("verdict", "reason")
    }
    assert str(said["verdict"]).startswith("worth it up to ")
    for name, digits in (("left", 2), ("minutes_allowed", 1), ("materials", 2), ("market", 2)):
        assert said[name] == pytest.approx(here[name], abs=0.51 * 10**-digits)
    desk.compile()
    assert build_ideas(price(desk.folder, AS_OF)) == [said]
