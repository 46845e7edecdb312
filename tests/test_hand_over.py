"""The partner's copy: nothing of the shop in it but what is handed over, and prices that move."""

from __future__ import annotations

import re
import tempfile
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import fromstring

import pandas as pd
import pytest
from openpyxl import load_workbook
from openpyxl.comments import Comment

from notchbook.base.refusals import RefusedError
from notchbook.commands.compile import compile_shop
from notchbook.commands.hand_over import Contents, HandOver, copy_of, hand_over, write
from notchbook.commands.hand_over_text import statement
from notchbook.sheets import check
from notchbook.sheets.kit.calculate import Filled, calculate
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.show import MONEYS
from notchbook.shop.pipeline import Priced, list_shortages, price

from .calc import type_and_save
from .desk import AS_OF, Sheets
from .engines import agree, formula_values, recalculated_by_formualizer, without_values
from .searching import seldom
from .shops import GOOD, write_shop
from .test_cli import run
from .workbook_lint import lint

HERE, OTHER = "herb rail", "zqother"
WORDS = (
    *("zqvendor", "zqstore", "zqcustomer", "zqreceipt", "zqyard", "zqslip", "zqdrive", "zqrun"),
    *("zqstock", "zqscrew", "zqtool", OTHER, "zqtitle", "zqpart", "zqstep"),
    *("zqauthor", "zqsheet", "zqcell", "zqnote", "zqfolder", "zqbeside"),
)
"""One word each for what must not go along: of ledgers, other projects, people, places."""
LEDGER_NUMBERS = ("83.19", "417.53", "6411.77")
COSTS = ("7.31", "23.47", "31.73")
"""The price of a board, the labor rate, the price of a can."""

ASKED_IN_THE_WORKBOOK = 37


def planted(folder: Path) -> Path:
    """The small shop with a word of its own in everything that must stay at home."""

    def edited(name: str, **words: str) -> str:
        text = GOOD[name]
        for old, new in words.items():
            assert old.replace("_", " ") in text, old
            text = text.replace(old.replace("_", " "), new)
        return text

    stock = (
        edited("stock.yaml", Yard_A="zqvendor").replace("4.15", "7.31").replace("21.00", "31.73")
    )
    more = "  - {stock: zqstock, thickness: 3/4, width: 4, length: 60, price: 5.10}\npanels:"
    tool = "tools:\n  - {tool: zqtool, cost: 6411.77, in_service: 2026-03-01, wear: per use,"
    changes: dict[str, str | None] = {
        "shop.yaml": GOOD["shop.yaml"].replace("24.00", COSTS[1]) + "shop_sheet_costs: true\n",
        "stock.yaml": stock.replace("panels:", more).replace(
            "hardware:", "hardware:\n  - {stock: zqscrew, price: 3.00, pack: 50}"
        ),
        "tools.yaml": GOOD["tools.yaml"].replace("cost: 48.00", "cost: 47.33").replace(
            "tools:", f"{tool}\n     expected_uses: 10, tax_method: expensed}}"
        ),
        "projects/herb-rail.yaml": edited("projects/herb-rail.yaml", home_store="zqstore"),
        "projects/peg-board.yaml": None,
        f"projects/{OTHER}.yaml": f"project: {OTHER}\ntitle: zqtitle\nbatch: 2\n"
        "parts:\n  - {part: zqpart, make: 1, size: 3/4 x 4 x 20, from: [zqstock]}\n"
        "steps:\n  - {step: zqstep as on the herb rail, setup: 5, minutes: 3}\n",
        "ledgers/sales.csv": GOOD["ledgers/sales.csv"]
        .replace("peg board small", OTHER)
        .replace("blue paper, ribbon", "zqcustomer")
        .replace("103,", "zqreceipt,")
        .replace("24.00", "83.19"),
        "ledgers/purchases.csv": edited("ledgers/purchases.csv", Yard_A="zqyard", boards="zqslip")
        .replace("41.50", "417.53"),
        "ledgers/production.csv": "date,project,made,note\n2026-04-20,herb rail,6,zqrun\n",
        "ledgers/mileage.csv": edited("ledgers/mileage.csv", market_and_back="zqdrive"),
    }  # fmt: skip
    return write_shop(folder, **changes)


