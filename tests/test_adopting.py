"""The workbook's edits in the files: a few letters changed, everything else as it was."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from notchbook.base.refusals import RefusedError
from notchbook.cli import main
from notchbook.commands.adopting import adoption
from notchbook.definitions.editing.edits import YamlFile, quoted_text
from notchbook.definitions.editing.writing import length, number
from notchbook.gathering import load

from .desk import AS_OF, Desk
from .maker import shop


def lines_of(diff: str) -> list[str]:
    signs = ("+", "-")
    return [
        line
        for line in diff.splitlines()
        if line.startswith(signs) and line[:3] not in ("+++", "---")
    ]


def all_bytes(desk: Desk) -> dict[Path, bytes]:
    return {path: path.read_bytes() for path in desk.folder.rglob("*") if path.is_file()}


@pytest.fixture
def little(tmp_path: Path) -> Desk:
    """A desk with hardly anything to plan."""
    return Desk(tmp_path, shop())


def test_edits_of_cells(desk: Desk) -> None:
    """Prices, words, sizes, a shared entry, settings: each where it stands in its file."""
    with desk.open() as book:
        book.put("Stock", 0, price=4.4, on_hand=None)
        book.put("Stock", 2, vendor="a friend, far off")
        book.put("Cut list", 0, length=24.5, stocks="pine 1x6 8ft; spruce 2x4 8ft")
        book.put("Projects", 0, spoilage=0.08)
        book.put("Consumables", 2, amount=3)
        book.put("Work steps", 1, minutes=4.5)
        book.put("Pricing tiers", 1, asked=35)
        book.put("Tiers", 0, margin=0.5)
        book.line("Settings", "labor_rate").value = 25
        book.line("Settings", "kerf").value = 0.09375
    desk.compile()
    found = adoption(desk.folder)

    assert found.left == []
    text = found.after
    assert "size: 3/4 x 5 1/2 x 24 1/2, from: [pine 1x6 8ft, spruce 2x4 8ft]}" in str(
        text["projects/herb-rail.yaml"]
    )
    for file, wanted in (
        ("stock.yaml", "price: 4.40"),
        ("stock.yaml", 'vendor: "a friend, far off"}'),
        ("projects/herb-rail.yaml", "spoilage: 8%"),
        ("projects/herb-rail.yaml", "asked: {market stall: 32, online: 35.00}"),
        ("projects/herb-rail.yaml", "minutes: 4.5}"),
        ("projects/herb-rail.yaml", "{stock: clear coat, coats: 2, on: [face], faces: 1}"),
        ("projects/herb-rail.yaml", "{stock: clear coat, coats: 3, on: front, faces: 1}"),
        ("shop.yaml", "margin: 50%"),
        ("shop.yaml", "labor_rate: 25.00"),
        ("shop.yaml", "kerf: 3/32"),
    ):
        assert wanted in str(text[file]), (wanted, text[file])
    assert "on_hand: 3}" not in str(text["stock.yaml"])
    found.write()
    report = desk.compile()
    assert not list(report.changes)
    assert list(adoption(desk.folder).changed()) == []


@pytest.mark.deep
def test_a_renamed_project_keeps_its_prices(little: Desk) -> None:
    """Those asked stand under another name in the workbook, and stay as the file has them."""
    with little.open() as book:
        book.put("Projects", 0, project="sill rail")
    little.compile()
    text = str(adoption(little.folder).after["projects/herb-rail.yaml"])
    assert "project: sill rail" in text
    assert "asked: {market stall: 32}" in text


@pytest.mark.deep
def test_rows_come_and_go(desk: Desk) -> None:
    """Rows typed in are put into the right list and file, deleted ones go, names are followed.

    All with the line ends of another system, which stay.
    """
    for path in desk.folder.rglob("*.yaml"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    with desk.open() as book:
        book.delete("Work steps", 1)
        book.put("Stock", 1, stock="pine board")
        book.add("Stock", stock="oak 1x4", kind="lumber", nominal="1x4", length=72, price=18)
        book.add("Stock", stock="big hook", kind="hardware", price=12, pack=6)
        book.add(
            "Cut list",
            project="herb rail",
            part="lid",
            make=1,
            thickness=0.5,
            width=2,
            length=10.25,
            stocks="oak 1x4",
        )
        book.add("Consumables", project="herb rail", stock="big hook", basis="piece", amount=1)
        book.add("Projects", project="key shelf", batch=3)
        book.add(
            "Cut list",
            project="key shelf",
            part="shelf",
            make=1,
            thickness=0.75,
            width=3.5,
            length=14.375,
            stocks="oak 1x4",
        )
        book.add("Work steps", project="key shelf", step="cut", setup=5, minutes=4)
    desk.compile()
    found = adoption(desk.folder)
    found.write()
    for path in desk.folder.rglob("*.yaml"):
        assert path.read_bytes().count(b"\r\n") == path.read_bytes().count(b"\n") > 0
    stock = (desk.folder / "stock.yaml").read_text()
    rail = (desk.folder / "projects/herb-rail.yaml").read_text()

    assert found.left == []
    assert (desk.folder / "projects/key-shelf.yaml").read_text() == (
        "project: key shelf\ntitle: key shelf\nbatch: 3\nparts:\n"
        "  - {part: shelf, make: 1, size: 3/4 x 3 1/2 x 14 3/8, from: [oak 1x4]}\n"
        "steps:\n  - {step: cut, setup: 5, minutes: 4}\n"
    )
    assert "  - {stock: oak 1x4, nominal: 1x4, length: 72, price: 18.00}\npanels:" in stock
    assert "  - {stock: big hook, price: 12.00, pack: 6}\nconsumables:" in stock
    assert "stock: pine board, nominal: 1x6" in stock
    assert "from: [pine board]" in rail
    assert "from: [pine board]" in (desk.folder / "projects/peg-board.yaml").read_text()
    assert "step: finish" not in rail
    assert "  - {part: lid, make: 1, size: 1/2 x 2 x 10 1/4, from: [oak 1x4]}\nlaid:" in rail
    assert "key shelf" in load(desk.folder, AS_OF).projects
    assert not list(desk.compile().changes)


@pytest.mark.deep
def test_a_new_name_adopted_at_once(desk: Desk) -> None:
    """Adopted before it was compiled, it is no difference, and ledgers follow it all the same."""
    with desk.open() as book:
        book.put("Stock", 0, stock="yard spruce")
    adoption(desk.folder).write()
    report = desk.compile()

    assert "stock: yard spruce" in (desk.folder / "stock.yaml").read_text()
    assert [str(each) for _, each in report.changes] == []
    assert desk.look().column("Purchases", "stock")[0] == "yard spruce"


@pytest.mark.deep
def test_the_command_shows_and_asks(desk: Desk) -> None:
    """The diff first; nothing is written without a yes."""
    with desk.open() as book:
        book.put("Stock", 0, price=4.4)
    before = (desk.folder / "stock.yaml").read_text()
    asked = CliRunner().invoke(main, ["adopt", str(desk.folder)], input="n\n")
    assert "+  - {stock: spruce 2x4 8ft" in asked.stdout
    nobody = CliRunner().invoke(main, ["adopt", str(desk.folder)], input="")
    assert (nobody.exit_code, "nothing was written" in nobody.stderr) == (2, True)
    lock = desk.path.with_name(f".~lock.{desk.path.name}#")
    lock.touch()
    held = CliRunner().invoke(main, ["adopt", str(desk.folder), "--yes"])
    assert (held.exit_code, "is open in a spreadsheet program" in held.stderr) == (2, True)
    lock.unlink()
    assert (desk.folder / "stock.yaml").read_text() == before
    done = CliRunner().invoke(main, ["adopt", str(desk.folder), "--yes"])
    assert done.exit_code == 0
    assert (desk.folder / "stock.yaml").read_text() == before.replace("price: 4.15", "price: 4.40")
    again = CliRunner().invoke(main, ["adopt", str(desk.folder), "--yes"])
    assert "Files and workbook already agree" in again.stdout


@pytest.mark.deep
def test_a_file_saved_meanwhile_stays(little: Desk) -> None:
    """While the changes were looked at, the maker saved a file: nothing at all is written."""
    with little.open() as book:
        book.put("Stock", 0, price=5.25)
        book.line("Settings", "labor_rate").value = 25
    found = adoption(little.folder)
    little.replace("stock.yaml", "pack: 4}", "pack: 4}  # new supplier from May")
    (little.folder / "projects/new.yaml").write_text("project: new\n", encoding="utf-8")
    before = all_bytes(little)
    with pytest.raises(RefusedError, match=r"^projects/new.yaml, stock.yaml changed since") as told:
        found.write()

    assert "nothing was written" in str(told.value)
    assert all_bytes(little) == before


@pytest.mark.deep
def test_old_files_are_kept(little: Desk) -> None:
    """Those that change and those that go, under their names and the time."""
    rail = little.folder / "projects/herb-rail.yaml"
    other = rail.with_name("shop.yaml")  # of the same name as another that changes
    other.write_bytes(rail.read_bytes().replace(b"herb rail", b"key rail"))
    little.compile()
    with little.open() as book:
        book.line("Settings", "labor_rate").value = 25
        for table in ("Projects", "Cut list", "Consumables", "Work steps"):
            book.delete(table, book.row_of(table, "project", "key rail"))
    before = {path: path.read_bytes() for path in (little.folder / "shop.yaml", other)}
    said = adoption(little.folder).write(datetime(2026, 6, 1, 10, 15))
    kept = {path.name: path.read_bytes() for path in (little.folder / "backups").glob("*.yaml")}

    assert not other.exists()
    assert "labor_rate: 25.00" in (little.folder / "shop.yaml").read_text(encoding="utf-8")
    assert sorted(kept) == ["shop 2026-06-01 101500-2.yaml", "shop 2026-06-01 101500.yaml"]
    assert sorted(kept.values()) == sorted(before.values())
    assert "Removed projects/shop.yaml\nThe old files are kept as backups/shop 2026-06-01" in said


@pytest.mark.deep
def test_hidden_files_are_none_of_ours(little: Desk) -> None:
    """What a system leaves beside the files is not read here either, nor other YAML."""
    (little.folder / "projects/._herb-rail.yaml").write_bytes(b"\x00\x05\x16\x07\xb0\xff")
    (little.folder / "notes.yaml").write_bytes(b"")
    with little.open() as book:
        book.line("Settings", "labor_rate").value = 25
    found = adoption(little.folder)
    found.write()

    assert list(found.before) == [
        "shop.yaml",
        "stock.yaml",
        "tools.yaml",
        "projects/herb-rail.yaml",
    ]
    assert "labor_rate: 25.00" in (little.folder / "shop.yaml").read_text(encoding="utf-8")


@pytest.mark.deep
def test_a_row_that_is_another_keeps_its_comment(little: Desk) -> None:
    """Named anew and changed besides, in a list of one and in a list of names."""
    little.replace("projects/herb-rail.yaml", "minutes: 6}", "minutes: 6}  # with the jig")
    little.replace("projects/herb-rail.yaml", "asked: {market", "asked:  # as ever\n  {market")
    little.replace("projects/herb-rail.yaml", "[spruce 2x4 8ft]}", "[\n    spruce 2x4 8ft]}  # dry")
    little.compile()
    with little.open() as book:
        book.put("Stock", 0, stock="fir 2x4 8ft", price=5)
        book.put("Cut list", 0, stocks="fir 2x4 8ft; oak 1x4")
        book.add("Stock", stock="oak 1x4", kind="lumber", nominal="1x4", length=72, price=18)
        book.put("Work steps", 0, step="rip, crosscut and sand", minutes=9)
        book.put("Tiers", book.row_of("Tiers", "tier", "market stall"), tier="stall, large")
    little.compile()
    found = adoption(little.folder)
    found.write()

    assert found.left == []
    stock = (little.folder / "stock.yaml").read_text(encoding="utf-8")
    rail = (little.folder / "projects/herb-rail.yaml").read_text(encoding="utf-8")
    assert stock.startswith(
        "lumber:\n"
        "  - {stock: fir 2x4 8ft, nominal: 2x4, length: 96, price: 5.00}  # from the yard\n"
        "  - {stock: oak 1x4, nominal: 1x4, length: 72, price: 18.00}\n"
    )
    assert 'asked:  # as ever\n  {"stall, large": 32}\n' in rail
    assert "from: [\n    fir 2x4 8ft,\n    oak 1x4]}  # dry\n" in rail
    assert (
        'steps:\n  - {step: "rip, crosscut and sand", setup: 20, minutes: 9}  # with the jig\n'
        in rail
    )
    assert not list(little.compile().changes)


@pytest.mark.deep
def test_rows_that_are_all_others(little: Desk) -> None:
    """The only ones of their lists, nothing like those that come; and the only tool."""
    with little.open() as book:
        book.delete("Work steps", 0)
        book.add("Work steps", project="herb rail", step="saw", setup=1, minutes=2)
        book.delete("Tool depreciation", 0)
    found = adoption(little.folder)
    found.write()

    assert found.left == []
    rail = (little.folder / "projects/herb-rail.yaml").read_text(encoding="utf-8")
    assert rail.endswith("steps:\n  - {step: saw, setup: 1, minutes: 2}\n")
    assert not (little.folder / "tools.yaml").exists()
    assert "herb rail" in load(little.folder, AS_OF).projects


BLOCKS = """\
# my stock
lumber:   # boards
  - stock: pine   # soft
    price: 4
    length: 96

  - {stock: fir, price: 5}   # softer
