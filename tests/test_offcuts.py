"""Offcuts: kept when a plan was cut, used before a board is bought, and never a cost twice."""

from __future__ import annotations

from datetime import date, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from notchbook.base.refusals import RefusedError
from notchbook.cli import main
from notchbook.commands.compile import compile_shop
from notchbook.commands.cuts import plan_cuts
from notchbook.commands.keeping import keep_offcuts
from notchbook.commands.ledgers import export_ledgers
from notchbook.commands.next_year import roll_forward
from notchbook.commands.offcut_rows import find_run
from notchbook.gathering import gather
from notchbook.jobs import build_offcuts
from notchbook.planning import Job, Planner, make_plan
from notchbook.planning.model.kept_offcuts import KeptOffcut, count_offcuts, put_offcuts
from notchbook.shop.pipeline import Priced, price

from .calc import type_and_save
from .desk import AS_OF, Desk, compiled
from .plain_shops import Shop, as_printed, board, job_of, part, plain, shop_of
from .plan_verifier import faults
from .searching import examples
from .shops import GOOD, write_shop
from .test_planner_properties import WORK, shops

PINE = "pine 1x6 8ft"
RAIL, LOG = "projects/herb-rail.yaml", "ledgers/production.csv"
HEAD = "stock,thickness,width,length,count\n"
TODAY = date.today()


def write(folder: Path, offcuts: str = "", **more: str) -> Path:
    """A shop of six boards of 20 in., four of which come out of one of 8 ft."""
    board = "  - {part: board, make: 1, size: 3/4 x 5 1/2 x 20, from: [pine 1x6 8ft]}\n"
    files: dict[str, str | None] = {
        **{name: None for name in GOOD if name.startswith(("ledgers/", "ideas"))},
        RAIL: None,
        "projects/peg-board.yaml": (
            "project: peg board\ntitle: Pegs\nbatch: 6\n"
            f"steps: [{{step: cut, setup: 9, minutes: 3}}]\nparts:\n{board}"
        ),
    }
    if offcuts:
        files["ledgers/offcuts.csv"] = HEAD + offcuts
    return write_shop(folder, **{**files, **more})


def of(found: Priced, table: str, column: str) -> Any:
    """A cell of the first row of a table."""
    return found.filled.tables[table][column][0]


def run(*words: object, code: int = 0) -> str:
    """A command, as at a terminal."""
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exit_code == code, result.output
    return " ".join(result.output.split())


# --- used ----------------------------------------------------------------------------------------


def test_an_offcut_saves_outlay_and_no_cost(tmp_path: Path) -> None:
    """Two of the six come out of it, so one board is bought; a piece costs what it did."""
    without = price(write(tmp_path / "a"), None)
    found = price(write(tmp_path / "b", f"{PINE},3/4,5 1/2,41,1\n"), None)

    for column in ("need", "used_cost"):
        assert of(found, "Material takeoff", column) == of(without, "Material takeoff", column)
    assert of(found, "Projects", "material") == of(without, "Projects", "material") > 0
    bought = [of(each, "Material takeoff", "to_buy") for each in (without, found)]
    assert (bought, of(found, "Material takeoff", "outlay")) == ([2, 1], 7.60)
    assert of(found, "Projects", "offcuts_used") == 1
    said = found.filled.tables["Cut plan"]["says"]
    assert "Take 1 x offcut 3/4 x 5 1/2 x 41 of pine 1x6 8ft from stock." in set(said)
    together = found.filled.tables["Bought together"]
    assert together["to_buy"][0] == 1


@pytest.mark.parametrize(
    "offcut",
    [
        f"{PINE},3/4,5 1/2,20,9",  # its ends are trimmed
        f"{PINE},3/4,5 1/4,60,9",
        f"{PINE},1/2,5 1/2,60,9",
        f"{PINE},3/4,5 1/2,60,0",
        f"{PINE},3/4,5 1/2,99,9",  # longer than its stock: told, and not counted on
        "spruce 2x4 8ft,1 1/2,3 1/2,60,9",
        "pine,3/4,5 1/2,60,9",
    ],
)
def test_what_is_too_small_is_left(tmp_path: Path, offcut: str) -> None:
    """In any of its three sizes; nor is what is of another stock, or of none."""
    found = price(write(tmp_path, f"{offcut}\n"), None)

    assert found.plans.at_saw == {}
    assert of(found, "Material takeoff", "to_buy") == 2


@examples(3)
@pytest.mark.deep
@given(shops(), st.data())
def test_plans_from_offcuts_stand_up(shop: Shop, data: st.DataObject) -> None:
    """The verifier passes them; no more is used than there is; proved ones are no dearer."""
    job = job_of(shop)
    sides = st.fractions(Fraction(1, 4), 1, max_denominator=16)
    offcuts = [
        KeptOffcut(
            f"offcut {n}",
            board.stock,
            board.thickness * data.draw(st.sampled_from([Fraction(1), Fraction(1, 2)])),
            board.width * data.draw(sides),
            board.length * data.draw(sides),
            data.draw(st.integers(1, 2)),
        )
        for n, board in enumerate(data.draw(st.lists(st.sampled_from(job.boards), max_size=4)))
    ]
    put = put_offcuts(job, offcuts)
    plan, without = (Planner(each, WORK).plan(2, None) for each in (put, job))

    assert faults(as_printed(plan), plain(put), 2) == []
    counts = {each.name: each.count for each in offcuts}
    assert all(count <= counts[name] for name, count in count_offcuts(plan, offcuts).items())
    if plan.status == "optimal" and not plan.short:
        assert without.short or plan.cost <= without.cost


