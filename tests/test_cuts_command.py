"""`notchbook cuts` as a maker runs it, and what of it stands in the workbook."""

from __future__ import annotations

import io
import itertools
import json
import re
import sys
import time
from collections import Counter
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from notchbook.base import progress
from notchbook.base.sentences import letters, listed, wrapped
from notchbook.cli import main
from notchbook.plan_views.boxes import LabelledBox, Stretch
from notchbook.plan_views.letters.lines import WIDTH, sketch_board, sketch_plane
from notchbook.planning import Board, Job, Part, Saw, make_plan
from notchbook.planning.from_stock import take_from_stock
from notchbook.planning.whole_shop import choose_together, join_jobs, search_together
from notchbook.sheets.kit.calculate import calculate
from notchbook.shop.pipeline import batch_sizes

from .examples import INCH, SHOPS, priced
from .searching import seldom
from .shops import GOOD, write_shop

Json = dict[str, Any]


def run(*words: str | Path) -> Result:
    """A command in this process; anything but an exit is a fault of the program."""
    result = CliRunner().invoke(main, [str(word) for word in ("cuts", *words)])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return result


def told(*words: str | Path) -> Any:
    """What a command tells as JSON."""
    return json.loads(run(*words, "--json").stdout)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small good shop."""
    return write_shop(tmp_path_factory.mktemp("shop"))


# -- the text ---------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SHOPS)
@pytest.mark.parametrize("more", [(), ("--all",), *seldom(("--units", "37"))])
def test_examples_fit_80_columns(name: str, more: tuple[str, ...]) -> None:
    """Every project, alone and together, in lines of at most 80 letters."""
    result = run(SHOPS[name], *more, "--drawn")

    assert result.exit_code == (1 if "not enough" in result.stderr else 0), result.stderr
    assert max(map(len, result.stdout.splitlines())) <= 80
    if more != ("--all",):
        for project in priced(name).definitions.projects:
            assert f"{project}: " in result.stdout


def test_short_by_default() -> None:
    """What to buy, each project's settings in order, and where care is asked for: one screen."""
    result = run(SHOPS["inch"])
    lines = result.stdout.splitlines()

    assert len(lines) <= 80
    assert max(map(len, lines)) <= 80
    for project, plan in zip(priced("inch").definitions.projects, told(SHOPS["inch"]), strict=True):
        start = next(n for n, line in enumerate(lines) if line.startswith(f"{project}: "))
        block = " ".join(" ".join([*lines[start:], ""]).split("  Settings: ")[1].split())
        stops = re.findall(
            r"^(?:Stop|Fence) at ([^ ]+(?: \d+/\d+)?)", "\n".join(plan["steps"]), re.M
        )
        assert all(each in block.split(".")[0] for each in stops)


def test_one_project_in_short(shop: Path) -> None:
    """Each board with the lengths that are cut from it; no drawing, no step."""
    lines = run(shop, "herb rail", "--units", "2").stdout.splitlines()
    whole = run(shop, "herb rail", "--units", "2", "--drawn").stdout

    assert any(re.match(r"A: 1 x .*: crosscut \d+ at 24", line) for line in lines)
    assert any(re.match(r"Settings: stop \d", line) for line in lines)
    assert any(line.startswith("Safety: ") and "narrow" in line for line in lines)
    assert "(narrow" in whole
    assert not any(line.startswith(("+--", "Steps")) for line in lines)
    assert lines[-1].startswith("--drawn: ")


def test_text_tells_all_of_a_plan(shop: Path) -> None:
    """Parts, boards, steps, care and offcuts; the drawing bears the letters of the parts."""
    result = run(shop, "herb rail", "--units", "2", "--drawn")
    text = result.stdout

    assert result.exit_code == 0
    for heading in ("Pieces", "Boards", "Blanks", "Sheets", "Steps", "Safety"):
        assert f"\n{heading}\n" + "-" * len(heading) in text
    assert "a   front                         4  3/4 x 5 1/2 x 24" in text
    assert re.search(r"for \d+ x c \(22 1/2\)", text)
    assert "push stick" in text


