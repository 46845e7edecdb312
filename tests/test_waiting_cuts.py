"""A cut that waits for its run when the year ends: its wood is there once, and borne once."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from notchbook.commands.ledgers import export_ledgers
from notchbook.commands.next_year import NextYear, roll_forward
from notchbook.definitions import DefinitionError
from notchbook.gathering import gather
from notchbook.shop.pipeline import Priced, price

from .desk import Desk, compiled
from .test_kept_cuts import COUNTS, PULL, kept, made, of_stock, stock_used, there, used, write_pegs
from .test_offcuts import LOG, PINE, run, write

WAITING = "ledgers/waiting_cuts.csv"
HEAD = "cut,date,project,cut_for,stock,boards,offcuts\n"
FIRST = f"first,2026-12-20,peg board,6,{PINE},2,\n"
LATE = "date,project,made\n2027-01-05,peg board,6\n"
CLOSE = f"2026-12-31,{PINE},raw,12,91.20\n"


def rolled(tmp_path: Path, counts: str = "", cut: str = FIRST, **more: str) -> NextYear:
    """A shop with four boards, ten bought, and a cut of two that waits, in its next year."""
    files = made()
    files[COUNTS] = f"date,stock,stage,quantity,value\n2026-01-01,{PINE},,4,30.40\n{counts}"
    folder = write(tmp_path / "old", **{**files, WAITING: HEAD + cut, **more})
    found = roll_forward(folder, tmp_path / "new")
    found.write()
    return found


def logged(tmp_path: Path) -> Priced:
    """The new year with the run on its log, as a compile works it out."""
    (tmp_path / "new" / LOG).write_text(LATE, encoding="utf-8")
    return kept(tmp_path / "new")


def test_by_the_books(tmp_path: Path) -> None:
    """Fourteen open the year, twelve are there; the run takes two, and costs what they did."""
    found = rolled(tmp_path)
    assert found.files[WAITING] == HEAD + FIRST.replace("2026-12-20", "2027-01-01")
    (told,) = found.notices
    assert told.startswith("first waits for its run, which takes what was cut when it is logged")

    waits = price(tmp_path / "new", None)
    assert of_stock(waits, "there_now") == of_stock(waits, "expected") == 12
    assert of_stock(waits, "books_value") == pytest.approx(110.40)
    late = logged(tmp_path)
    assert (used(late), used(late, "cut")) == ([2], ["first"])
    assert of_stock(late, "there_now") == of_stock(late, "expected") == 12
    assert late.books.runs[0] / 100 == pytest.approx(110.40 * 2 / 14, abs=0.01)


@pytest.mark.parametrize(
    ("counts", "boards"),
    [
        pytest.param(CLOSE, 0, id="left out"),  # what was not counted is cost of the old year
        pytest.param(
            f"{CLOSE}2026-12-31,{PINE},in work,2,15.20\n", 2, marks=pytest.mark.deep, id="in work"
        ),
    ],
)
def test_by_a_whole_count(tmp_path: Path, counts: str, boards: int) -> None:
    """Twelve lie there either way; the run takes what was counted in work."""
    found = rolled(tmp_path, counts)
    assert any(f"first took 2 of {PINE}, of which 0" in line for line in found.look) == (
        boards == 0
    )

    waits = price(tmp_path / "new", None)
    assert (of_stock(waits, "there_now"), of_stock(waits, "opening")) == (12, 12 + boards)
    late = logged(tmp_path)
    assert (used(late), of_stock(late, "there_now")) == ([boards], 12)
    assert late.books.runs[0] / 100 == pytest.approx(7.60 * boards, abs=0.01)


@pytest.mark.deep
def test_on_hand_alone(tmp_path: Path) -> None:
    """Where a day beside on hand says what is there, and the books know nothing of it."""
    stock = (write(tmp_path / "any") / "stock.yaml").read_text("utf-8")
    at = stock.index("}", stock.index(PINE))
    dated = f"{stock[:at]}, on_hand: 9, counted_on: 2026-11-01{stock[at:]}"
    none = "date,vendor,what,category,amount\n"
    bare = {COUNTS: "date,stock,stage,quantity,value\n", "ledgers/purchases.csv": none}
    found = rolled(tmp_path, **{**bare, "stock.yaml": dated})

    assert "on_hand: 9, counted_on: 2026-12-31" in found.files["stock.yaml"]
    assert of_stock(price(tmp_path / "new", None), "there_now") == 9 - 2
    assert of_stock(logged(tmp_path), "there_now") == 9 - 2


@pytest.mark.deep
def test_an_opening_is_counted_in_the_morning(tmp_path: Path) -> None:
    """What is bought and used on the year's first day moves what was counted on it."""
    files = made("2026-01-01,peg board,6,keep")
    files["ledgers/purchases.csv"] = files["ledgers/purchases.csv"].replace("01-05", "01-01")
    found = kept(write(tmp_path, **files))

    assert of_stock(found, "there_now") == of_stock(found, "expected") == 4 + 10 - 2


def test_the_file_is_read_and_written(tmp_path: Path) -> None:
    """The ledgers hold what waits; a slip in the file is named with its line."""
    more = HEAD + FIRST + "first,2026-12-20,peg board,6,barn board,0.5,1 offcut 7/8 x 5 x 30\n"
    folder = write(tmp_path / "a", **made(), **{WAITING: more})
    assert len(gather(folder, None).cuts) == 1
    assert export_ledgers(folder).files["waiting_cuts.csv"] == more

    wrong = f"{HEAD}first,2026-12-20,peg bord,six,{PINE},2,\nfirst,2026-12-20,peg board,6,oak,2,\n"
    with pytest.raises(DefinitionError) as told:
        gather(write(tmp_path / "b", **made(), **{WAITING: wrong}), None)
    assert [str(each).split(";")[0] for each in told.value.problems] == [
        f"{WAITING}:2: cut_for: 'six' is not a number",
        f"{WAITING}:2: project: there is no project 'peg bord' (nearest known: peg board)",
        f"{WAITING}:3: stock: there is no stock 'oak'",
    ]


@pytest.mark.deep
def test_from_workbook_to_workbook(tmp_path: Path, few_rows: None) -> None:
    """Kept in one workbook, carried, compiled, logged in January: two boards of fourteen, once."""
    desk = Desk(tmp_path / "old", compiled(write_pegs))
    run("cuts", desk.folder, "peg board", "--keep", "--run", "first")
    assert there(desk) == 12
    run("next-year", desk.folder, "--output", tmp_path / "new", code=1)
    run("compile", tmp_path / "new")
    new = Desk(tmp_path / "desk", tmp_path / "new")
    new.path = new.folder / "Bench and Burr 2027.xlsx"
    assert (stock_used(new), there(new)) == ([(0, PINE, 2, 6)], 12)
    assert new.look().column("Offcuts", "run") == ["first"] * 2

    with new.open() as sheets:
        sheets.add("Production log", date=datetime(2027, 1, 5), project="peg board", made=6)
    new.compile()
    assert stock_used(new) == [(1, PINE, 2, 6), (1, PULL, 6, 0)]
    assert there(new) == 12
    assert new.look().column("Offcuts", "run") == ["first"] * 2