@cache
def books() -> tuple[Path, Priced]:
    """The planted shop's workbook with the maker's own things in it, and all of it worked out."""
    folder = planted(Path(_folder().name) / "zqfolder")
    path = Path(compile_shop(folder, None, AS_OF).workbook)
    book: Any = load_workbook(path)
    sheets = Sheets(book)
    sheets.cell("Pricing tiers", "asked", 0).value = ASKED_IN_THE_WORKBOOK
    book.properties.creator = book.properties.lastModifiedBy = "zqauthor"
    book.create_sheet("zqsheet")["A1"] = "zqcell"
    sheets.cell("Cut list", "part", 0).comment = Comment("zqnote", "zqauthor")
    book["Cut list"]["Z8"] = "zqbeside"
    book.save(path)
    return path, price(folder, None)


@cache
def _folder() -> tempfile.TemporaryDirectory[str]:
    return tempfile.TemporaryDirectory(prefix="notchbook-handed-")


@cache
def copied(contents: Contents, project: str = HERE) -> tuple[HandOver, Path]:
    """A copy of a project and its file."""
    found = copy_of(books()[1], [project], contents)
    path = Path(_folder().name) / f"{contents.name} {project}.xlsx"
    write(found.file(), path)
    return found, path


def parts(path: Path) -> Iterator[tuple[str, bytes]]:
    """The file itself, and every part of it unpacked."""
    yield "the file", path.read_bytes().lower()
    with zipfile.ZipFile(path) as package:
        for name in package.namelist():
            yield name, package.read(name).lower()


def leaks(path: Path, words: tuple[str, ...]) -> set[tuple[str, str]]:
    """The words that stand in any byte of any part, however they are encoded."""
    codes = ("utf-8", "utf-16-le", "utf-16-be")
    return {
        (word, name)
        for name, data in parts(path)
        for word in words
        if any(word.encode(code) in data for code in codes)
    }


@pytest.mark.deep
def test_the_words_are_in_the_shop() -> None:
    """Everything that is looked for does stand in the shop's own workbook, but for its folder."""
    found = {word for word, _ in leaks(books()[0], WORDS + LEDGER_NUMBERS + COSTS)}

    assert found == {*WORDS, *LEDGER_NUMBERS, *COSTS} - {"zqfolder"}


@pytest.mark.parametrize(
    "contents", [each for each in Contents if each is not Contents.LIVE] + seldom(Contents.LIVE)
)
def test_nothing_else_goes_along(contents: Contents) -> None:
    """No byte of any part holds a word of what stays at home; nothing is hidden."""
    _, path = copied(contents)
    book = load_workbook(path)

    assert leaks(path, WORDS + LEDGER_NUMBERS) == set()
    assert {sheet.sheet_state for sheet in book.worksheets} == {"visible"}
    assert not [name for name, _ in parts(path) if "external" in name or "custom" in name]
    assert lint(path) == []


def test_prices_only_shows_no_cost() -> None:
    """The price list has its prices, and no digit of what they are made of."""
    _, path = copied(Contents.PRICES)
    _, shop = books()
    tables = shop.filled.tables
    asked = tables["Pricing tiers"].query("project == @HERE")
    costs = tables["Projects"].query("project == @HERE")
    hidden = [
        repr(float(value))[:7]
        for rows, names in (
            (costs, ("material", "consumables", "labor", "overhead", "unit_cost", "minutes")),
            (asked, ("break_even", "for_margin", "profit", "margin", "per_hour")),
        )
        for name in names
        for value in rows[name]
        if len(repr(float(value))) >= 6
    ]
    book = load_workbook(path)
    rows = list(book["Price list"].iter_rows(min_row=7, values_only=True))

    assert book.sheetnames == ["Price list"]
    assert len(hidden) > 10
    assert leaks(path, (*COSTS, *hidden)) == set()
    assert rows[0][4] == ASKED_IN_THE_WORKBOOK
    assert [(row[0], row[2], row[4]) for row in rows] == list(
        zip(asked["project"], asked["tier"], asked["price"], strict=True)
    )