@pytest.mark.parametrize(
    "name",
    [
        "a part with quite a long name as somebody may well write it in a hurry up to 100 letters",
        "Überzwerchleiste " + "ß" * 40,
        "no. (2) / left - right",
        "x" * 100,
    ],
)
@pytest.mark.deep
def test_odd_names_fit_80_columns(tmp_path: Path, name: str) -> None:
    """Names as long as they may be, with signs of all kinds, for parts and stocks."""
    project = GOOD["projects/herb-rail.yaml"].replace("front", f'"{name}"')
    project = project.replace("ply 1/4 2x4ft", name)
    stock = GOOD["stock.yaml"].replace("ply 1/4 2x4ft", name)
    ideas = GOOD["ideas.yaml"].replace("ply 1/4 2x4ft", name)
    changes = {"projects/herb-rail.yaml": project, "stock.yaml": stock, "ideas.yaml": ideas}
    folder = write_shop(tmp_path, **changes)

    for more in (("herb rail",), ("--all",)):
        result = run(folder, *more)
        assert result.exit_code == 0, result.stderr
        assert max(map(len, result.stdout.splitlines())) <= 80


def test_long_and_tiny_parts(tmp_path: Path) -> None:
    """A blank as long as the board, and a sheet of hundreds of pieces too small to be drawn."""
    parts = """\
project: mosaic
title: Mosaic
batch: 40
parts:
  - {part: runner, make: 1, size: 3/4 x 1 x 95 1/2, from: [pine 1x6 8ft]}
  - {part: tile, make: 20, size: 1/4 x 1/2 x 1/2, from: [ply 1/4 2x4ft]}
steps:
  - {step: cut, setup: 1, minutes: 1}
"""
    folder = write_shop(tmp_path, **{"projects/mosaic.yaml": parts})
    result = run(folder, "mosaic", "--drawn")

    assert result.exit_code == 0, result.stderr
    assert max(map(len, result.stdout.splitlines())) <= 80
    assert "95 1/2" in result.stdout
    assert "too small to be drawn" in result.stdout


def test_nothing_to_saw(tmp_path: Path) -> None:
    """Without any of the only stock there are no boards and no steps; it says what is missing."""
    stock = GOOD["stock.yaml"].replace("on_hand: 9", "on_hand: 0")
    project = GOOD["projects/peg-board.yaml"].replace("3/4 x 5 1/2", "7/8 x 5")
    project = project.replace("pine 1x6 8ft", "barn board")
    folder = write_shop(tmp_path, **{"stock.yaml": stock, "projects/peg-board.yaml": project})
    result = run(folder, "peg board small")

    assert result.exit_code == 1
    assert "Not enough stock: 4 pieces of board cannot be made.\nNo board is cut." in result.stdout
    assert told(folder, "peg board small")["steps"] == []


# -- exit codes -------------------------------------------------------------------------------


def test_an_unknown_project_names_the_nearest(shop: Path) -> None:
    """Exit 2, nothing on stdout."""
    result = run(shop, "herb rial")

    assert (result.exit_code, result.stdout) == (2, "")
    assert "nearest known: herb rail" in result.stderr


@pytest.mark.parametrize("more", [("herb rail",), ("--units", "4"), ("herb rail", "--units", "4")])
def test_all_takes_no_project_and_no_units(shop: Path, more: tuple[str, ...]) -> None:
    """--all is every project at its batch size; anything else is refused."""
    result = run(shop, *more, "--all")

    assert result.exit_code == 2
    assert "--all" in result.stderr


@pytest.mark.parametrize("units", ["0", "-1", "1.5", "many", "10001"])
def test_units_are_a_number_from_one_on(shop: Path, units: str) -> None:
    """Others are refused by the command line."""
    assert run(shop, "herb rail", "--units", units).exit_code == 2


def test_not_enough_reclaimed_stock(tmp_path: Path) -> None:
    """Exit 1; what can be made is planned, what cannot is named."""
    stock = GOOD["stock.yaml"].replace("on_hand: 9", "on_hand: 1")
    folder = write_shop(tmp_path, **{"stock.yaml": stock})

    for more in (("herb rail",), (), ("--all",)):
        result = run(folder, *more)
        assert result.exit_code == 1
        assert "look: herb rail: not enough barn board" in result.stderr
        assert "cannot be made" in result.stdout
    plan = told(folder, "herb rail")
    assert plan["short"][0]["part"] == "face"
    assert plan["short"][0]["count"] > 0


# -- JSON -------------------------------------------------------------------------------------


