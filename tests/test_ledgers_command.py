"""The ledgers as CSV files: a new shop made of them has the same year."""

from __future__ import annotations

import csv
import shutil
from collections import defaultdict
from collections.abc import Callable
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


@pytest.mark.deep
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


Rows = list[dict[str, str]]


def number(row: dict[str, str], *names: str) -> float:
    """Some cells of a row together."""
    return sum(float(row[name] or 0) for name in names)


@pytest.fixture
def written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Callable[[str], Callable[[str], Rows]]:
    """The rows of the files that an example's books are written into, by the files' names."""

    def write(shop: str) -> Callable[[str], Rows]:
        priced = examples.priced(shop)
        monkeypatch.setattr(ledgers, "price", lambda shop, as_of: priced)
        ledgers.export_ledgers(examples.SHOPS[shop]).write(tmp_path / shop)

        def rows(name: str) -> Rows:
            with (tmp_path / shop / f"{name}.csv").open(encoding="utf-8", newline="") as file:
                return list(csv.DictReader(file))

        return rows

    return write


def test_every_line_of_the_form_is_rebuilt_from_the_files(
    written: Callable[[str], Callable[[str], Rows]],
) -> None:
    """With the files and what Year-end says of stock and home: plain sums, no rule of ours."""
    rows = written("inch")
    year_end = {row.mark: row for row in list_lines(examples.priced("inch")) if row.mark}
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


def test_every_category_is_rebuilt_from_the_files(
    written: Callable[[str], Callable[[str], Rows]],
) -> None:
    """Without a form: where each amount of Fjordside's Year-end comes from, and what it is."""
    rows = written("metric")
    sales, slips = rows("sales"), defaultdict[str, float](float)
    for row in rows("slips-by-line"):
        slips[row["category"]] += number(row, "amount", "use_tax")
    paid = [
        number(row, "quantity") * number(row, "price")
        + number(row, "postage_charged")
        - number(row, "discount")
        for row in sales
    ]
    costs: dict[str, float] = defaultdict(float)
    for row in rows("costs"):
        costs[row["what"]] += number(row, "cost")
    closing = sum(number(row, "value") for row in rows("counts") if row["date"] == "2026-12-31")
    written_off = {row["tool"]: number(row, "this year") for row in rows("assets")}
    bought = [slips.pop(name) for name in ("materials", "hardware", "consumables")]
    assert slips.pop("tools") == 30 + 58.90  # both new ones; written off below
    own_use = -costs["own use"]  # the stool that was kept, below zero as it goes out
    goods = costs["opening"] + sum(bought) - own_use
    found = slips | {
        "gross_receipts": sum(each for each, row in zip(paid, sales, strict=True) if each > 0),
        "returns": -sum(each for each, row in zip(paid, sales, strict=True) if each < 0),
        **dict(zip(("materials", "hardware", "consumables"), bought, strict=True)),
        "opening_stock": costs["opening"],
        "own_use": own_use,
        "goods_available": goods,
        "closing_stock": closing,  # inventory: a whole count
        "goods_sold": goods - closing,
        "charged_fees": sum(number(row, "fee") for row in sales),
        "paid_postage": sum(number(row, "postage") for row in sales),
        "depreciation": sum(written_off.values()),
    }
    found["gross_income"] = found["gross_receipts"] - found["returns"]
    found["total_expenses"] = (
        found["goods_sold"]
        + sum(slips.values())
        + sum(found[name] for name in ("charged_fees", "paid_postage", "depreciation"))
    )
    found["net_profit"] = found["gross_income"] - found["total_expenses"]
    said = {
        each.name: each.amount for each in list_lines(examples.priced("metric")) if each.of_form
    }

    assert {name: found.get(name.replace("_", " "), found.get(name, 0.0)) for name in said} == (
        approx(said, abs=0.01)
    )
    assert set(slips) <= {name.replace("_", " ") for name in said}
    assert written_off == {  # by hand, from tools.yaml
        "table saw": (690 - 90) / 6,
        "drill guide": 58.90,
        "bench drill": (240 - 35) * 2 / 8,
        "peg bit": 30 / 3000 * 5 * (6 + 6 + 6),  # five holes a rail, three runs
    }
    assert (found["gross_receipts"], found["returns"], closing) == approx((1085.80, 39.90, 97.01))
    assert found["net_profit"] == approx(106.93, abs=0.01)


_PART_II = (
    *("8", "9", "10", "11", "13", "15", "17", "18", "20b", "21", "22", "23", "24a", "24b"),
    *("25", "27b"),
)