@pytest.mark.parametrize(
    ("tiers", "channels", "there"),
    [
        (("trade",), (), {"trade"}),
        ((), ("saturday market",), {"market stall", "trade"}),
        (("online",), ("saturday market",), {"market stall", "online", "trade"}),
    ],
)
def test_a_buyer_sees_the_prices_meant_for_them(
    tmp_path: Path, tiers: tuple[str, ...], channels: tuple[str, ...], there: set[str]
) -> None:
    """A price list of a tier, or of a channel's tiers, holds no other price."""
    target = tmp_path / "list.xlsx"
    shop = write_shop(tmp_path / "shop")
    found = hand_over(shop, [HERE], target, AS_OF, Contents.PRICES, tiers=tiers, channels=channels)

    assert set(found.filled.tables["Price list"]["tier"]) == there


def test_an_unknown_tier_is_told(tmp_path: Path) -> None:
    """With the nearest name."""
    shop = write_shop(tmp_path / "shop")

    with pytest.raises(RefusedError, match=r"no tier 'trad'.*nearest known: trade"):
        hand_over(shop, [HERE], tmp_path / "l.xlsx", AS_OF, Contents.PRICES, tiers=["trad"])


def test_frozen_holds_values_only() -> None:
    """Without any formula, conditional ones included, each cell says what the shop's own does."""
    found, path = copied(Contents.FROZEN)
    formulas = leaks(path, ("<f>", "<f ", "<formula"))

    assert {name for _, name in formulas if not name.startswith("xl/charts/")} == set()
    assert found.book.tables.keys() <= copied(Contents.LIVE)[0].book.tables.keys()
    same_as_the_shop(found)


def near(here: Any, there: Any) -> bool:
    """Equal but for the digits that a copy leaves out."""
    if isinstance(here, str) or isinstance(there, str):
        return agree(here, there)
    return bool(here == pytest.approx(there, rel=1e-4, abs=1e-4))


def same_as_the_shop(found: HandOver) -> None:
    """Each row of the copy holds what the shop's own row holds."""
    for name, table in found.book.tables.items():
        whole = found.priced.filled.tables[name]
        key = next(iter(table.by_name))
        kept = whole[whole[key].isin(found.filled.tables[name][key])]
        for column in table.by_name:
            pairs = zip(found.filled.tables[name][column], kept[column], strict=True)
            wrong = [pair for pair in pairs if not (near(*pair) or all(map(pd.isna, pair)))]
            assert not wrong, (name, column, wrong)


@pytest.mark.parametrize("project", [HERE, OTHER])
def test_live_formulas_give_what_the_shop_says(project: str) -> None:
    """Each formula, calculated by a second engine, gives its stored value: the shop's own."""
    found, path = copied(Contents.LIVE, project)
    check(found.book)
    stored, again = formula_values(path, path), recalculated_by_formualizer(path)

    same_as_the_shop(found)
    assert len(stored) > 200
    assert not {place for place in stored if not agree(stored[place], again[place])}
    assert lint(path) == []


def test_empty_sheets_stay_out() -> None:
    """What a project does not use has no sheet, and no formula looks for it."""
    found, _ = copied(Contents.LIVE, OTHER)

    assert {"Laid surfaces", "Tool depreciation"}.isdisjoint(found.book.tables)
    assert found.mentions == [("Work steps", HERE), ("Shop steps", HERE)]


