"""What a run took is kept, and what is there now follows from it."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from pytest import approx

from notchbook.sheets.making.stock_used import runs_took
from notchbook.shop.pipeline import price

from .desk import Desk, compiled
from .engines import recalculated_by_formualizer
from .shops import GOOD, write_shop

PEGS = "projects/peg-board.yaml"
PINE, BARN, PULL = "pine 1x6 8ft", "barn board", "brass cup pull"


def write_pegs(folder: Path) -> Path:
    """The small shop with peg boards alone, which are planned in no time."""
    parts = "  - {part: peg, make: 1, size: 3/4 x 1 x 30, from: [barn board]}\nuses:\n"
    uses = "  - {stock: brass cup pull, each: 1}\n"
    return write_shop(
        folder,
        **{
            "projects/herb-rail.yaml": None,
            "ideas.yaml": None,
            PEGS: GOOD[PEGS].replace("steps:\n", f"{parts}{uses}steps:\n"),
            "ledgers/sales.csv": None,
            "ledgers/production.csv": "date,project,made\n2026-04-20,peg board small,4\n",
            "ledgers/purchases.csv": (
                "date,vendor,what,category,amount,stock,packs\n"
                f"2026-04-01,Yard A,boards,materials,76.00,{PINE},10\n"
                f"2026-05-05,Ironworks,pulls,materials,13.50,{PULL},1\n"
            ),
            "ledgers/counts.csv": (
                f"date,stock,quantity,value\n2026-01-01,{PINE},3,22.80\n2026-01-01,{PULL},5,6.75\n"
                f"2026-01-01,{BARN},9,0\n"
            ),
        },
    )


@pytest.fixture
def pegs(tmp_path: Path, few_rows: None) -> Desk:
    return Desk(tmp_path, compiled(write_pegs))


def shown(desk: Desk, column: str) -> dict[str, float]:
    """A column of Stock, by stock."""
    stock = price(desk.folder, None).filled.tables["Stock"]
    return dict(zip(stock["stock"], stock[column], strict=True))


def took(desk: Desk, stock: str) -> list[tuple[int, str, float]]:
    """What each run took of a stock, by its row of the log."""
    found = runs_took(price(desk.folder, None).filled.tables)
    return [(each.run, each.project, each.units) for each in found if each.stock == stock]


def test_there_now_by_hand(pegs: Desk) -> None:
    """Counted, bought after that day, less what the run took: a board of each wood, 4 pulls."""
    there = shown(pegs, "there_now")

    assert (there[PINE], there[PULL], there[BARN]) == (3 + 10 - 1, 5 + 10 - 4, 9 - 1)
    assert (there["spruce 2x4 8ft"], there["wood glue"]) == (3, 0)  # never counted: as typed


def test_what_a_run_took_stays(pegs: Desk) -> None:
    """Another batch, use, part or name, or no project any more, moves no earlier run."""
    pegs.replace(PEGS, "each: 1", "each: 3")
    pegs.replace(PEGS, "batch: 4", "batch: 2")
    with pegs.open() as book:
        book.put("Production log", 1, date=datetime(2026, 6, 2), project="peg board large", made=2)
    pegs.compile()
    assert took(pegs, PULL) == [(0, "peg board small", 4), (1, "peg board large", 6)]
    assert took(pegs, PINE)[0] == (0, "peg board small", 1)

    pegs.replace("stock.yaml", PULL, "brass knob")
    pegs.replace(PEGS, PULL, "brass knob")
    with pegs.open() as book:  # sorted by the newest day
        book.put("Production log", 0, date=datetime(2026, 6, 2), project="peg board large", made=2)
        book.put("Production log", 1, date=datetime(2026, 4, 20), project="peg board small", made=4)
    pegs.compile()
    assert took(pegs, "brass knob") == [(0, "peg board large", 6), (1, "peg board small", 4)]

    pegs.replace(PEGS, "  small: {long: 16}\n", "")
    with pegs.open() as book:
        del book.book["As compiled"]
    assert took(pegs, "brass knob") == [(0, "peg board large", 6), (1, "peg board small", 4)]


def test_a_changed_run_is_taken_anew(pegs: Desk) -> None:
    """A run whose pieces are changed takes what its project needs now; a note changes nothing."""
    pegs.replace(PEGS, "each: 1", "each: 3")
    with pegs.open() as book:
        book.put("Production log", 0, note="new blade")
    assert took(pegs, PULL) == [(0, "peg board small", 4)]

    with pegs.open() as book:
        book.put("Production log", 0, made=5)
    assert took(pegs, PULL) == [(0, "peg board small", 15)]


def test_a_typed_run_moves_it_and_a_count_resets_it(pegs: Desk) -> None:
    """In the workbook as it stands, without a compile; a count takes raw and in work together."""
    with pegs.open() as book:
        head = book.head("Stock", "there_now")
        rows = {name: book.row_of("Stock", "stock", name) for name in (PINE, PULL, BARN)}
        cells = {
            name: book.cell("Stock", "there_now", row).coordinate for name, row in rows.items()
        }
        book.put("Production log", 1, date=datetime(2026, 6, 2), project="peg board small", made=8)
    found = recalculated_by_formualizer(pegs.path)
    there = {name: found[head[0], cell] for name, cell in cells.items()}
    assert there == {PINE: 12 - 2, PULL: 11 - 8, BARN: 8 - 2}
    live = shown(pegs, "there_now")
    assert {name: live[name] for name in there} == approx(there)

    with pegs.open() as book:
        book.add("Counts", date=datetime(2026, 6, 2), stock=PULL, quantity=6, value=8.10)
        book.add("Counts", date=datetime(2026, 6, 2), stock=PULL, stage="in work", quantity=1.0)
    assert shown(pegs, "there_now")[PULL] == 7
    assert recalculated_by_formualizer(pegs.path)[head[0], cells[PULL]] == 7


def test_a_changed_on_hand_is_dated(pegs: Desk) -> None:
    """A count typed over on hand gets the as-of day, told; it is the newest, so it counts."""
    with pegs.open() as book:
        row = book.row_of("Stock", "stock", PULL)
        book.put("Stock", row, on_hand=2)
        book.put("Production log", 1, date=datetime(2026, 6, 2), project="peg board small", made=1)
    report = pegs.compile()

    assert [each for each in report.notices if f"on hand of {PULL} was changed" in each]
    assert pegs.look().cell("Stock", "counted_on", row).value == datetime(2026, 6, 1)
    assert shown(pegs, "there_now")[PULL] == 1
    assert not [each for each in pegs.compile().notices if "was changed" in each]


def test_reclaimed_wood_that_is_used_up_makes_a_plan_stale(pegs: Desk) -> None:
    """Only where the need of a project passes what is there; the next compile plans with that."""
    with pegs.open() as book:
        book.put("Production log", 1, date=datetime(2026, 6, 2), project="peg board small", made=31)
        small = book.row_of("Projects", "project", "peg board small")
        large = book.row_of("Projects", "project", "peg board large")
        cells = [
            (book.head("Projects", "stale")[0], book.cell("Projects", "stale", row).coordinate)
            for row in (small, large)
        ]
    assert [recalculated_by_formualizer(pegs.path)[cell] for cell in cells] == ["stale", "stale"]
    pegs.compile()
    assert [recalculated_by_formualizer(pegs.path)[cell] for cell in cells] == [None, None]
