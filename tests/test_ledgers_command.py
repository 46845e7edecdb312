"""The ledgers as CSV files: a new shop made of them has the same year."""

from __future__ import annotations

import csv
import shutil
from collections import defaultdict
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from pytest import approx

from notchbook.cli import main
from notchbook.commands import ledgers
from notchbook.commands.year_end import list_lines
from notchbook.shop.pipeline import price

from . import examples, maker
from .desk import AS_OF, Desk


def year_of(folder: Path) -> dict[str, Any]:
    """The amounts of Year-end."""
    lines = price(folder, AS_OF).filled.lines
    return {name: each for (sheet, name), each in lines.items() if sheet == "Year-end"}


@pytest.mark.usefixtures("few_rows")
def test_a_shop_made_of_the_files_has_the_same_year(tmp_path: Path) -> None:
    """What was typed into the workbook and the costs kept with sales go along, words and all."""
    desk = Desk(tmp_path / "old", maker.shop())
    sale = {"date": datetime(2026, 5, 5), "project": "herb rail", "tier": "market stall"}
    slip = {"date": datetime(2026, 5, 6), "vendor": 'Yard "A", north', "what": "rail, long"}
    with desk.open() as book:
        book.add("Sales ledger", **sale, receipt="T1", quantity=1, price=31.5, fee=0.35)
        book.add("Purchases", **slip, category="materials", amount=41.5, stock="oak knob", packs=5)
        book.add("Purchases", **slip, category="office", amount=7.05, receipt="7", ok="yes")
        book.add("Statements", channel="web shop", first=datetime(2026, 1, 1), gross=9)
        book.put("Statements", 0, last=datetime(2026, 3, 31))
        book.put("Stock", 0, price=9.99)  # what is kept with a sale is of its own day
    output = tmp_path / "files"
    done = CliRunner().invoke(main, ["ledgers", str(desk.folder), "--output", str(output)])
    new = tmp_path / "new"
    shutil.copytree(desk.folder, new, ignore=shutil.ignore_patterns("*.xlsx", "backups", "*.csv"))
    shutil.copytree(output, new / "ledgers", dirs_exist_ok=True)

    assert done.exit_code == 0, done.stderr
    assert year_of(new) == approx(year_of(desk.folder))
    with (output / "sales.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["receipt"] for row in rows] == ["101", "102", "T1"]
    assert float(rows[0]["unit_cost"]) > 0
    with (output / "slips-by-line.csv").open(encoding="utf-8", newline="") as file:
        slips = [(row["category"], row["vendor"], row["receipt"]) for row in csv.DictReader(file)]
    assert slips == [("materials", 'Yard "A", north', ""), ("office", 'Yard "A", north', "7")]

    again = CliRunner().invoke(main, ["ledgers", str(desk.folder), "--output", str(output)])
    assert again.exit_code == 2  # nothing that stands is written over


def test_every_line_of_the_form_is_rebuilt_from_the_files(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the files and what Year-end says of stock and home: plain sums, no rule of ours."""
    priced = examples.priced("inch")
    monkeypatch.setattr(ledgers, "price", lambda shop, as_of: priced)
    ledgers.export_ledgers(examples.INCH).write(tmp_path / "out")
    year_end = {row.mark: row for row in list_lines(priced) if row.mark}

    def rows(name: str) -> list[dict[str, str]]:
        with (tmp_path / "out" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            return list(csv.DictReader(file))

    def number(row: dict[str, str], *names: str) -> float:
        return sum(float(row[name] or 0) for name in names)

    sales, assets = rows("sales"), rows("assets")
    goods = [
        float(row["quantity"]) * float(row["price"])
        - (number(row, "discount") if row["kind"] != "return" else -number(row, "discount"))
        + number(row, "postage_charged")
        for row in sales
    ]
    kinds = [row["kind"] or "sale" for row in sales]
    costs: dict[str, float] = defaultdict(float)
    for row in rows("costs"):
        costs[row["what"]] += number(row, "cost")
    slips: dict[str, float] = defaultdict(float)
    for row in rows("slips-by-line"):
        slips[row["line"].removeprefix("line ")] += number(row, "amount", "use_tax")
    at_once = sum(number(row, "this year") for row in assets if row["method"] == "expensed")
    found = slips | {
        "1": sum(n for n, kind in zip(goods, kinds, strict=True) if kind in ("sale", "deposit")),
        "2": -sum(n for n, kind in zip(goods, kinds, strict=True) if kind == "return"),
        "9": slips["9"] + sum(0.725 * number(row, "miles") for row in rows("mileage")),
        "10": slips["10"] + sum(number(row, "fee") for row in sales),
        "13": sum(number(row, "this year") for row in assets) - at_once,
        "18": slips["18"] + sum(number(row, "postage") for row in sales),
        "22": slips["22"] + at_once,
        "24b": slips["24b"] / 2,
        "30": year_end["30"].amount,
        "35": costs["opening"],
        "36": slips["36"] + costs["own use"],
        "41": year_end["41"].amount,
    }
    found["40"] = sum(found.get(name, 0) for name in ("35", "36", "37", "38", "39"))
    found["42"] = found["4"] = found["40"] - found["41"]
    found["3"] = found["1"] - found["2"]
    found["5"] = found["3"] - found["4"]
    found["7"] = found["5"] + found.get("6", 0)
    second = [mark for mark in year_end if mark in _PART_II]
    found["28"] = sum(found.get(mark, 0) for mark in second)
    found["29"] = found["7"] - found["28"]
    found["31"] = found["29"] - found["30"]

    assert len(second) == len(_PART_II)
    said = {mark: row.amount for mark, row in year_end.items()}
    assert {mark: found.get(mark, 0.0) for mark in said} == approx(said, abs=0.01)
    assert sum(1 for amount in said.values() if amount) > 20
    bare = [row for row in rows("slips-by-line") if not row["receipt"]]
    assert rows("slips-without-receipt") == bare != []


_PART_II = (
    *("8", "9", "10", "11", "13", "15", "17", "18", "20b", "21", "22", "23", "24a", "24b"),
    *("25", "27b"),
)