BARN = ("barn 4ft", "barn 8ft")
SEVEN, EIGHT = Fraction(7, 8), Fraction(11, 2)


def barn_job(on_hand: int, buyable: bool = False) -> Job:
    """Parts of four lengths, from reclaimed boards of two, and bought ones too if any are."""
    shop = shop_of(
        [
            part(f"p{n}", 5, ("7/8", "11/2", length), *BARN, *(["pine"] if buyable else []))
            for n, length in enumerate(("30", "89/4", "17", "91/8"))
        ],
        [
            *(
                board(name, ("7/8", "11/2", length), 0, on_hand=on_hand, buyable=False)
                for name, length in zip(BARN, (48, 96), strict=True)
            ),
            *([board("pine", ("7/8", "11/2", 96))] if buyable else []),
        ],
    )
    return job_of(shop)


@pytest.mark.parametrize("buyable", [False, True])
def test_offcuts_spare_reclaimed_boards(buyable: bool) -> None:
    """Twenty offcuts are used before whole boards that cost nothing either."""
    lengths = [Fraction(2 * n + 18) for n in range(20)]
    offcuts = [
        KeptOffcut(f"offcut {n}", BARN[n % 2], SEVEN, EIGHT, length, 1)
        for n, length in enumerate(lengths)
    ]
    job = barn_job(10, buyable)
    put = put_offcuts(job, offcuts)
    plan, without = (make_plan(each, 1, None) for each in (put, job))

    assert faults(as_printed(plan), plain(put), 1) == []
    assert plan.status == "optimal"
    assert not plan.cost and not plan.short
    whole = [sum(each.count_boards(name) for name in BARN) for each in (plan, without)]
    assert whole == [0, 5]


def test_offcuts_beside_too_few_boards() -> None:
    """Where whole boards and offcuts do not suffice, all are used, and what is short is told."""
    offcuts = [KeptOffcut("offcut", BARN[0], SEVEN, EIGHT, Fraction(25), 2)]
    put = put_offcuts(barn_job(1), offcuts)
    plan = make_plan(put, 1, None)

    assert faults(as_printed(plan), plain(put), 1) == []
    assert [plan.count_boards(name) for name in (*BARN, "offcut")] == [1, 1, 2]
    assert plan.short


# --- kept ----------------------------------------------------------------------------------------


def test_what_a_plan_leaves_and_used(tmp_path: Path) -> None:
    """Counts fall from the first row on, never below 0; a run of one name is kept once."""
    rows = f"{PINE},3/4,5 1/2,41,1\n{PINE},3/4,5 1/2,41,1.5\n{PINE},3/4,5 1/2,19,1\n"
    gathered = gather(write(tmp_path, rows), None)
    kept = keep_offcuts(gathered, plan_cuts(gathered, "peg board", 6), "first", TODAY)

    assert kept.used == ("2 offcut 3/4 x 5 1/2 x 41 of pine 1x6 8ft",)
    shown = gathered.definitions.cells("Offcuts")
    assert [row["count"] for row in shown] == [0, 0.5, 1, 1]
    assert (shown[3]["stock"], shown[3]["length"], shown[3]["run"]) == (PINE, 55.25, "first")
    there = build_offcuts(gathered.definitions)
    assert {float(each.length): each.count for each in there} == {19: 1, 55.25: 1}
    assert find_run(gathered, "FIRST") == "Offcuts, row 4"
    with pytest.raises(RefusedError, match="first is on Offcuts already"):
        keep_offcuts(gathered, plan_cuts(gathered, "peg board", 6), "first", TODAY)


@pytest.mark.deep
def test_kept_once_and_used_next(tmp_path: Path, few_rows: None) -> None:
    """What the run leaves stands on the sheet with its name; a second time it is refused."""
    desk = Desk(tmp_path, compiled(write))
    told = run("cuts", desk.folder, "peg board", "--units", 6, "--keep", "--run", "first")

    assert "Put on Offcuts, left by first: 1 of 3/4 x 5 1/2 x 55 1/4 (pine 1x6 8ft)" in told
    sheets = desk.look()
    at = sheets.column("Offcuts", "run").index("first")
    row = [sheets.cell("Offcuts", name, at).value for name in ("stock", "width", "length", "count")]
    assert row == [PINE, 5.5, 55.25, 1]
    before = desk.path.read_bytes()
    again = run("cuts", desk.folder, "peg board", "--keep", "--run", "First", code=2)
    assert "First is on Offcuts already, at Offcuts!F" in again
    assert desk.path.read_bytes() == before
    told = run("cuts", desk.folder, "peg board", "--units", 6)
    assert "Take 1 x offcut 3/4 x 5 1/2 x 55 1/4 of pine 1x6 8ft from stock." in told
    assert "A: 1 x offcut 3/4 x 5 1/2 x 55 1/4 of pine 1x6 8ft, from stock: " in told


