"""Two years run through: what a year closes with opens the next, and what nothing may move."""

from __future__ import annotations

import csv
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from pytest import approx

from notchbook.commands.ledgers import export_ledgers
from notchbook.commands.next_year import roll_forward
from notchbook.shop.pipeline import Priced, list_checks, price

from .desk import Desk, compiled
from .examples import INCH
from .shops import GOOD, write_shop

RAIL = """\
project: rail
title: A rail
batch: 4
asked: {market stall: 32}
parts:
  - {part: front, make: 1, size: 1 1/2 x 3 1/2 x 40, from: [spruce 2x4 8ft]}
uses:
  - {stock: knob, each: 2}
steps:
  - {step: rip and crosscut, setup: 20, minutes: 6}
"""
SHOP = {
    "stock.yaml": """\
lumber:
  - {stock: spruce 2x4 8ft, nominal: 2x4, length: 96, price: 4.15}
hardware:
  - {stock: knob, price: 6.20, pack: 4}
  - {stock: disc, price: 3.00, pack: 5}
""",
    "projects/rail.yaml": RAIL,
    "projects/peg.yaml": RAIL.replace("project: rail", "project: peg"),
    "ledgers/purchases.csv": """\
date,vendor,what,category,amount,stock,packs
2026-01-05,Yard A,boards,materials,43.00,spruce 2x4 8ft,10
2026-01-05,Yard A,knobs,hardware,37.20,knob,6
2026-02-05,Yard A,knobs,hardware,66.66,knob,7
2026-03-05,Yard A,discs,materials,30.00,disc,10
2026-03-06,Yard A,odd boards,materials,12.34,,
""",
    "ledgers/production.csv": """\
date,project,made,spoiled
2026-01-10,rail,5,1
2026-02-10,peg,4,0
2026-11-10,rail,6,0
""",
    "ledgers/sales.csv": """\
date,receipt,project,tier,kind,quantity,price,return_of
2026-01-20,1,rail,market stall,,3,32.00,
2026-02-20,2,peg,market stall,,2,30.00,
2026-03-01,3,rail,market stall,return,-1,32.00,1
2026-04-01,4,rail,market stall,own use,1,0.00,
""",
}
COUNTED = {
    "none": "",
    "in part": "2026-12-31,knob,,20,\n2026-12-31,,rail,5,\n",
    "whole": """\
2026-12-31,spruce 2x4 8ft,,1,
2026-12-30,knob,,21,32.10
2026-12-31,disc,,40,
2026-12-31,,rail,6,
2027-01-01,,peg,2,
""",
}
CLOSE = date(2026, 12, 31)


def shop(folder: Path, method: str = "materials", counts: str = "", **files: str) -> Path:
    settings = GOOD["shop.yaml"] + f"stock_method: {method}\n"
    if method == "materials":
        settings += "year_end: {written_off: 7.77}\n"
    opening = "date,stock,project,quantity,value\n2026-01-01,knob,,3,\n"
    rows = {"ledgers/counts.csv": opening + counts, "shop.yaml": settings}
    return write_shop(folder, **{**dict.fromkeys(GOOD), **SHOP, **rows, **files})


def line(found: Priced, name: str) -> float:
    return float(found.filled.lines["Year-end", name])


def open_checks(found: Priced) -> set[str]:
    return {str(each["check"]) for each in list_checks(found) if not each["ok"]}


@pytest.mark.parametrize(
    ("method", "counts"),
    [
        ("materials", "in part"),
        *(
            pytest.param(method, counts, marks=pytest.mark.deep)
            for method in ("materials", "inventory")
            for counts in COUNTED
            if (method, counts) != ("materials", "in part")
        ),
    ],
)
def test_each_opening_is_the_closing_before_it(tmp_path: Path, method: str, counts: str) -> None:
    """Line 35 of the new year is line 41 of the old one, whatever was counted."""
    old = price(shop(tmp_path / "old", method, COUNTED[counts]), CLOSE)
    roll_forward(tmp_path / "old", tmp_path / "new").write()
    new = price(tmp_path / "new", date(2027, 6, 1))
    counted = line(old, "counted_stock")
    by_books = round(line(old, "book_stock") - 7.77, 2)
    wanted = {"materials": by_books, "inventory": counted}[method]

    assert line(old, "whole_count") == (counts == "whole")
    assert line(old, "closing_stock") == approx(counted if counts == "whole" else wanted)
    assert line(new, "opening_stock") == approx(line(old, "closing_stock"), abs=1e-6)
    assert new.definitions.settings.carried_stock == approx(line(old, "closing_stock"))
    assert not {each for each in open_checks(new) if "last year" in each}
    missing = {each for each in open_checks(old) if "without a closing count" in each}
    assert bool(missing) == (method == "inventory" and counts != "whole")


MONEY = """\
date,account,what,amount
2026-01-01,till,opening,20
2026-01-01,bank,opening,500
2026-12-31,"till, left",opening,0
2026-06-30,till,closing,1
2026-12-31,bank,closing,410.25
2026-12-31,"till, left",closing,7.50
"""