def test_json_of_one_project(shop: Path) -> None:
    """The fields that scripts rely on; the batch size unless units are named."""
    plan = told(shop, "herb rail")

    assert list(plan)[:9] == [
        *("project", "units", "status", "cost", "cost_bound", "boards", "panels", "offcuts"),
        *("short",),
    ]
    assert (plan["project"], plan["units"]) == ("herb rail", 6)
    assert told(shop, "herb rail", "--units", "2")["units"] == 2
    assert all(isinstance(step, str) for step in plan["steps"])
    assert list(plan["boards"][0]) == [
        *("stock", "count", "on_hand", "length", "thickness", "width", "blanks")
    ]
    assert list(plan["offcuts"][0]) == ["stock", "thickness", "width", "length", "count"]


def test_json_of_all_projects_one_by_one(shop: Path) -> None:
    """A list, in the order of the projects, even of one."""
    plans = told(shop)

    assert [plan["project"] for plan in plans] == [
        "herb rail",
        "peg board small",
        "peg board large",
    ]


def test_json_of_all_projects_together(shop: Path) -> None:
    """One plan without a project; each piece has its own, and each batch is made in full."""
    plan = told(shop, "--all")
    made: dict[tuple[str, str], int] = {}
    for board in plan["boards"]:
        for blank in board["blanks"]:
            for strip in blank["strips"]:
                for piece in strip["pieces"]:
                    key = (piece["project"], piece["part"])
                    made[key] = made.get(key, 0) + board["count"]

    assert plan["project"] is None
    assert plan["units"] == 6 + 4 + 4
    assert made["herb rail", "front"] == 12
    assert made["peg board small", "board"] == made["peg board large", "board"] == 4


# -- all together -----------------------------------------------------------------------------


@pytest.mark.parametrize("name", SHOPS)
def test_together_is_never_dearer(name: str) -> None:
    """Nor does it take more from stock than there is."""
    found = priced(name).plans.together
    on_hand = {
        row["stock"]: row["on_hand"]
        for row in priced(name).filled.tables["Stock"].to_dict("records")
    }

    assert found.plan.cost <= found.alone_cost
    for stock, count in found.plan.count_from_stock().items():
        assert count <= on_hand[stock]


def _job(project: str, make: int, length: int, on_hand: int) -> Job:
    saw = Saw(Fraction(0), Fraction(0), Fraction(0), Fraction(0), None)
    part = Part("bar", project, make, Fraction(1), Fraction(1), Fraction(length), ("rod",), False)
    rod = Board("rod", "lumber", Fraction(1), Fraction(1), Fraction(10), Fraction(3), on_hand,
                True, False)  # fmt: skip
    return Job((part,), (rod,), saw, Fraction(1))


@pytest.mark.parametrize(
    ("on_hand", "alone", "together"),
    [
        (0, (6, 2), (3, 1)),  # 6 and 4 of 10, each out of its own rod, or both out of one
        (1, (3, 2), (0, 1)),  # the rod that is there serves one of them, or both
        (2, (0, 2), (0, 1)),
    ],
)
def test_what_planning_together_saves(
    on_hand: int, alone: tuple[int, int], together: tuple[int, int]
) -> None:
    """By hand; one after another, stock that one project takes is gone for the next."""
    jobs = {"a": _job("a", 1, 6, on_hand), "b": _job("b", 1, 4, on_hand)}
    plans = {name: make_plan(job, 1, name) for name, job in jobs.items()}
    sizes = {"a": 1, "b": 1}
    found = choose_together(jobs, sizes, plans, search_together(jobs, sizes))

    assert (int(found.alone_cost), found.alone_boards) == alone
    assert (int(found.plan.cost), found.plan.boards_cut) == together
    assert (int(found.saved), found.boards_saved) == (alone[0] - together[0], 1)


def test_together_tells_what_is_saved_and_bought() -> None:
    """A row for each stock, with the total; what is saved against one after another."""
    text = run(INCH, "--all").stdout
    shop = priced("inch")
    joined = join_jobs(shop.plans.jobs, batch_sizes(shop.definitions))
    found = shop.plans.together.take_from_stock(joined, shop.there)

    assert "Bought together\n---------------\n" in text
    assert f"saves {float(found.saved):.2f} USD" in text.replace("\n", " ")
    total = next(line for line in text.splitlines() if line.startswith("total (USD)"))
    assert total.endswith(f" {float(found.plan.cost):.2f}")


# -- some projects, so many units of each -----------------------------------------------------


def test_some_projects_in_one_plan(shop: Path) -> None:
    """So many units of each, the batch where none are named, nothing of the other projects."""
    plan = told(shop, "herb rail=2", "peg board large")
    made = Counter(
        (piece["project"], piece["part"])
        for board in plan["boards"]
        for blank in board["blanks"]
        for strip in blank["strips"]
        for piece in strip["pieces"] * board["count"]
    )

    assert (plan["project"], plan["units"]) == (None, 2 + 4)
    assert made["herb rail", "front"] == 2 * 2
    assert made["peg board large", "board"] == 4
    assert {project for project, _ in made} == {"herb rail", "peg board large"}


