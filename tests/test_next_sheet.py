"""Next batches: what is typed there stays, what is said in odd cases, the commands."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook

from notchbook.cli import main
from notchbook.commands.next_batches import Next, build_next, format_next
from notchbook.shop.next_batches import propose
from notchbook.shop.pipeline import Priced, price

from .desk import AS_OF, Desk
from .maker import SHOP, shop
from .shops import GOOD, write_shop

RAIL = "herb rail"
STOCK = SHOP["stock.yaml"]
NO_SALES = {"ledgers/sales.csv": "date,receipt,project,tier,quantity,price\n"}
OTHER_SHOPS: dict[str, dict[str, str]] = {
    "as it is": {},
    "an empty January": NO_SALES,
    "no price": {
        "projects/herb-rail.yaml": SHOP["projects/herb-rail.yaml"].replace(
            "asked: {market stall: 32}\n", ""
        ),
        **NO_SALES,
    },
    "reclaimed wood only": {
        "stock.yaml": STOCK.replace("price: 4.15}", "price: 0, reclaimed: true, on_hand: 2}"),
        **NO_SALES,
    },
}


@cache
def priced(name: str, folder: Path) -> Priced:
    """One of the shops, worked out once."""
    files = {**dict.fromkeys(GOOD), **SHOP, **OTHER_SHOPS[name]}
    return price(write_shop(folder, **files), AS_OF)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    yield tmp_path_factory.mktemp("shops")
    priced.cache_clear()


def find(
    name: str, folder: Path, can_sell: float | None = None, **options: float | None
) -> tuple[Next, dict[str, Any]]:
    """What is found for a shop, and as JSON."""
    whole = priced(name, folder / name.replace(" ", "-"))
    here = replace(whole, filled=copy.deepcopy(whole.filled))
    if can_sell is not None:
        here.filled.tables["Next batches"]["can_sell"] = can_sell
    found = Next(here, propose(here, options))
    return found, build_next(found)


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("as it is", {"can_sell": 0}, "finished pieces on the shelf are all that is expected"),
        ("an empty January", {"hours": 0}, "the hours are too few for any of it"),
        ("an empty January", {"money": 0}, "the money does not buy what any of it takes"),
        ("an empty January", {"hours": 0, "money": 0}, "neither the hours nor the money"),
        ("no price", {}, "no project has a price yet"),
        ("reclaimed wood only", {"can_sell": 0}, "are all that is expected to sell"),
    ],
)
def test_nothing_to_make_is_said_in_words(
    folder: Path, name: str, typed: dict[str, float], said: str
) -> None:
    """Why there is nothing to make; nothing is bought, and no line is longer than a terminal."""
    found, told = find(name, folder, **typed)
    text = format_next(found)

    assert said in " ".join(text.split())
    assert (told["make"], told["buy"], told["earns"]) == ([], [], 0)
    assert max(map(len, text.splitlines())) <= 80


def test_an_empty_january_makes_the_batch(folder: Path) -> None:
    """Nothing is sold yet, so the batch of six is counted on; by hand.

    Pulls: 2 x 6 of packs of 10; fronts of 40 in: two to a board of 96, so three boards. Minutes:
    20 and 6 x 6. Proceeds 32 - 0.40 a piece; stock: 3 x 4.15 less offcuts, 12 pulls of 1.35.
    """
    _, told = find("an empty January", folder)
    (made,) = told["make"]

    assert (made["units"], made["begun"], made["can_sell"]) == (6, 6, 6)
    assert made["minutes"] == 56
    assert told["buy"] == [
        {"stock": "spruce 2x4 8ft", "packs": 3, "cost": 12.45},
        {"stock": "brass cup pull", "packs": 2, "cost": 27.0},
    ]
    assert told["money_used"] == 39.45
    assert told["earns"] == told["earns_bound"] == made["earns"]
    assert 6 * 31.6 - 12.45 - 12 * 1.35 <= told["earns"] <= 6 * 31.6 - 12 * 1.35
    assert told["status"] == "optimal"


def test_limits_are_kept(folder: Path) -> None:
    """With 40 minutes three rails, with 17.65 what a board and a pack of pulls hold."""
    _, in_time = find("an empty January", folder, hours=40 / 60)
    _, for_money = find("an empty January", folder, money=17.65)

    assert in_time["make"][0]["units"] == 3
    assert in_time["hours_used"] <= 0.67
    assert for_money["make"][0]["units"] == 2
    assert for_money["money_used"] == 17.65


def test_reclaimed_wood_alone_makes_what_it_holds(folder: Path) -> None:
    """Two boards there hold four fronts; no board is bought."""
    _, told = find("reclaimed wood only", folder)

    assert told["make"][0]["units"] == 4
    assert {each["stock"] for each in told["buy"]} == {"brass cup pull"}


def run(*words: object, code: int = 0) -> str:
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exit_code == code, result.output
    return result.stdout


@pytest.mark.deep
def test_what_is_typed_stays_and_follows_names(tmp_path: Path, few_rows: None) -> None:
    """Hours, what can be sold and what is made instead, over compiles and a new name."""
    desk = Desk(tmp_path / "desk", shop())
    with desk.open() as sheets:
        sheets.line("Next limits", "hours").value = 1
        sheets.line("Next limits", "money").value = "plenty"
        at = sheets.row_of("Next batches", "project", RAIL)
        sheets.put("Next batches", at, can_sell=9)

    told = desk.compile()

    assert [line for line in told.look if "'plenty' is not understood" in line]
    assert "make 6 x herb rail" in str(desk.look().line("Start", "next_1").value)
    with desk.open() as sheets:
        assert sheets.line("Next limits", "money").value is None
        assert sheets.column("Next batches", "make") == [6]
        assert sheets.line("Next limits", "planned_hours").value == 1
        sheets.put("Next batches", at, make_instead=2)
        sheets.put("Projects", sheets.row_of("Projects", "project", RAIL), project="herb shelf")
        sheets.add("Next batches", project="coat hook", can_sell=3)

    told = desk.compile()

    sheets = desk.look()
    assert [line for line in told.look if "coat hook" in line and "Next batches" in line]
    assert sheets.column("Next batches", "project") == ["herb shelf", "coat hook"]
    assert sheets.column("Next batches", "can_sell") == [9, 3]
    assert sheets.column("Next batches", "make_instead") == [2]
    assert sheets.line("Next limits", "hours").value == 1
    first = json.loads(run("next", desk.folder, "--json", code=1))
    other = json.loads(run("next", desk.folder, "--hours", 10, "--json", code=1))
    assert [each["units"] for each in (*first["make"], *other["make"])] == [2, 9]
    assert (first["status"], other["status"]) == ("feasible", "optimal")


@pytest.mark.deep
def test_the_numbers_are_cut_and_printed(tmp_path: Path, few_rows: None) -> None:
    """One plan, and pages with one list of what to buy, for what is begun; or for units named."""
    desk = Desk(tmp_path / "desk", shop())
    told = json.loads(run("next", desk.folder, "--json"))
    (made,) = told["make"]
    plan = json.loads(run("cuts", desk.folder, "--next", "--json"))
    run("print", desk.folder, "--next", "--output", tmp_path / "next.xlsx")
    run("print", desk.folder, f"{RAIL}={made['begun'] + 4}", "--output", tmp_path / "more.xlsx")

    def packs(name: str) -> dict[Any, Any]:
        rows = load_workbook(tmp_path / name)["To buy"].iter_rows(min_row=7, values_only=True)
        return {row[2]: row[4] for row in rows if row[2]}

    assert sum(board["count"] for board in plan["boards"]) * 2 >= made["begun"]
    assert packs("next.xlsx") == {each["stock"]: each["packs"] for each in told["buy"]}
    assert packs("more.xlsx")["spruce 2x4 8ft"] == packs("next.xlsx")["spruce 2x4 8ft"] + 2
    refused = run("cuts", desk.folder, RAIL, "--next", code=2)
    assert not refused