@pytest.mark.deep
def test_a_price_typed_in_the_copy_moves_its_prices(tmp_path: Path) -> None:
    """Recalculated in LibreOffice, all cells of the copy say what Python says at that price."""
    found, path = copied(Contents.LIVE)
    row = found.filled.tables["Stock"]["stock"].tolist().index("pine 1x6 8ft")
    cell = Sheets(load_workbook(path)).cell("Stock", "price", row)
    bare, saved = tmp_path / "bare.xlsx", tmp_path / "saved.xlsx"
    without_values(path, bare)
    type_and_save(bare, saved, {("Stock", cell.coordinate): 19.85})

    changed = dearer(found, row, 19.85)
    meant = tmp_path / "meant.xlsx"
    meant.write_bytes(changed.file())
    wanted, seen = formula_values(meant, meant), formula_values(path, saved)
    assert not {place for place in wanted if not agree(wanted[place], seen[place])}
    before, after = (each.filled.tables["Pricing tiers"] for each in (found, changed))
    assert (after["for_margin"] > before["for_margin"] + 1).all()
    assert (after["suggested"] == before["suggested"]).all()  # people pay no more for it
    assert (after["per_hour"] < before["per_hour"]).all()
    assert len(wanted) > 400


def dearer(found: HandOver, row: int, price: float) -> HandOver:
    """The copy with another price in a row of Stock, worked out by Python."""
    given = {
        name: rows[[c.name for c in found.book.tables[name].columns if c.role != Role.COMPUTED]]
        for name, rows in found.filled.tables.items()
    }
    given["Stock"] = given["Stock"].copy()
    given["Stock"].loc[row, "price"] = price
    lines = {
        key: value
        for key, value in found.filled.lines.items()
        if found.book.lines[key[0]].cells[key[1]].rule is None
    }
    filled = Filled({name: rows.copy() for name, rows in given.items()}, lines, {})
    calculate(found.book, filled, found.priced.units)
    return replace(found, filled=filled)


def test_what_is_said() -> None:
    """The statement names what goes along and what stays, in 80 columns."""
    for contents in Contents:
        told = statement(copied(contents)[0])
        assert max(map(len, told.splitlines())) <= 80
        left = " ".join(told.split("Left out:")[1].split())
        assert "1 other project" in left
        assert "Sales ledger" in left
        assert ("vendor" in left) is (contents is Contents.LIVE)
        assert ("no cost" in told) is (contents in (Contents.PRICES, Contents.PLANS))


@pytest.fixture
def pegs(tmp_path: Path) -> Path:
    """A shop with two peg boards, without books."""
    books = [name for name in GOOD if name.startswith("ledgers/")]
    dropped = dict.fromkeys([*books, "projects/herb-rail.yaml"])
    return write_shop(tmp_path / "pegs", **dropped)


