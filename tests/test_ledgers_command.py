"""The ledgers as CSV files: a new shop made of them has the same year."""

from __future__ import annotations

import csv
import shutil
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from pytest import approx

from notchbook.cli import main
from notchbook.shop.pipeline import price

from . import maker
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
    for name in ("slips-by-line.csv", "costs.csv"):
        (new / "ledgers" / name).unlink()

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