hardware: [{stock: hook, price: 1}]
"""


def test_edits_keep_comments_and_lines() -> None:
    """In block and bracket style, keys and entries come, change and go."""
    file = YamlFile(BLOCKS)
    pine, fir = file.entries("lumber")
    file.set(pine, "price", "4.50")
    file.set(pine, "vendor", "Yard A")
    file.set(pine, "length", None)
    file.set(fir, "price", None)
    file.set(fir, "vendor", quoted_text("yes"))
    file.append("lumber", "{stock: oak}")
    file.append("hardware", "{stock: nail}")
    file.append("panels", "{stock: ply}")
    file.append("panels", "{stock: board}")

    assert (
        file.changed()
        == """\
# my stock
lumber:   # boards
  - stock: pine   # soft
    price: 4.50
    vendor: Yard A

  - {stock: fir, vendor: "yes"}   # softer
  - {stock: oak}
hardware: [{stock: hook, price: 1}, {stock: nail}]
panels:
  - {stock: ply}
  - {stock: board}
"""
    )
    file = YamlFile(BLOCKS)
    file.remove("lumber", file.entries("lumber")[1])
    file.remove("hardware", file.entries("hardware")[0])
    assert file.changed() == BLOCKS[: BLOCKS.index("  - {stock: fir")]


@pytest.mark.parametrize(
    ("value", "text"),
    [(14.375, "14 3/8"), (0.5, "1/2"), (24.0, "24"), (10.3, "10.3"), (1 / 3, "0.333333333333")],
)
def test_lengths_as_on_the_tape(value: float, text: str) -> None:
    """Halves to 128ths as fractions, all else in decimals."""
    assert length(value) == text
    assert number(0.00001) == "0.00001"


def test_what_the_files_need_is_asked_for(desk: Desk) -> None:
    """A blank that the sheets admit and the files do not: named before anything is written."""
    with desk.open() as book:
        book.add("Seen prices", project="herb rail", where="a market", price=50)
        book.add("Projects", project="key shelf", batch=3)
    before = (desk.folder / "projects/herb-rail.yaml").read_text()
    done = CliRunner().invoke(main, ["adopt", str(desk.folder), "--yes"])

    assert done.exit_code == 2
    assert "Seen prices, herb rail, a market: on is blank; type it into the workbook" in done.stderr
    assert "Cut list: key shelf has no row; type one into the workbook" in done.stderr
    assert "Work steps: key shelf has no row; type one into the workbook" in done.stderr
    assert (desk.folder / "projects/herb-rail.yaml").read_text() == before
