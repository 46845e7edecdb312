"""Plans kept in the workbook: used again while nothing changed, planned anew when anything did."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from itertools import count
from types import SimpleNamespace
from typing import Any

import pytest

from notchbook.commands.cuts import plan_cuts_together
from notchbook.gathering import gather
from notchbook.planning import Planner, make_plan, project
from notchbook.planning.model import budget
from notchbook.planning.model.leeway import Leeway
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Board, Job, Part, Saw
from notchbook.planning.whole_shop import join_jobs
from notchbook.shop import plans
from notchbook.shop.kept_plans import KeptPlans, ProjectPlans
from notchbook.shop.pipeline import batch_sizes, prepare_cuts, prepare_jobs

from .benchmarks.random_jobs import lumber_job
from .desk import Desk
from .plain_shops import job_of
from .searching import seldom

NO_LEEWAY = {"box": Leeway()}


@pytest.fixture
def planned(monkeypatch: pytest.MonkeyPatch, planning_anew: None) -> list[str]:
    """The projects planned from now on."""
    names: list[str] = []

    class Telling(Planner):
        def plan(self, units: int, project: str | None) -> Plan:
            names.append(str(project))
            return super().plan(units, project)

    monkeypatch.setattr(project, "Planner", Telling)
    return names


@pytest.mark.deep
def test_nothing_changed(desk: Desk, planned: list[str]) -> None:
    """No plan is made twice; commands that read use it too."""
    with desk.open() as book:
        book.line("Settings", "kerf").value = 0.1
    desk.compile()
    assert planned == ["herb rail", "peg board small", "peg board large"]
    first = desk.path.read_bytes()
    desk.compile()
    gathered = gather(desk.folder, None)
    found = plan_cuts_together(gathered)

    assert planned == ["herb rail", "peg board small", "peg board large"]
    assert desk.path.read_bytes() == first
    jobs, there = prepare_cuts(gathered)
    kept, sizes = KeptPlans(gathered.plans), batch_sizes(gathered.definitions)
    rail = kept.find_project(jobs["herb rail"], 6, 24, "herb rail")
    assert rail is not None
    together = kept.find_together(jobs, sizes)
    assert together is not None
    assert together.take_from_stock(join_jobs(jobs, sizes), there) == found.together


@pytest.mark.deep
def test_something_changed(desk: Desk, planned: list[str]) -> None:
    """Only what the change bears on is planned."""
    with desk.open() as book:
        book.put("Stock", book.row_of("Stock", "stock", "ply 1/4 2x4ft"), price=12.5)
    desk.compile()
    assert planned == ["herb rail"]
    with desk.open() as book:
        book.put("Stock", book.row_of("Stock", "stock", "wood glue"), price=9.5)
        book.put("Projects", 1, batch=5)
    desk.compile()

    assert planned == ["herb rail", "peg board small"]


DAMAGES: dict[str, Callable[[str], Any]] = {
    "gone": lambda _: None,
    "cut off": lambda text: text[: len(text) // 2],
    "another letter": lambda text: text[:99] + ("A" if text[99] != "A" else "B") + text[100:],
    "a number": lambda _: 17,
}


@pytest.mark.parametrize("damage", ["cut off", *seldom("gone", "another letter", "a number")])
def test_damaged_plans(desk: Desk, damage: str) -> None:
    """They are as if there were none."""
    assert _found(desk) == {"herb rail", "peg board small", "peg board large"}
    with desk.open() as book:
        cell = book.book["As compiled"]["B5"]
        assert len(cell.value) <= 32_767
        cell.value = DAMAGES[damage](cell.value)

    assert _found(desk) == set()


def _found(desk: Desk) -> set[str]:
    """The projects whose plans the workbook holds."""
    gathered, jobs = prepare_jobs(desk.folder, None)
    kept, sizes = KeptPlans(gathered.plans), batch_sizes(gathered.definitions)
    return {name for name in jobs if kept.find_project(jobs[name], sizes[name], 24, name)}


@pytest.mark.deep
def test_damaged_plans_are_made_anew(desk: Desk, planned: list[str]) -> None:
    """Nothing else is the worse for it."""
    with desk.open() as book:
        book.book["As compiled"]["B5"].value = None
    report = desk.compile()

    assert planned == ["herb rail", "peg board small", "peg board large"]
    assert not report.look


def box(*lengths: int) -> Job:
    """Two pieces of each length, crosscut from boards of 96."""
    inch = Fraction(1)
    board = Board("pine", "lumber", inch, inch * 4, inch * 96, Fraction(5), 0, True, False)
    parts = tuple(
        Part(f"rail {n}", "box", 2, inch, inch * 4, inch * length, ("pine",), False)
        for n, length in enumerate(lengths)
    )
    saw = Saw(Fraction(1, 8), Fraction(1, 8), Fraction(1, 4), Fraction(12), None)
    return Job(parts, (board,), saw, Fraction(12))


def test_what_the_clock_cut_off_is_tried_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its plan is marked and not kept, alone and with all others; in time it is as any other."""
    work, sizes = {"box": box(48, 37, 29, 22)}, {"box": 3}
    kept = KeptPlans()
    with monkeypatch.context() as slow:
        slow.setattr(budget, "RUNAWAY", -1.0)
        found = plans.plan_shop(work, sizes, NO_LEEWAY, kept)
    assert found.cuts["box"].out_of_time
    assert found.together.plan.out_of_time
    assert kept.text() == ""

    found = plans.plan_shop(work, sizes, NO_LEEWAY, kept)
    assert found.cuts["box"] == make_plan(work["box"], 3, "box")
    assert not found.cuts["box"].out_of_time
    assert KeptPlans(kept.text()).find_project(work["box"], 3, 24, "box") is not None


def test_a_slow_machine_comes_to_the_same_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """Work is counted: however the clock leaps, as on a busy machine, the plan is the same."""
    job = job_of(lumber_job(5, 0))
    usual = Planner(job, 200_000).plan(10, "box")
    assert usual.status == "feasible"  # its steps ended it
    leaps = count(step=9.0)
    monkeypatch.setattr(budget, "time", SimpleNamespace(process_time=lambda: next(leaps)))
    monkeypatch.setattr(budget, "RUNAWAY", 1e9)

    assert Planner(job, 200_000).plan(10, "box") == usual
    assert next(leaps) > 9.0  # it was asked


def test_rows_of_yield_do_not_change_the_plan() -> None:
    """The batch is planned alike by itself, before the rows and after them."""
    job = box(48, 37, 29, 22)
    rows_first, plan_first = Planner(job), Planner(job)
    rows = rows_first.plan_yields(24, 5)
    assert rows_first.plan(5, "box") == plan_first.plan(5, "box") == make_plan(job, 5, "box")
    assert plan_first.plan_yields(24, 5) == rows
    assert rows[4].cost == make_plan(job, 5, "box").cost


def test_a_plan_that_makes_too_little() -> None:
    """Whatever stands under its name, a plan that does not make what is asked is not used."""
    job = box(20)
    planner = Planner(job)
    rows = tuple(planner.plan_yields(4, 2))

    def kept(plan: Plan) -> ProjectPlans | None:
        now = KeptPlans()
        now.keep_project(job, 2, 4, "box", ProjectPlans(plan, rows))
        return KeptPlans(now.text()).find_project(job, 2, 4, "box")

    assert kept(planner.plan(2, "box")) == ProjectPlans(planner.plan(2, "box"), rows)
    assert kept(planner.plan(1, "box")) is None
