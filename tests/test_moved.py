"""What moved since the last compile, and the one change that explains it."""

from __future__ import annotations

from pathlib import Path

import pytest

from notchbook.commands.compile_report import report_text
from notchbook.gathering import gather
from notchbook.shop.moved import NOTHING, OWN_ROWS, SEVERAL, Moved, find_moved
from notchbook.shop.pipeline import price_gathered

from .desk import AS_OF, Desk, compiled
from .maker import SHOP
from .shops import GOOD, write_shop

BOX = """\
project: lid box
title: Lid box
batch: 4
asked: {market stall: 12.90, trade: 12.90}
parts:
  - {part: side, make: 4, size: 1/4 x 10 x 12, from: [ply 1/4 2x4ft]}
uses:
  - {stock: brass cup pull, each: 1}
  - {stock: oak knob, each: 1}
steps:
  - {step: glue, setup: 0, minutes: 4}
"""
PLY = """\
panels:
  - {stock: ply 1/4 2x4ft, thickness: 1/4, width: 24, length: 48, price: 11.80, grain: true}
hardware:
"""


def _write(folder: Path) -> Path:
    stock = SHOP["stock.yaml"].replace("hardware:\n", PLY)
    files = {**SHOP, "stock.yaml": stock, "projects/lid-box.yaml": BOX}
    return write_shop(folder, **{**dict.fromkeys(GOOD), **files})


@pytest.fixture
def boxes(tmp_path: Path, few_rows: None) -> Desk:
    """A desk with a box of plywood and a rail of spruce."""
    return Desk(tmp_path, compiled(_write))


def moved(desk: Desk) -> list[Moved]:
    """What a compile would tell."""
    gathered = gather(desk.folder, AS_OF)
    return find_moved(gathered, price_gathered(gathered))


@pytest.mark.deep
def test_dearer_ply_names_the_tier_that_loses_money(boxes: Desk) -> None:
    """It earned before; the stock alone explains it. Start shows it, and the report says it."""
    assert moved(boxes) == []
    assert boxes.look().line("Start", "moved_1").value == NOTHING
    boxes.replace("stock.yaml", "price: 11.80", "price: 14.16")
    report = boxes.compile()
    told = [(each.project, each.tier, each.what, each.after) for each in report.moved]

    assert ("lid box", "market stall", "verdict", "loses money") in told
    assert {each.because for each in report.moved} == {"ply 1/4 2x4ft"}
    assert {each.project for each in report.moved} == {"lid box"}
    first = report.moved[0]
    assert first.as_json() == {
        "project": "lid box",
        "tier": first.tier,
        "what": "verdict",
        "before": first.before,
        "after": "loses money",
        "because": "ply 1/4 2x4ft",
    }
    assert f"at {first.tier}: verdict loses money, {first.before} before" in report_text(report)
    assert boxes.look().line("Start", "moved_1").value == first.sentence(2)
    written = boxes.path.read_bytes()
    assert boxes.compile().moved == []
    assert boxes.path.read_bytes() == written


@pytest.mark.deep
def test_each_change_is_told_by_its_own_name(boxes: Desk) -> None:
    """Minutes are the project's own rows, a rate is a setting; of three alike none is the one."""
    boxes.replace("projects/lid-box.yaml", "minutes: 4", "minutes: 6")
    assert {(each.project, each.because) for each in moved(boxes)} == {("lid box", OWN_ROWS)}
    boxes.replace("projects/lid-box.yaml", "minutes: 6", "minutes: 4")
    boxes.replace("shop.yaml", "labor_rate: 24.00", "labor_rate: 30.00")
    assert {each.because for each in moved(boxes)} == {"labor rate an hour"}
    boxes.replace("shop.yaml", "labor_rate: 30.00", "labor_rate: 24.00")
    for before, after in (("11.80", "14.16"), ("13.50", "31.20"), ("6.20", "13.28")):
        boxes.replace("stock.yaml", f"price: {before}", f"price: {after}")  # each 1.77 a box
    told = {each.because for each in moved(boxes) if each.project == "lid box"}
    assert told == {SEVERAL}


def test_a_project_and_a_price_added_at_once(boxes: Desk) -> None:
    """A price typed for one is its own; another project that comes with it moved nothing."""
    with boxes.open() as book:
        book.add("Projects", project="lid tray", batch=4, made_from="lid box")
        tiers = [book.column("Pricing tiers", name) for name in ("project", "tier")]
        row = [*zip(*tiers, strict=True)].index(("lid box", "online"))
        book.put("Pricing tiers", row, asked=41)
    (told,) = moved(boxes)
    assert (told.project, told.tier, told.what, told.after) == ("lid box", "online", "price", 41)
    assert told.because == OWN_ROWS


def test_what_shows_the_same_has_not_moved(boxes: Desk) -> None:
    """The rail's cost went from 8.8787 to 8.8847, and 8.88 stands for both."""
    boxes.replace("stock.yaml", "price: 13.50", "price: 13.53")

    assert moved(boxes) == []