def test_text_of_some_projects_lists_what_to_buy(shop: Path) -> None:
    """The list of what is bought ends at the cost of the plan, whatever the order of the words."""
    text = run(shop, "peg board large=3", "herb rail=2").stdout

    assert text == run(shop, "herb rail=2", "peg board large=3").stdout
    assert text.startswith("Together\n========\nBatches: 2 x herb rail and 3 x peg board large\n")
    total = next(line for line in text.splitlines() if line.startswith("total (USD)"))
    cost = told(shop, "herb rail=2", "peg board large=3")["cost"]
    assert float(total.split()[-1]) == cost > 0


def test_one_project_with_its_units(shop: Path) -> None:
    """It is planned as with --units."""
    assert told(shop, "herb rail=2") == told(shop, "herb rail", "--units", "2")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["herb rial=2", "peg bord small"], ["nearest known: herb rail", "known: peg board small"]),
        (["herb rail=two", "peg board small=0"], ["'two' is no number", "'0' is no number", "=4"]),
        (["herb rail=10001", "peg board small"], ["write one from 1 to 10,000"]),
        (["herb rail=²"], ["no number of units"]),
        (["herb rail=2", "herb rail=3"], ["herb rail is named twice"]),
        (["herb rail=2", "--units", "3"], ["PROJECT=UNITS"]),
        (["herb rail", "peg board small", "--units", "3"], ["PROJECT=UNITS"]),
        (["herb rail=2", "--boards", "3"], ["--boards"]),
        (["herb rail", "peg board small", "--boards", "3"], ["name it"]),
        (["herb rail=2", "--all"], ["--all"]),
    ],
)
def test_what_some_projects_cannot_be(shop: Path, words: list[str], said: list[str]) -> None:
    """All that is wrong in one go, with the nearest names and what to write."""
    result = run(shop, *words)

    assert (result.exit_code, result.stdout) == (2, "")
    assert not [each for each in said if each not in result.stderr], result.stderr


# -- the workbook -----------------------------------------------------------------------------


@pytest.mark.parametrize("name", SHOPS)
def test_cut_plan_sheet_holds_the_steps(name: str) -> None:
    """The sentences of the command stand on Cut plan, project by project, in order."""
    frame = priced(name).filled.tables["Cut plan"]

    for plan in told(SHOPS[name]):
        rows = frame[frame["project"] == plan["project"]]
        assert rows[rows["kind"].isin(["step", "safety"])]["says"].tolist() == plan["steps"]
        cut = rows[rows["kind"] == "cut"]
        pieces = (cut["count"] * cut["blanks"].fillna(1) * cut["pieces"]).sum()
        boards = sum(
            board["count"] * len(strip["pieces"])
            for board in plan["boards"]
            for blank in board["blanks"]
            for strip in blank["strips"]
        )
        sheets = sum(sheet["count"] * len(sheet["pieces"]) for sheet in plan["panels"])
        assert pieces == boards + sheets


@pytest.mark.parametrize("name", SHOPS)
def test_bought_together_is_what_the_plan_buys(name: str) -> None:
    """Boards of the joint plan less what is on hand; nothing is stale at compile."""
    frame = priced(name).filled.tables["Bought together"]
    wood = frame[frame["kind"].isin(["lumber", "panel"])]
    shop = priced(name)
    joined = join_jobs(shop.plans.jobs, batch_sizes(shop.definitions))
    bought = take_from_stock(shop.plans.together.plan, joined, shop.there).count_bought()

    assert {s: int(n) for s, n in zip(wood["stock"], wood["to_buy"], strict=True) if n} == bought
    assert set(frame["state"]) == {""}


def test_bought_together_says_when_it_is_old() -> None:
    """Another batch makes the joint list one of the last compile."""
    shop = priced("inch")
    frame = shop.filled.tables["Projects"]
    before = frame["batch"].copy()
    try:
        frame.loc[0, "batch"] = before[0] + 1
        calculate(shop.book, shop.filled, shop.units)
        together = shop.filled.tables["Bought together"]
        assert "other batch" in set(together["state"])
        assert shop.filled.lines["Checks", "together_state"] == "notice"
        assert shop.filled.lines["Checks", "open_checks"] == 0
    finally:
        frame["batch"] = before
        calculate(shop.book, shop.filled, shop.units)


