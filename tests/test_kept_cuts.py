"""A run whose cut was kept takes the boards of that cut: shelf, offcuts and books agree."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notchbook.commands.keeping import keep_marked_runs
from notchbook.commands.next_year import roll_forward
from notchbook.gathering import gather
from notchbook.sheets.making.stock_used import KeptCut, Run
from notchbook.shop.kept_cuts import LoggedRuns, settle_cuts
from notchbook.shop.kept_use import KeptUse
from notchbook.shop.pipeline import Priced, list_shortages, price, price_gathered

from .desk import Desk, compiled
from .searching import examples
from .test_offcuts import LOG, PINE, of, run, write

COUNTS, SLIPS = "ledgers/counts.csv", "ledgers/purchases.csv"
EIGHT_FOOT = 96.0
BARN = "barn board"
PULL = "brass cup pull"


def made(*rows: str) -> dict[str, str]:
    """The Production log of a shop that counted four boards and bought ten."""
    return {
        LOG: "date,project,made,offcuts\n" + "".join(f"{row}\n" for row in rows),
        COUNTS: f"date,stock,quantity,value\n2026-01-01,{PINE},4,30.40\n",
        SLIPS: "date,vendor,what,category,amount,stock,packs\n"
        f"2026-01-05,Yard A,boards,materials,80.00,{PINE},10\n",
    }


def kept(folder: Path) -> Priced:
    """A shop as a compile works it out, its marked runs kept."""
    gathered = gather(folder, None)
    keep_marked_runs(gathered)
    return price_gathered(gathered)


def used(found: Priced, column: str = "units") -> list[Any]:
    """What the runs took, row by row of Stock used."""
    return list(found.filled.tables["Stock used"][column])


def of_stock(found: Priced, column: str, stock: str = PINE) -> float:
    """A column of Stock."""
    rows = found.filled.tables["Stock"]
    return float(rows[rows["stock"] == stock][column].iloc[0])


# --- which run holds a cut -----------------------------------------------------------------------

SIX = Run(10, "peg board", 6, 1)
CUT = KeptCut("first", "peg board", 10, 6, {PINE: 1}, {PINE: "1 offcut"}, SIX)
WAITING = replace(CUT, run=None)
BY_SHARE = {PINE: 2.0, PULL: 6.0}


@pytest.mark.parametrize(
    ("cut", "taken", "log", "marked", "held"),
    [
        (CUT, [SIX], [SIX], [], SIX),
        (CUT, [SIX], [Run(10, "peg board", 8, 1)], [0], Run(10, "peg board", 8, 1)),
        (CUT, [SIX], [Run(12, "peg board", 6, 1)], [0], Run(12, "peg board", 6, 1)),
        (CUT, [SIX], [Run(12, "peg board", 8, 1)], [0], "gone"),
        (CUT, [SIX], [Run(10, "peg board", 8, 1)], [], "gone"),  # typed anew, and not kept
        (CUT, [SIX], [Run(10, "herb rail", 6, 1)], [0], "gone"),
        (CUT, [SIX], [], [], "gone"),
        (replace(CUT, run=replace(SIX, nth=2)), [SIX], [SIX], [0], SIX),  # the first was deleted
        (WAITING, [], [], [], None),
        (WAITING, [], [Run(14, "peg board", 6, 1)], [], Run(14, "peg board", 6, 1)),
        (WAITING, [], [Run(10, "peg board", 5, 1)], [], None),
        (WAITING, [Run(9, "peg board", 6, 1)], [Run(9, "peg board", 6, 1)], [], None),
        (WAITING, [SIX], [SIX], [], SIX),  # logged on its day before it was kept
    ],
)
def test_a_cut_and_its_run(
    cut: KeptCut, taken: list[Run], log: list[Run], marked: list[int], held: Run | str | None
) -> None:
    """It stays with its row, goes with it, or waits for one; hardware is taken as it was."""
    use = KeptUse(dict.fromkeys(taken, BY_SHARE), (cut,))
    found = settle_cuts(use, LoggedRuns(log, frozenset(log[n] for n in marked)), {PINE})

    assert [each.run for each in found.cuts] == ([] if held == "gone" else [held])
    assert [each.name for each in found.gone] == (["first"] if held == "gone" else [])
    if isinstance(held, Run) and held != cut.run and held in taken:
        assert found.takes[held] == {PINE: 1, PULL: 6}


def test_each_run_holds_one_cut() -> None:
    """Of two that wait for runs alike, each gets its own; a third waits on."""
    log = [Run(14, "peg board", 6, nth) for nth in (1, 2)]
    cuts = tuple(replace(WAITING, name=name) for name in ("first", "second", "third"))
    found = settle_cuts(KeptUse({}, cuts), LoggedRuns(log), {PINE})

    assert {each.name: each.run for each in found.cuts} == dict(
        zip(("first", "second", "third"), (*log, None), strict=True)
    )


# --- what it takes -------------------------------------------------------------------------------


def test_before_and_after_offcuts(tmp_path: Path) -> None:
    """The first run takes two boards, the second one and an offcut, a third by its share two.

    The books lose what was cut into at its average, 110.40 for 14 boards; pieces cost what they
    did.
    """
    rows = [f"2026-05-0{day},peg board,6,keep" for day in (2, 3)]
    found = kept(write(tmp_path / "a", **made(*rows, "2026-05-04,peg board,6,")))

    assert used(found) == [2, 1, 2]
    assert used(found, "offcuts") == ["", "1 offcut 3/4 x 5 1/2 x 55 1/4", ""]
    assert used(found, "cut")[1] == "6 peg board, 2026-05-03"
    assert of_stock(found, "there_now") == of_stock(found, "expected") == 4 + 10 - 5
    assert of_stock(found, "books_value") == pytest.approx(110.40 / 14 * 9, abs=0.01)
    assert [round(found.books.runs[n] / 100, 1) for n in range(3)] == [15.8, 7.9, 15.8]
    without = price(write(tmp_path / "b", **made()), None)
    for column in ("material", "unit_cost"):
        assert of(found, "Projects", column) == of(without, "Projects", column) > 0


@pytest.mark.deep
def test_counts_and_years(tmp_path: Path) -> None:
    """After a count the shelf loses later cuts alone; a cut of another year is none of this one."""
    rows = [f"{day},peg board,6,keep" for day in ("2025-12-30", "2026-05-02", "2026-05-09")]
    files = made(*rows)
    files[COUNTS] += f"2026-05-05,{PINE},11,88.00\n"
    found = kept(write(tmp_path, **files))

    assert used(found) == [2, 1, 2]  # the second alone finds an offcut of 55 in.
    assert of_stock(found, "there_now") == 11 - 2
    assert of_stock(found, "used") == 3


@pytest.mark.deep
def test_two_of_a_day_are_two(tmp_path: Path) -> None:
    """Runs that say the same are kept each by itself, and what they leave is told apart."""
    found = kept(write(tmp_path, **made(*["2026-05-02,peg board,3,keep"] * 2)))

    assert used(found) == [1, 1]
    names = ["3 peg board, 2026-05-02", "3 peg board, 2026-05-02, no. 2"]
    assert used(found, "cut") == list(found.filled.tables["Offcuts"]["run"]) == names


@pytest.mark.parametrize(
    ("offcuts", "needed", "enough"),
    [
        (f"{BARN},7/8,5 1/2,30,2\n", 2, True),
        pytest.param("", 3, False, marks=pytest.mark.deep),
        pytest.param(f"{BARN},7/8,5 1/2,30,1\n", 3, False, marks=pytest.mark.deep),
    ],
)
def test_offcuts_of_reclaimed_wood(tmp_path: Path, offcuts: str, needed: int, enough: bool) -> None:
    """Two boards are there, three are needed: two offcuts do in place of the third, one does not.

    A run that is on the log already is cut from the wood that was there before it.
    """
    files = made()
    files["projects/peg-board.yaml"] = (
        "project: peg board\ntitle: Pegs\nbatch: 6\nsteps: [{step: cut, setup: 9, minutes: 3}]\n"
        "parts:\n  - {part: board, make: 1, size: 7/8 x 5 1/2 x 25, from: [barn board]}\n"
    )
    files[COUNTS] = f"date,stock,quantity,value\n2026-01-01,{BARN},2,0\n"
    found = price(write(tmp_path / "a", offcuts, **files), None)

    assert of(found, "Material takeoff", "need") - of(found, "Material takeoff", "spared") == needed
    assert (list_shortages(found) == []) == enough
    assert (of_stock(found, "missing", BARN) == 0) == enough
    if enough:
        files[LOG] += "2026-05-02,peg board,6,keep\n"
        found = kept(write(tmp_path / "b", offcuts, **files))
        assert (used(found), of_stock(found, "there_now", BARN)) == ([2], 0)
        assert used(found, "offcuts") == ["2 offcut 7/8 x 5 1/2 x 30"]


# --- in the workbook ------------------------------------------------------------------------------


def write_pegs(folder: Path) -> Path:
    """The shop of six boards, with a pull on each, that bought ten boards."""
    pegs = "uses: [{stock: brass cup pull, each: 1}]\nparts:\n"
    folder = write(folder, **made())
    file = folder / "projects/peg-board.yaml"
    file.write_text(file.read_text("utf-8").replace("parts:\n", pegs), encoding="utf-8")
    return folder


def stock_used(desk: Desk) -> list[tuple[Any, ...]]:
    """Run, stock, units, and the cut of each row of Stock used."""
    rows = price(desk.folder, None).filled.tables["Stock used"].fillna(0)
    return [
        tuple(row) for row in rows[["run", "stock", "units", "cut_for"]].itertuples(index=False)
    ]


def there(desk: Desk) -> float:
    """What is there of the boards."""
    return of_stock(price(desk.folder, None), "there_now")


def again(desk: Desk) -> None:
    """A second compile has nothing to tell, and writes the same file."""
    first = desk.path.read_bytes()
    desk.compile()
    assert desk.path.read_bytes() == first


@pytest.mark.deep
def test_cut_first_and_logged_later(tmp_path: Path, few_rows: None) -> None:
    """The boards are off the shelf at once; the run that is logged takes them, and says kept."""
    desk = Desk(tmp_path, compiled(write_pegs))
    told = run("cuts", desk.folder, "peg board", "--keep", "--run", "first")
    assert "It took 2 pine 1x6 8ft. Write the run on Production log" in told
    assert (stock_used(desk), there(desk)) == ([(0, PINE, 2, 6)], 12)
    assert "first is on Offcuts already" in run(
        "cuts", desk.folder, "peg board", "--keep", "--run", "first", code=2
    )
    again(desk)
    (left,) = roll_forward(desk.folder, tmp_path / "next").notices
    assert "first waits for its run, which takes what was cut when it is logged in 2027" in left

    with desk.open() as sheets:
        day = datetime(2026, 12, 6)
        sheets.add("Production log", date=day, project="peg board", made=5)
        sheets.add("Production log", date=day, project="peg board", made=6, offcuts="keep")
    told = " ".join(desk.compile().notices)
    assert (
        "Production log!F8: keep: the run says kept now; it takes the wood of the cut first" in told
    )
    five, six = (1, PINE, pytest.approx(5 * 2 / 6), 0), (2, PINE, 2, 6)
    assert stock_used(desk) == [five, (1, PULL, 5, 0), six, (2, PULL, 6, 0)]
    assert desk.look().column("Production log", "offcuts") == [None, "kept"]
    assert desk.look().column("Offcuts", "run") == ["first"] * 2  # once
    again(desk)


@pytest.mark.deep
def test_edited_and_deleted(tmp_path: Path, few_rows: None) -> None:
    """Eight in place of six: two boards still, and eight pulls. Deleted: told, and all is back."""
    desk = Desk(tmp_path, compiled(write_pegs))
    day = datetime(2026, 5, 2)
    with desk.open() as sheets:
        sheets.add("Production log", date=day, project="peg board", made=6, offcuts="keep")
    desk.compile()
    with desk.open() as sheets:
        sheets.put("Production log", 0, made=8)
    told = " ".join(desk.compile().notices)
    assert "C7: it takes the wood of the cut 6 peg board, 2026-05-02, which was for 6, and" in told
    assert (stock_used(desk), there(desk)) == ([(1, PINE, 2, 6), (1, PULL, 8, 0)], 12)
    again(desk)

    with desk.open() as sheets:
        sheets.delete("Production log", 0)
    (told,) = (line for line in desk.compile().look if "is deleted there" in line)
    assert told == (
        "Production log: 6 peg board, 2026-05-02 is deleted there, so 2 pine 1x6 8ft count as there"
        " again; if it was never cut, take off what it left (Offcuts!F7) on Offcuts"
    )
    assert (stock_used(desk), there(desk)) == ([], 14)
    again(desk)


@pytest.mark.deep
def test_a_mark_that_comes_later(tmp_path: Path, few_rows: None) -> None:
    """A run that took its share takes, marked, what its plan cut; the pulls stay what they were."""
    desk = Desk(tmp_path, compiled(write_pegs))
    with desk.open() as sheets:
        day = datetime(2026, 5, 2)
        sheets.add("Production log", date=day, project="peg board", made=4)
    desk.compile()
    assert stock_used(desk) == [(1, PINE, pytest.approx(4 / 3), 0), (1, PULL, 4, 0)]
    desk.replace("projects/peg-board.yaml", "each: 1", "each: 3")
    with desk.open() as sheets:
        sheets.put("Production log", 0, offcuts="keep")
    desk.compile()
    assert stock_used(desk) == [(1, PINE, 1, 4), (1, PULL, 4, 0)]
    again(desk)


@pytest.mark.deep
def test_projects_in_one_plan(tmp_path: Path, few_rows: None) -> None:
    """Each takes its share of a board that both are cut from, whole boards in all."""
    folder = write_pegs(tmp_path / "shop")
    text = (folder / "projects/peg-board.yaml").read_text("utf-8")
    text = text.replace("peg board", "coat rail")
    (folder / "projects/coat-rail.yaml").write_text(text, encoding="utf-8")
    run("compile", folder, code=1)
    desk = Desk(tmp_path / "desk", folder)
    run("cuts", desk.folder, "peg board=3", "coat rail=5", "--keep")

    taken = sorted(units for _, _, units, _ in stock_used(desk))
    assert taken == pytest.approx([2 * 3 / 8, 2 * 5 / 8])
    assert there(desk) == 12


def tally(folder: Path, runs: list[int], first: list[tuple[float, int]]) -> None:
    """Keep runs of so many, with so many first offcuts of some lengths, and count all wood."""
    offcuts = "".join(f"{PINE},3/4,5 1/2,{length},{count}\n" for length, count in first)
    rows = (f"2026-05-{n:02},peg board,{pieces},keep" for n, pieces in enumerate(runs, 1))
    gathered = gather(write(folder, offcuts, **made(*rows)), None)
    keep_marked_runs(gathered)
    told = " ".join(gathered.notices)
    found = price_gathered(gathered)

    boards = used(found)
    assert all(float(units).is_integer() for units in boards)
    assert sum(boards) + of_stock(found, "there_now") == 4 + 10
    assert of_stock(found, "expected") == of_stock(found, "there_now")
    sheet = found.filled.tables["Offcuts"].to_dict("records")
    there = sum(row["count"] for row in sheet)
    put = sum(count for _, count in first) + sum(map(int, re.findall(r"(\d+) of 3/4 x", told)))
    words = re.findall(r"(\d+) offcut", " ".join(used(found, "offcuts")))
    assert put == sum(map(int, words)) + there
    cut = sum(boards) * EIGHT_FOOT + sum(length * count for length, count in first)
    assert cut > sum(runs) * 20 + sum(row["length"] * row["count"] for row in sheet)


def test_no_wood_is_lost(tmp_path: Path) -> None:
    """Boards counted and bought are used or there; offcuts made are used or there."""
    tally(tmp_path, [6, 4, 3], [(41.5, 1), (25, 2)])


@pytest.mark.deep
@examples(2)
@given(
    st.lists(st.integers(1, 9), min_size=1, max_size=4),
    st.lists(st.tuples(st.integers(12, 95), st.integers(0, 3)), max_size=3),
)
def test_no_wood_is_ever_lost(
    tmp_path_factory: pytest.TempPathFactory, runs: list[int], first: list[tuple[float, int]]
) -> None:
    """So it is for any runs and offcuts."""
    tally(tmp_path_factory.mktemp("shop"), runs, first)
