"""Ideas: what the sheet says of a look, and that file and workbook say the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from notchbook.commands.adopting import adoption

from .desk import Desk

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
