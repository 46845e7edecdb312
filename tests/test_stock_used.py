"""What a run took is kept, and what is there now follows from it."""

from __future__ import annotations

from datetime import datetime
from functools import cache
from pathlib import Path

import pytest

from notchbook.commands.cost_files import USED
from notchbook.commands.ledgers import export_ledgers
from notchbook.gathering import gather
from notchbook.sheets.kit.calculate import Filled, calculate
from notchbook.sheets.making.stock import StockRow
from notchbook.sheets.making.stock_used import runs_took
from notchbook.shop.pipeline import price, price_gathered

from .desk import Desk, compiled
from .engines import recalculated_by_formualizer
from .examples import priced
from .shops import GOOD, write_shop

PEGS = "projects/peg-board.yaml"
EARLIER, LATER = datetime(2026, 4, 20), datetime(2026, 6, 2)
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
            "ledgers/next_batches.csv": None,
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
    assert f"1,2026-04-20,peg board small,4,{PINE},1," in export_ledgers(pegs.folder).files[USED]


@pytest.mark.deep
def test_what_a_run_took_stays(pegs: Desk) -> None:
    """Another batch, use or name, a project that is gone, a lost memory: no earlier run moves."""
    pegs.replace(PEGS, "each: 1", "each: 3")
    pegs.replace(PEGS, "batch: 4", "batch: 2")
    with pegs.open() as book:
        book.put("Production log", 0, note="new blade")
        book.put("Production log", 1, date=LATER, project="peg board large", made=2)
    pegs.compile()
    compiled_ = pegs.path.read_bytes()
    assert took(pegs, PULL) == [(0, "peg board small", 4), (1, "peg board large", 6)]

    with pegs.open() as book:
        del book.book["As compiled"]
    assert took(pegs, PULL) == [(0, "peg board small", 4), (1, "peg board large", 6)]

    pegs.path.write_bytes(compiled_)
    pegs.replace("stock.yaml", PULL, "brass knob")
    pegs.replace(PEGS, PULL, "brass knob")
    pegs.replace(PEGS, "  small: {long: 16}\n", "")
    with pegs.open() as book:  # sorted by the newest day, whose pieces are others now
        book.put("Production log", 0, date=LATER, project="peg board large", made=5)
        book.put("Production log", 1, date=EARLIER, project="peg board small", made=4)
    assert took(pegs, "brass knob") == [(0, "peg board large", 15), (1, "peg board small", 4)]


@pytest.mark.deep
def test_a_typed_run_moves_what_is_there(pegs: Desk) -> None:
    """As the workbook stands, without a compile; reclaimed wood used up makes the plan stale."""
    with pegs.open() as book:
        stock = {name: book.row_of("Stock", "stock", name) for name in (PINE, PULL, BARN)}
        cells = {name: book.cell("Stock", "there_now", row) for name, row in stock.items()}
        plans = [book.cell("Projects", "stale", row).coordinate for row in (0, 1)]
        book.put("Production log", 1, date=LATER, project="peg board small", made=29)
    found = recalculated_by_formualizer(pegs.path)
    there = {name: found["Stock", cell.coordinate] for name, cell in cells.items()}

    assert there == {PINE: int(12 - 29 / 4), PULL: 0, BARN: 0}
    assert [found["Projects", each] for each in plans] == ["stale", "stale"]
    tables = price(pegs.folder, None).filled.tables
    now = dict(zip(tables["Stock"]["stock"], tables["Stock"]["there_now"], strict=True))
    assert {name: now[name] for name in there} == there
    assert set(tables["Projects"]["stale"]) == {""}  # planned with what is left, which is none
    assert "not enough" in set(tables["Material takeoff"]["state"])


def test_a_count_resets_it(pegs: Desk) -> None:
    """Raw and in work together; typed over on hand it gets the newest day, told, and counts."""
    with pegs.open() as book:
        book.put("Stock", book.row_of("Stock", "stock", "wood glue"), on_hand=6)
        day = datetime(2026, 5, 30)
        book.add("Counts", date=day, stock=PULL, quantity=6, value=8.10)
        book.put("Counts", book.add("Counts", date=day, stock=PULL, quantity=1), stage="in work")
        book.put("Production log", 1, date=LATER, project="peg board small", made=2)
        book.put("Purchases", 2, date=LATER, stock="wood glue", packs=2, amount=17.80)
    gathered = gather(pegs.folder, None)
    days = {row.stock: row.counted_on for row in gathered.definitions.table("Stock", StockRow)}
    stock = price_gathered(gathered).filled.tables["Stock"]
    there = dict(zip(stock["stock"], stock["there_now"], strict=True))

    assert sum("on hand of wood glue was changed" in each for each in gathered.notices) == 1
    assert (days["wood glue"], days[PULL]) == (LATER.date(), None)
    assert (there[PULL], there["wood glue"]) == (6 + 1 - 2, 6)


@pytest.mark.deep
@pytest.mark.parametrize(
    ("shop", "stock", "by_hand", "counted"),
    [
        ("inch", "spruce 2x4 8ft", 4 + 23 - 25, 1),  # one was lost or spoiled
        ("inch", "steel coat hook", 21 + 216 - 224, 13),
        ("inch", "fence board", 36 - 20, 15),
        ("metric", "turned peg", 20 + 75 - 90, 5),
        ("metric", "old floorboard", 16 - 6, 10),
        ("metric", "pine 18x95 2.4m", 3 + 8 - 7, 3),
    ],
)
def test_examples_after_their_year(shop: str, stock: str, by_hand: float, counted: float) -> None:
    """Before the closing count it is what the opening one, slips and runs leave; then the count."""
    assert there_of(shop, closed=False)[stock] == by_hand
    assert there_of(shop, closed=True)[stock] == counted


@cache
def there_of(shop: str, closed: bool) -> dict[str, float]:
    """What is there of each stock of an example, with or without its closing count."""
    found = priced(shop)
    tables = {name: frame.copy() for name, frame in found.filled.tables.items()}
    counts = tables["Counts"]
    tables["Counts"] = counts[(counts["count"] == "opening") | closed].reset_index(drop=True)
    name = ("Stock", "there_now")
    rule = found.book.tables[name[0]].by_name[name[1]].rule
    assert rule is not None
    needed = {name, *found.book.reach(rule, name[0])}
    calculate(found.book, Filled(tables, {**found.filled.lines}, {}), found.units, needed=needed)
    return dict(zip(tables["Stock"]["stock"], tables["Stock"]["there_now"], strict=True))
