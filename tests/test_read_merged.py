"""Every command that tells numbers tells those of the files merged with the workbook."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from notchbook.cli import main

from .desk import Desk


def run(*words: str | Path) -> Result:
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return result


def told(*words: str | Path) -> Any:
    return json.loads(run(*words, "--json").stdout)


@pytest.fixture
def desk(desk: Desk) -> Desk:
    """A desk whose workbook has another batch, a dearer stock, a sale and a slip."""
    with desk.open() as book:
        book.put("Projects", 0, batch=2)
        book.put("Stock", book.row_of("Stock", "stock", "brass cup pull"), price=27)
        sale = {"date": datetime(2026, 5, 20), "receipt": "104", "project": "herb rail"}
        book.add("Sales ledger", **sale, tier="market stall", quantity=1, price=40, fee=0)
        slip = {"date": datetime(2026, 5, 21), "vendor": "Yard A", "what": "sandpaper"}
        book.add("Purchases", **slip, category="supplies", amount=6.5)
    return desk


def test_cuts_take_the_batch_that_was_typed(desk: Desk) -> None:
    """Alone and together; the file still says six."""
    assert told("cuts", desk.folder, "herb rail")["units"] == 2
    # 2 rails, and 4 peg boards of each of two variants
    assert told("cuts", desk.folder, "--all")["units"] == 2 + 4 + 4


def test_prices_take_what_was_typed(desk: Desk) -> None:
    """Two pulls a rail, at 27.00 for ten instead of 13.50."""
    (found,) = told("prices", desk.folder, "herb rail")

    assert found["units"] == 2
    assert found["cost"]["hardware"] == 5.4


def test_year_end_takes_the_ledgers_of_the_workbook(desk: Desk) -> None:
    """Receipts of 2 x 32 and 24 in the files and 40 typed; supplies with the iron of 48."""
    lines = {each["line"]: each["amount"] for each in told("year-end", desk.folder)["lines"]}

    assert lines["1"] == 64 + 24 + 40
    assert lines["22"] == 48 + 6.5


@pytest.mark.deep
def test_check_looks_into_the_workbook(desk: Desk) -> None:
    """A part that fits no stock is told at its cell, by every command alike."""
    with desk.open() as book:
        book.put("Cut list", 0, width=9)
    for command in ("check", "cuts", "prices", "year-end", "compile"):
        result = run(command, desk.folder)

        assert result.exit_code == 2, command
        assert "Cut list!" in result.stderr
        assert "front of herb rail fits none of its stocks" in result.stderr
    assert run("cuts", desk.folder, "--all").exit_code == 2