REFUSED: dict[str, tuple[list[str], str, str]] = {
    "unknown names, all of them": (
        ["peg bord small", "shelf"],
        "copy.xlsx",
        "no project 'peg bord small' (nearest known: peg board small); no project 'shelf'",
    ),
    "another file": (["peg board small"], "mine.xlsx", "no hand-over as notchbook wrote it"),
    "no folder": (["peg board small"], "there/copy.xlsx", "make it first"),
    "no workbook": (["peg board small"], "copy.pdf", "name it copy.xlsx"),
    "its own": (["peg board small"], "pegs/Bench and Burr 2026.xlsx", "own workbook"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_is_refused(pegs: Path, case: str) -> None:
    """A wrong name or place: told in a line, exit code 2, and nothing is touched."""
    names, output, says = REFUSED[case]
    (pegs.parent / "mine.xlsx").write_bytes(b"mine")
    before = sorted(pegs.parent.rglob("*"))
    result = run("hand-over", pegs, *names, "--output", pegs.parent / output)

    assert (result.exit_code, result.stdout) == (2, "")
    assert says in result.stderr
    assert result.stderr.count("\n") == 1
    assert sorted(pegs.parent.rglob("*")) == before
    assert (pegs.parent / "mine.xlsx").read_bytes() == b"mine"


def test_a_copy_is_written_again_until_somebody_has_saved_it(pegs: Path) -> None:
    """An earlier copy gives way to a new one, but not with a partner's numbers in it."""
    target = pegs.parent / "copy.xlsx"
    words = ("hand-over", pegs, "peg board small", "--output", target, "--as-of=2026-06-01")
    first = run(*words, "--prices-only")
    again = run(*words)

    assert (first.exit_code, again.exit_code) == (0, 0)
    assert again.stdout.index("Left out:") < again.stdout.index(f"Wrote {target}")
    assert "peg board large" not in again.stdout
    compiled = run("compile", pegs, "--output", target)
    assert (compiled.exit_code, "no shop's workbook" in compiled.stderr) == (2, True)
    book: Any = load_workbook(target)
    assert book.sheetnames[-1] == "peg board small"
    book.save(target)
    with pytest.raises(RefusedError, match="Name another file"):
        hand_over(pegs, ["peg board small"], target, AS_OF)


def amounts_of(shop: Priced) -> set[str]:
    """Every amount of money that the shop's workbook shows, as it stands in cells and sentences."""
    found = {
        abs(float(value))
        for name, table in shop.book.tables.items()
        for column in table.columns
        if column.look.format in MONEYS
        for value in shop.filled.tables[name][column.name].dropna()
    }
    found |= {
        abs(float(shop.filled.lines[name, cell.name]))
        for name, block in shop.book.lines.items()
        for cell in block.cells.values()
        if cell.look.format in MONEYS
    }
    return {text for each in found if each for text in (f"{each:,.2f}", repr(each))}


def test_plans_to_give_away_hold_no_amount() -> None:
    """No price, cost or rate of the shop stands in any part of the file; what is built does."""
    path, shop = books()
    target = path.with_name("plans.xlsx")
    found = hand_over(path.parent, [HERE], target, AS_OF, Contents.PLANS)
    data = found.file()
    with zipfile.ZipFile(BytesIO(data)) as package:
        texts = [package.read(name) for name in package.namelist() if not name.endswith(".png")]
    words = "\n".join(text for part in texts for text in fromstring(part).itertext())
    amounts = {
        each for each in amounts_of(shop) if float(each.replace(",", "")) * 32 % 1
    }  # no size
    sheet: Any = load_workbook(BytesIO(data))[HERE]
    said = " ".join(str(cell.value) for row in sheet for cell in row if cell.value)

    assert len(amounts) > 100
    assert [
        each for each in amounts if re.search(rf"(?<![\d.]){re.escape(each)}(?!\d)", words)
    ] == []
    assert "USD" not in words
    assert "Buy " in said
    for heading in ("cut list", "saw setup", "marks:", "all steps", "safety", "Stop at"):
        assert heading in said
    assert found.look == list_shortages(shop, [HERE])


def test_shapes_of_a_copy_exclude_one_another(pegs: Path) -> None:
    """A price list that --frozen would turn into costs is not written."""
    target = pegs.parent / "copy.xlsx"
    both = ("--no-money", "--frozen")
    result = run("hand-over", pegs, "peg board small", "--output", target, *both)

    assert (result.exit_code, result.stdout) == (2, "")
    assert "choose one of them" in result.stderr
    assert not target.exists()


@pytest.mark.parametrize("contents", [Contents.LIVE, Contents.FROZEN])
def test_no_digits_by_which_a_tool_is_known(contents: Contents) -> None:
    """The wear of a tool is its cost by a round number: all its digits would tell the cost."""
    found, _ = copied(contents)
    whole = books()[1].filled.tables["Consumables"]
    used = found.filled.tables["Consumables"].query("tool != ''")
    costs = used["cost"].tolist()

    assert any(cost != round(cost, 4) for cost in whole["cost"])
    assert costs == pytest.approx([round(cost, 4) for cost in costs], abs=1e-12)
    if contents is Contents.LIVE:
        wear = found.filled.tables["Tool depreciation"]["wear_use"]
        assert (wear == wear.round(4)).all()


def test_counts_of_stock_are_said_to_go_along() -> None:
    """What to buy is worked out from them, so they are in the copy, and its statement says so."""
    for contents in (Contents.LIVE, Contents.FROZEN):
        found, _ = copied(contents)
        assert "there_now" in found.book.tables["Material takeoff"].by_name
        assert "is there now" in " ".join(statement(found).split())
