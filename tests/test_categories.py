"""Categories of slips: both spellings count, and a word that is none is told with the one meant."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from notchbook.cli import main
from notchbook.tax.forms import categories, meant_words, spellings

from .shops import GOOD, write_shop
from .worked import value, worked

SLIP = {"date": date(2026, 5, 5), "vendor": "v", "what": "w", "amount": 40.0}


def lines_of(tax: str, category: str) -> tuple[Any, dict[str, float]]:
    """The line shown beside a slip, and what Year-end holds where it is not 0."""
    filled = worked({"Purchases": [SLIP | {"category": category}]}, tax=tax)
    held = {
        name: amount
        for (sheet, name), amount in filled.lines.items()
        if sheet == "Year-end" and amount == 40.0
    }
    assert value(filled, "Purchases", "state") == ""
    assert filled.lines["Checks", "purchases_by_category"] == 0
    return value(filled, "Purchases", "line") if tax == "us" else "", held


@pytest.mark.parametrize(
    "spelled, number, name",
    [
        *((word, "line 23", "licences") for word in ("licenses", "licences", "Licences")),
        *((word, "line 11", "contract_labor") for word in ("contract labor", "contract labour")),
    ],
)
def test_both_spellings_reach_the_line(spelled: str, number: str, name: str) -> None:
    assert lines_of("us", spelled)[0] == number
    assert name in lines_of("us", spelled)[1]


@pytest.mark.parametrize("spelled", ["licenses", "licences", "contract labor", "contract labour"])
def test_both_spellings_are_spent_without_a_form(spelled: str) -> None:
    assert "total_expenses" in lines_of("none", spelled)[1]


@pytest.mark.parametrize(
    "tax, word, says",
    [
        ("us", "lumber", "there is no category 'lumber'; write materials"),
        ("us", "Permit", "there is no category 'Permit'; write licenses"),
        ("none", "permit", "there is no category 'permit'; write licences"),
        ("us", "licensse", "there is no category 'licensse' (nearest known: licenses)"),
    ],
)
def test_a_word_that_is_no_category(tmp_path: Path, tax: str, word: str, says: str) -> None:
    slips = f"date,vendor,what,category,amount\n2026-05-05,v,w,{word},40.00\n"
    shop = GOOD["shop.yaml"].replace("tax: us", f"tax: {tax}")
    tools = GOOD["tools.yaml"].replace("macrs 7", "expensed")
    files = {"shop.yaml": shop, "tools.yaml": tools, "ledgers/purchases.csv": slips}
    folder = write_shop(tmp_path, **files)
    done = CliRunner().invoke(main, ["check", str(folder)])

    assert done.exit_code == 1
    assert f"ledgers/purchases.csv:2: category: {says}" in done.stderr


@pytest.mark.parametrize("country", ["us", "none"])
def test_words_are_told_once_and_are_no_category(country: str) -> None:
    known = {each.category for each in categories(country)}

    assert not known & {*meant_words(country), *spellings(country).values()}
    assert {*meant_words(country).values(), *spellings(country)} <= known
