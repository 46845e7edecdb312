"""A cut that was kept and then withdrawn: shelf, offcuts and books as if it had never been kept."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from notchbook.base.refusals import RefusedError
from notchbook.commands.cuts import plan_cuts, plan_cuts_together
from notchbook.commands.keeping import keep_offcuts
from notchbook.commands.withdrawing import WithdrawnCut, withdraw_cut
from notchbook.gathering import Gathered, gather
from notchbook.jobs import build_offcuts
from notchbook.planning.model.kept_offcuts import KeptOffcut
from notchbook.shop.kept_use import read_kept_use

from .desk import Desk, compiled
from .test_kept_cuts import stock_used, there, write_pegs
from .test_offcuts import LOG, PINE, TODAY, run, write

FIRST = f"{PINE},3/4,5 1/2,41,1\n{PINE},3/4,5 1/2,41,2\n{PINE},3/4,5 1/2,19,1\n"
RAIL = "projects/coat-rail.yaml"


def keep(gathered: Gathered, name: str, units: int = 6) -> None:
    """Keep a cut of so many boards."""
    keep_offcuts(gathered, plan_cuts(gathered, "peg board", units), name, TODAY)


def there_of(gathered: Gathered) -> list[KeptOffcut]:
    """The offcuts that plans can use, by their lengths."""
    return sorted(build_offcuts(gathered.definitions), key=lambda each: each.length)


def test_as_if_it_had_never_been_kept(tmp_path: Path) -> None:
    """What it used lies there again, what it left does not, and its boards are on the shelf."""
    gathered = gather(write(tmp_path, FIRST), None)
    before = there_of(gathered)
    keep(gathered, "first", 8)
    assert there_of(gathered) != before

    found = withdraw_cut(gathered, "FIRST")
    assert found == WithdrawnCut(
        "first",
        (f"1 {PINE}",),
        (f"1 of 3/4 x 5 1/2 x 55 1/4 ({PINE})",),
        (f"3 of 3/4 x 5 1/2 x 41 ({PINE})",),
    )
    assert there_of(gathered) == before
    assert read_kept_use(gathered).cuts == ()
    assert gathered.notices[-1].startswith("Offcuts, row 4")
    keep(gathered, "first", 8)  # the name is free again


def test_rows_that_were_deleted_come_back(tmp_path: Path) -> None:
    """An offcut that was used up and whose row is gone gets a row of its own again."""
    gathered = gather(write(tmp_path, f"{PINE},3/4,5 1/2,41,1\n"), None)
    before = there_of(gathered)
    keep(gathered, "first")
    definitions = gathered.definitions
    for rows in (definitions.rows, definitions.shown):
        assert isinstance(rows, dict)
        rows["Offcuts"] = rows["Offcuts"][1:]
    withdraw_cut(gathered, None)

    assert there_of(gathered) == before


def test_several_projects_are_withdrawn_together(tmp_path: Path) -> None:
    """An offcut that two of them were cut from comes back once."""
    folder = write(tmp_path, f"{PINE},3/4,5 1/2,62,3\n")
    text = (folder / "projects/peg-board.yaml").read_text("utf-8")
    (folder / RAIL).write_text(text.replace("peg board", "coat rail"), encoding="utf-8")
    gathered = gather(folder, None)
    before = there_of(gathered)
    plan = plan_cuts_together(gathered, {"peg board": 4, "coat rail": 4})
    keep_offcuts(gathered, plan, "both", TODAY)
    assert len(read_kept_use(gathered).cuts) == 2

    assert withdraw_cut(gathered, None).back == (f"3 of 3/4 x 5 1/2 x 62 ({PINE})",)
    assert there_of(gathered) == before


def test_what_cannot_be_withdrawn(tmp_path: Path) -> None:
    """It says what waits, and what to write."""
    gathered = gather(write(tmp_path), None)

    def refused(name: str | None) -> str:
        with pytest.raises(RefusedError) as told:
            withdraw_cut(gathered, name)
        return str(told.value)

    assert refused(None) == "no cut waits for its run, so there is nothing to withdraw"
    keep(gathered, "in May")
    keep(gathered, "in June")
    assert refused(None) == "in May and in June wait for their runs; name one of them with --run"
    assert "no cut 'in Jun' waits for its run (nearest known: in June); those" in refused("in Jun")
    assert refused("in May") == (
        "in June used an offcut 3/4 x 5 1/2 x 55 1/4 that in May left; withdraw that first: --run"
        " 'in June'"
    )
    withdraw_cut(gathered, "in June")
    withdraw_cut(gathered, None)
    assert there_of(gathered) == []


def test_a_cut_that_is_logged_in_part_was_cut(tmp_path: Path) -> None:
    """The run of one of its projects stands on the log, so the other's part is not withdrawn."""
    folder = write(tmp_path, **{LOG: f"date,project,made\n{TODAY},peg board,4\n"})
    text = (folder / "projects/peg-board.yaml").read_text("utf-8")
    (folder / RAIL).write_text(text.replace("peg board", "coat rail"), encoding="utf-8")
    gathered = gather(folder, None)
    plan = plan_cuts_together(gathered, {"peg board": 4, "coat rail": 4})
    keep_offcuts(gathered, plan, "both", TODAY)

    with pytest.raises(RefusedError, match="both does not wait any more: its run is on the log"):
        withdraw_cut(gathered, None)


def test_it_is_named_alone(tmp_path: Path) -> None:
    """With a plan, or without a workbook, there is nothing to withdraw."""
    folder = write(tmp_path)
    told = run("cuts", folder, "peg board", "--withdraw", code=2)
    assert "--withdraw takes back a cut that was kept; name it with --run alone" in told
    assert "no workbook yet" in run("cuts", folder, "--withdraw", code=2)


@pytest.mark.deep
def test_in_the_workbook(tmp_path: Path, few_rows: None) -> None:
    """Kept, used by nothing, withdrawn; then kept, logged, refused, and its row deleted."""
    desk = Desk(tmp_path, compiled(write_pegs))
    shelf, used = there(desk), stock_used(desk)
    run("cuts", desk.folder, "peg board", "--keep", "--run", "first")
    with desk.open() as sheets:
        sheets.put("Offcuts", 0, note="in the rack")
        sheets.add("Offcuts", stock=PINE, thickness=0.75, width=5.5, length=31, count=1)
    told = run("cuts", desk.folder, "--withdraw")
    assert "Withdrew first. Counted as there again: 2 pine 1x6 8ft." in told
    assert (there(desk), stock_used(desk)) == (shelf, used)
    assert desk.look().column("Offcuts", "length") == [31]
    assert "there is nothing to withdraw" in run("cuts", desk.folder, "--withdraw", code=2)

    run("cuts", desk.folder, "peg board", "--keep", "--run", "first")
    with desk.open() as sheets:
        day = datetime.now()
        sheets.add("Production log", date=day, project="peg board", made=6)
    told = run("cuts", desk.folder, "--withdraw", "--run", "first", code=2)
    assert "its run is on the log, at Production log!C7. If it was never cut, delete" in told
    told = run("cuts", desk.folder, "--withdraw", code=2)
    assert "nothing to withdraw; the run of first is on the log, at Production log!C7" in told
    with desk.open() as sheets:
        sheets.delete("Production log", 0)
    run("cuts", desk.folder, "--withdraw", "--run", "first")
    assert (there(desk), stock_used(desk)) == (shelf, used)
    assert desk.look().column("Offcuts", "length") == [31]
    desk.compile()
    assert desk.look().column("Offcuts", "length") == [31]