# -- drawings and words -----------------------------------------------------------------------


def test_a_board_is_drawn_to_scale() -> None:
    """Half a letter to an inch: blanks of 20 and a rest of 30 of a board of 70."""
    drawn = sketch_board(
        [Stretch(Fraction(20), 2, "1", "20"), Stretch(Fraction(30), 1, "", "30", waste=True)],
        Fraction(0),
        Fraction(1, 2),
    )

    assert drawn == [
        "+---------+---------+--------------+",
        "|    1    |    1    |..............|",
        "|    20   |    20   |..... 30 .....|",
        "+---------+---------+--------------+",
    ]


def test_a_section_is_drawn_to_scale() -> None:
    """Two strips a kerf apart share a line; what is sawn off at the edges and above is waste."""
    two = [
        LabelledBox(Fraction(1 + 5 * n), Fraction(0), Fraction(4), Fraction(2), "ab"[n])
        for n in (0, 1)
    ]
    drawn = sketch_plane((Fraction(11), Fraction(3)), two, Fraction(1), Fraction(1))

    assert [line[5:7] for line in drawn[1:2]] == [".."]
    assert len({len(line) for line in drawn}) == 1
    walls = [n for n, sign in enumerate(drawn[-2]) if sign == "|"]
    widths = [b - a for a, b in pairwise(walls)]
    assert widths[1] == pytest.approx(widths[2], abs=6)
    assert widths[0] == pytest.approx(widths[1] / 4, abs=2)
    assert "".join(drawn).count("a") == "".join(drawn).count("b") == 1


@pytest.mark.parametrize("often", [1, 7, 60, 700])
def test_many_blanks_fit_the_width(often: int) -> None:
    """Blanks too narrow for their label are drawn as one stretch that says how many."""
    length = Fraction(90, often)
    drawn = sketch_board([Stretch(length, often, "12", "x")], Fraction(1, 8), Fraction(72, 96))

    assert max(map(len, drawn)) <= WIDTH
    if often >= 60:
        assert f"{often} x 12" in drawn[1]


def test_words() -> None:
    """Lists, letters beyond z, and sizes that stay in one line."""
    assert listed(["A"]) == "A"
    assert listed(["A", "B", "C"]) == "A, B and C"
    assert [letters(n, "abc") for n in (0, 2, 3, 11, 12)] == ["a", "c", "aa", "cc", "aaa"]
    text = "x" * 70 + " rip 1 1/2 x 2 3/4 off"
    assert wrapped(text, "  1. ") == ["  1. " + "x" * 70 + " rip", "     1 1/2 x 2 3/4 off"]


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def wait_for(words: str, terminal: _Terminal) -> bool:
    """Tell whether the words come to stand on the terminal within some seconds."""
    end = time.monotonic() + 10
    while words not in terminal.getvalue() and time.monotonic() < end:
        time.sleep(0.002)
    return words in terminal.getvalue()


def test_a_line_that_moves_while_one_project_is_planned(monkeypatch: pytest.MonkeyPatch) -> None:
    """On a terminal, on stderr, once it takes longer than a moment; nothing of it stays there."""
    terminal = _Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setattr(progress, "EACH", 0.001)
    monkeypatch.setattr(progress, "PATIENCE", 60.0)
    assert list(progress.watched(["shelf", "rack"])) == ["shelf", "rack"]
    assert terminal.getvalue() == ""

    seconds = itertools.count()
    monkeypatch.setattr(progress, "monotonic", lambda: next(seconds))
    monkeypatch.setattr(progress, "PATIENCE", 0.0)
    steps = progress.watched(["shelf", "rack"])
    assert next(steps) == "shelf"
    assert wait_for("1 of 2: shelf, 3 s", terminal)
    assert next(steps) == "rack"
    assert wait_for("2 of 2: rack, 3 s", terminal)
    assert list(steps) == []
    assert terminal.getvalue().rpartition("\r")[2] == ""
    assert terminal.getvalue().split("\r")[-2].strip() == ""


def test_no_bar_without_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing but the answer in a pipe."""
    pipe = io.StringIO()
    monkeypatch.setattr(sys, "stderr", pipe)
    monkeypatch.setattr(progress, "PATIENCE", 0.0)

    assert list(progress.watched(["a", "b"])) == ["a", "b"]
    assert pipe.getvalue() == ""