def test_each_account_opens_with_what_it_closed_with(tmp_path: Path) -> None:
    """On the year's last evening; one without that closing is named."""
    shop(tmp_path / "old", **{"ledgers/money.csv": MONEY})
    made = roll_forward(tmp_path / "old", tmp_path / "new")
    made.write()
    rows = price(tmp_path / "new", date(2027, 6, 1)).filled.tables["Money"]

    assert dict(zip(rows["account"], rows["amount"], strict=True)) == {
        "bank": 410.25,
        "till, left": 7.5,
    }
    assert set(rows["what"]) == {"opening"}
    assert [each for each in made.look if "no closing of 2026-12-31 for till;" in each]


def test_a_blank_value_is_proposed(tmp_path: Path) -> None:
    """An opening row at the list price, a closing one at the books' average."""
    tables = price(shop(tmp_path, "inventory", COUNTED["whole"]), CLOSE).filled.tables
    table = tables["Counts"]
    value = dict(zip(table["stock"] + table["project"], table["proposed"], strict=True))
    knobs = tables["Stock"].set_index("stock")["moving_average"]

    assert table["proposed"].tolist()[0] == approx(round(3 * 6.20 / 4, 2))
    assert value["spruce 2x4 8ft"] == approx(4.30)
    assert value["disc"] == approx(40 * 0.60)
    assert knobs["knob"] > 6.20 / 4  # the later slip was dearer


@pytest.mark.deep
def test_the_example_opens_with_what_it_closed_with(tmp_path: Path) -> None:
    """The shop in Harbor Lane: its closing count is whole."""
    old = price(INCH, date(2026, 12, 31))
    made = roll_forward(INCH, tmp_path / "new")
    rows = csv.DictReader(made.files["ledgers/counts.csv"].splitlines())

    assert sum(float(row["value"]) for row in rows) == approx(line(old, "closing_stock"))
    assert f"carried_stock: {line(old, 'closing_stock'):.2f}" in made.files["shop.yaml"]


def _write(folder: Path) -> Path:
    """A shop whose slip for most of January's boards is missing."""
    slips = SHOP["ledgers/purchases.csv"].replace(
        "43.00,spruce 2x4 8ft,10", "4.30,spruce 2x4 8ft,1"
    )
    return shop(folder, **{"ledgers/purchases.csv": slips})


@pytest.mark.deep
@pytest.mark.usefixtures("few_rows")
def test_december_moves_nothing_of_january(tmp_path: Path) -> None:
    """A batch, a part and a project that change or go leave books cost; a slip does not."""
    desk = Desk(tmp_path / "shop", compiled(_write))
    before = price(desk.folder, None)
    desk.replace("projects/rail.yaml", "x 40,", "x 90,")
    desk.replace("projects/rail.yaml", "batch: 4", "batch: 12")
    desk.replace("projects/rail.yaml", "each: 2", "each: 3")
    (desk.folder / "projects" / "peg.yaml").unlink()
    desk.compile()
    after = price(desk.folder, None)

    assert costs(after) == costs(before)
    for name in ("materials_sold", "kept_goods", "goods_sold", "closing_stock"):
        assert line(after, name) == approx(line(before, name)), name

    wood = {"date": datetime(2026, 12, 20), "vendor": "Yard A", "what": "January's wood"}
    with desk.open() as book:
        book.add(
            "Purchases", **wood, category="materials", amount=48, stock="spruce 2x4 8ft", packs=8
        )
    desk.compile()
    late = price(desk.folder, None)
    # of 1.5 boards more, at 6.00, 2 of the 4 good rails were sold; of 2 for 4 pegs, 2
    more = 1.5 * 6 * 2 / 4 + 2 * 6 * 2 / 4
    assert line(late, "goods_sold") == approx(line(after, "goods_sold") + more, abs=0.02)


def costs(found: Priced) -> Any:
    return found.filled.tables["Sales ledger"]["books_cost"].round(9).tolist()


def test_the_files_rebuild_the_cost_of_goods(tmp_path: Path) -> None:
    """All movements of costs.csv make nothing; what runs took is in used.csv."""
    folder = shop(tmp_path, counts=COUNTED["in part"])
    files, found = export_ledgers(folder).files, price(folder, CLOSE)
    rows = list(csv.DictReader(files["costs.csv"].splitlines()))

    def cost(*kinds: str) -> float:
        return sum(float(row["cost"]) for row in rows if row["what"] in kinds)

    assert sum(float(row["cost"]) for row in rows) == approx(0, abs=1e-9)
    assert cost("opening") == approx(line(found, "opening_stock"))
    assert -cost("sold", "given back") == approx(line(found, "materials_sold"))
    assert -cost("own use") == approx(line(found, "kept_goods"))
    assert -cost("cost of the year") == approx(line(found, "year_cost"))
    assert -cost("left") == approx(line(found, "book_stock"))
    used = list(csv.DictReader(files["used.csv"].splitlines()))
    assert {(row["run"], row["stock"]): float(row["units"]) for row in used} == {
        ("1", "spruce 2x4 8ft"): approx(2.5),
        ("1", "knob"): 10,
        ("2", "spruce 2x4 8ft"): 2,
        ("2", "knob"): 8,
        ("3", "spruce 2x4 8ft"): 3,
        ("3", "knob"): 12,
    }