@pytest.mark.deep
def test_a_run_takes_off_what_it_used(tmp_path: Path, few_rows: None) -> None:
    """Counts fall to 0 and no further; the next plan buys again, and the row tells whence."""
    folder = write(tmp_path / "shop", f"{PINE},3/4,5 1/2,41,1\n{PINE},3/4,5 1/2,41,2\n")
    compile_shop(folder, None, AS_OF)
    desk = Desk(tmp_path / "desk", folder)
    told = run("cuts", desk.folder, "peg board", "--keep")

    assert "Taken off Offcuts, used by 6 peg board" in told
    assert "3 offcut 3/4 x 5 1/2 x 41 of pine 1x6 8ft" in told
    sheets = desk.look()
    assert sheets.column("Offcuts", "count")[:2] == [0, 0]
    assert "Take" not in run("cuts", desk.folder, "peg board")


@pytest.mark.deep
def test_a_mark_on_the_log_keeps(tmp_path: Path, few_rows: None) -> None:
    """The next compile puts what the run left on the sheet, once, and the run says kept."""
    desk = Desk(tmp_path, compiled(write))
    with desk.open() as sheets:
        day = datetime(2026, 5, 2)
        sheets.add("Production log", date=day, project="peg board", made=6, offcuts="keep")
        sheets.add("Production log", date=day, project="peg bord", made=6, offcuts="keep")
    told = desk.compile()
    desk.compile()

    assert any(
        "the run says kept now; 6 peg board, 2026-05-02 took 2 pine" in line
        for line in told.notices
    )
    sheets = desk.look()
    assert sheets.column("Production log", "offcuts") == ["kept", "keep"]
    assert sheets.column("Offcuts", "run") == ["6 peg board, 2026-05-02"] * 2
    assert sheets.column("Offcuts", "length") == [55.25, 15]


@pytest.mark.deep
def test_offcuts_follow_in_libreoffice(tmp_path: Path, few_rows: None) -> None:
    """Used elsewhere, an offcut makes the plan stale and spares nothing; compiled, all is bought.

    A new name of the stock is followed, and what was typed there stays.
    """
    folder = write(tmp_path / "shop", f"{PINE},3/4,5 1/2,41,1\n")
    compile_shop(folder, None, AS_OF)
    desk = Desk(tmp_path / "desk", folder)
    sheets = desk.look()
    count = ("Offcuts", sheets.cell("Offcuts", "count", 0).coordinate)
    note = ("Offcuts", sheets.cell("Offcuts", "note", 0).coordinate)
    type_and_save(desk.path, desk.path, {count: 0, note: "used for a jig"})

    from openpyxl import load_workbook

    values = load_workbook(desk.path, data_only=True)
    seen = {
        (table, name): values[table][sheets.cell(table, name, 0).coordinate].value
        for table, name in (
            ("Projects", "stale"),
            ("Material takeoff", "spared"),
            ("Material takeoff", "to_buy"),
        )
    }
    assert list(seen.values()) == ["stale", 0, 2]
    desk.replace("stock.yaml", PINE, "pine board 8ft")
    desk.replace("projects/peg-board.yaml", PINE, "pine board 8ft")
    desk.compile()
    sheets = desk.look()
    assert sheets.column("Offcuts", "note") == ["used for a jig"]
    assert sheets.column("Offcuts", "stock") == ["pine board 8ft"]
    assert of(price(desk.folder, None), "Material takeoff", "to_buy") == 2


@pytest.mark.deep
def test_years_and_files_carry_them(tmp_path: Path, few_rows: None) -> None:
    """The next year begins with what is there; the ledgers hold all, what is used up too."""
    rows = f"{PINE},3/4,5 1/2,41,2\n{PINE},3/4,5 1/2,30 1/8,0\n"
    folder = write(tmp_path, rows)
    compile_shop(folder, None, AS_OF)
    carried = f"{HEAD.strip()},run,note\n{PINE},3/4,5 1/2,41,2,,\n"

    assert roll_forward(folder, tmp_path / "next").files["ledgers/offcuts.csv"] == carried
    assert export_ledgers(folder).files["offcuts.csv"].count(PINE) == 2


def test_keep_needs_one_plan_and_a_workbook(tmp_path: Path) -> None:
    """What was cut is said by name, and the sheet must be there."""
    folder = write(tmp_path)
    assert "name its projects" in run("cuts", folder, "--keep", code=2)
    assert "write one of them" in run("cuts", folder, "peg board", "--run", "x", code=2)
    assert "no workbook yet" in run("cuts", folder, "peg board", "--keep", code=2)
