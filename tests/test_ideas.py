"""Ideas: what the sheet says of a look, and that file and workbook say the same."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from notchbook.commands.adopting import adoption
from notchbook.commands.ideas import build_ideas
from notchbook.gathering import load
from notchbook.shop.pipeline import price

from . import maker
from .calc import try_out
from .desk import AS_OF, Desk

IDEAS = """\
# seen at the fair
ideas:
  - idea: key shelf   # with a slat
    note: five hooks
    seen:
      - {where: pier shop, price: 58.00}
      - {where: home store, price: 49.50, on: 2026-05-02}
    minutes: 34
    cuts:
      - {from: spruce 2x4 8ft, boards: 1/4}
      - {from: spruce 2x4 8ft, make: 6, size: 3/8 x 1 x 16}
    uses: [{stock: brass cup pull, each: 4}]
    other: 3.25
"""


@pytest.fixture
def seen(desk: Desk) -> Desk:
    """The small shop with a file of ideas, compiled."""
    (desk.folder / "ideas.yaml").write_text(IDEAS, encoding="utf-8")
    assert not desk.compile().changes.conflicts
    return desk


def text(folder: Path) -> str:
    """What the file of ideas says."""
    return (folder / "ideas.yaml").read_text(encoding="utf-8")


def test_file_stands_on_the_sheet_and_back(seen: Desk) -> None:
    """Each entry has its cell; edits in the workbook reach the file and nothing else changes."""
    sheets = seen.look()
    assert sheets.cell("Ideas", "price", 0).value == 58
    assert sheets.cell("Ideas", "stock_2", 0).value == "brass cup pull"
    assert sheets.column("Seen prices", "project").count("key shelf") == 1
    assert [sheets.cell("Idea cuts", each, 0).value for each in ("amount", "length")] == [6, 16]
    assert not list(adoption(seen.folder).changed())
    with seen.open() as sheets:
        sheets.put("Ideas", 0, minutes=41, stock_1="brass cup pull", amount_1=4)
        sheets.put("Ideas", 0, stock_2="spruce 2x4 8ft", amount_2=0.25)  # the other way round
        sheets.add("Ideas", idea="peg rail", price=20, seen_at="fair", stock_1="spruce 2x4 8ft")
        sheets.put("Ideas", 1, amount_1=0.5)
        sheets.add("Idea cuts", idea="key shelf", stock="brass cup pull", amount=2)
    found = adoption(seen.folder)
    assert not found.left
    found.write()
    assert text(seen.folder) == IDEAS.replace("minutes: 34", "minutes: 41").replace(
        "[{stock: brass cup pull, each: 4}]",
        "[{stock: brass cup pull, each: 4}, {stock: brass cup pull, each: 2, apart: true}]",
    ) + (
        "  - {idea: peg rail, seen: [{where: fair, price: 20.00}],"
        " cuts: [{from: spruce 2x4 8ft, boards: 0.5}]}\n"
    )
    report = seen.compile()
    assert not report.changes.conflicts
    assert not list(adoption(seen.folder).changed())


@pytest.mark.usefixtures("few_rows")
def test_yes_makes_a_project_once(tmp_path: Path) -> None:
    """Its rows are there after a compile, the idea says made; a deleted one does not come back."""
    desk = Desk(tmp_path, maker.shop())
    with desk.open() as sheets:
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
    sheets = desk.look()
    assert sheets.cell("Ideas", "make_it", 0).value == "made"
    assert sheets.column("Cut list", "project").count("key shelf") == 2
    assert sheets.column("Consumables", "project").count("key shelf") == 1
    assert sheets.column("Seen prices", "project") == ["key shelf"]
    row = sheets.row_of("Work steps", "project", "key shelf")
    assert sheets.cell("Work steps", "minutes", row).value == 34
    found = adoption(desk.folder)
    assert not found.left
    found.write(datetime(2026, 6, 1))
    files = load(desk.folder, AS_OF)
    assert "key shelf" in files.projects
    assert "project: made" in text(desk.folder)
    report = desk.compile()
    assert not report.changes.conflicts
    assert not report.changes.added
    with desk.open() as sheets:
        for table in ("Projects", "Cut list", "Consumables", "Work steps", "Pricing tiers"):
            while "key shelf" in (names := sheets.column(table, "project")):
                sheets.delete(table, names.index("key shelf"))
    desk.compile()
    sheets = desk.look()
    assert "key shelf" not in sheets.column("Projects", "project")
    assert sheets.cell("Ideas", "make_it", 0).value == "made"


@pytest.mark.usefixtures("few_rows")
def test_typed_without_python(tmp_path: Path) -> None:
    """LibreOffice shows the verdict at once; after a compile the command says the same."""
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
    desk.compile()
    (said,) = build_ideas(price(desk.folder, AS_OF))
    assert {name: said[name] for name in ("verdict", "reason")} == {
        name: here[name] for name in ("verdict", "reason")
    }
    assert str(said["verdict"]).startswith("worth it up to ")
    for name, digits in (("left", 2), ("minutes_allowed", 1), ("materials", 2), ("market", 2)):
        assert said[name] == pytest.approx(here[name], abs=0.51 * 10**-digits)
