"""Calls shared with other processes: the same answers, whoever makes them and whatever befalls."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from notchbook.base import side_by_side
from notchbook.base.side_by_side import SideBySide
from notchbook.planning import make_plan
from notchbook.planning.model.leeway import Leeway
from notchbook.planning.model.problem import Board, Job, Part, Saw
from notchbook.shop import plans
from notchbook.shop.kept_plans import KeptPlans

HERE = os.getpid()


@pytest.fixture
def three_cores(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two processes beside this one, asked at once."""
    monkeypatch.setattr(side_by_side, "count_cores", lambda: 3)
    monkeypatch.setattr(side_by_side, "PATIENCE", 0.0)


def square(number: int, parent: int) -> tuple[int, bool]:
    """The square, and whether another process worked it out."""
    time.sleep(0.2 if os.getpid() == parent else 0)
    return number * number, os.getpid() != parent


def fail_elsewhere(parent: int) -> int:
    """The process ends without an answer, unless it is the first one."""
    if os.getpid() != parent:
        os._exit(3)
    return 1


def wait_for(path: Path) -> bool:
    """Wait until there is a file, half a minute at most."""
    end = time.monotonic() + 30
    while time.monotonic() < end and not path.exists():
        time.sleep(0.02)
    return path.exists()


def leave(path: Path) -> None:
    """Leave a file."""
    path.touch()


def refuse(_: int) -> int:
    """Raise what a call may raise."""
    raise ValueError("no")


def test_others_take_their_share(three_cores: None) -> None:
    """In the order asked, some of them made elsewhere."""
    with SideBySide() as shared:
        calls = [shared.call(square, number, os.getpid()) for number in range(12)]
        found = [call.result() for call in calls]
        refused = shared.call(refuse, 1)
        with pytest.raises(ValueError, match="no"):
            refused.result()

    assert [answer for answer, _ in found] == [number * number for number in range(12)]
    assert any(elsewhere for _, elsewhere in found)


def test_a_long_call_holds_up_no_other(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While the first is made here, the others are begun elsewhere."""
    monkeypatch.setattr(side_by_side, "count_cores", lambda: 2)
    monkeypatch.setattr(side_by_side, "PATIENCE", 0.2)
    with SideBySide() as shared:
        first = shared.call(wait_for, tmp_path / "done")
        shared.call(leave, tmp_path / "done")
        assert first.result()


def test_while_a_call_is_awaited_the_next_is_made_here(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The one process beside this one waits for what only this one can make meanwhile."""
    monkeypatch.setattr(side_by_side, "count_cores", lambda: 2)
    monkeypatch.setattr(side_by_side, "PATIENCE", 0.0)
    with SideBySide() as shared:
        shared.call(leave, tmp_path / "begun").result()
        awaited = shared.call(wait_for, tmp_path / "done")
        shared.take(shared.call(leave, tmp_path / "another"))  # so that the first is given away
        shared.call(leave, tmp_path / "done")
        assert awaited.result()


def test_a_process_that_ends_loses_nothing(three_cores: None) -> None:
    """What it had taken is done here."""
    with SideBySide() as shared:
        calls = [shared.call(fail_elsewhere, os.getpid()) for _ in range(4)]
        assert [call.result() for call in calls] == [1, 1, 1, 1]


def test_no_process_to_be_had(three_cores: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the system starts none, all is done here."""

    def refuse_to_start(*_: object) -> None:
        raise OSError("no semaphores")

    monkeypatch.setattr(side_by_side, "ProcessPoolExecutor", refuse_to_start)
    with SideBySide() as shared:
        calls = [shared.call(square, number, os.getpid()) for number in range(2)]
        assert [call.result() for call in calls] == [(0, False), (1, False)]


def test_a_moment_starts_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Short work asks for no process, however many cores there are."""
    monkeypatch.setattr(side_by_side, "count_cores", lambda: 8)
    monkeypatch.setattr(side_by_side, "PATIENCE", 60.0)
    monkeypatch.setattr(side_by_side, "ProcessPoolExecutor", None)
    with SideBySide() as shared:
        assert [shared.call(square, n, 0).result()[0] for n in range(3)] == [0, 1, 4]


def rails(name: str, on_hand: int, *lengths: int) -> Job:
    """Two pieces of each length, ripped from boards of 96 x 4."""
    inch = Fraction(1)
    stock = f"{name} pine"
    board = Board(stock, "lumber", inch, inch * 4, inch * 96, Fraction(5), on_hand, True, False)
    parts = tuple(
        Part(f"rail {n}", name, 2, inch, Fraction(3, 2), inch * length, (stock,), False)
        for n, length in enumerate(lengths)
    )
    saw = Saw(Fraction(1, 8), Fraction(1, 8), Fraction(1, 4), Fraction(12), None)
    return Job(parts, (board,), saw, Fraction(12))


def test_the_same_plans_on_any_number_of_cores(
    three_cores: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Plans, rows of Yield, what one board gives, the joint plan, and all that is kept."""
    work = {name: rails(name, *numbers) for name, numbers in SHOPS.items()}
    sizes = dict(zip(work, (2, 3, 4), strict=True))
    kept, kept_here = KeptPlans(), KeptPlans()
    steps: list[str] = []

    def watch(names: list[str]) -> list[str]:
        steps.extend(names)
        return names

    found = plans.plan_shop(work, sizes, LEEWAYS, kept, watch)
    monkeypatch.setattr(side_by_side, "count_cores", lambda: 1)
    here = plans.plan_shop(work, sizes, LEEWAYS, kept_here)

    assert replace(found, jobs=work) == replace(here, jobs=work)
    assert kept.text() == kept_here.text()
    assert found.cuts == {name: make_plan(work[name], sizes[name], name) for name in work}
    longest_first = sorted(work, key=lambda name: -len(work[name].parts))
    assert [step for step in steps if step in work] == longest_first
    assert len(steps) == 2 * len(work) + 1  # the joint plan, and the near misses of each


SHOPS = {"shelf": (0, 48, 37), "rack": (2, 29), "box": (0, 41)}
"""By project: boards on hand, and lengths."""

LEEWAYS = {name: Leeway(frozenset({"rail 0"}), (Fraction(1, 8),)) for name in SHOPS}
ORPHANS = """
import os, sys, time
from notchbook.base import side_by_side

if __name__ == "__main__":
    side_by_side.count_cores, side_by_side.PATIENCE = (lambda: 3), 0.0
    shared = side_by_side.SideBySide()
    calls = [shared.call(time.sleep, 60) for _ in range(4)]
    shared.take(calls[0])
    print(*(process.pid for process in shared._processes), flush=True)
    os._exit(9)
"""


@pytest.mark.deep
@pytest.mark.skipif(sys.platform == "win32", reason="asks a process by its number")
def test_no_process_is_left_behind() -> None:
    """The others end when the one that asked is killed."""
    command = [sys.executable, "-c", ORPHANS]
    done = subprocess.run(command, check=False, stdout=subprocess.PIPE, text=True, timeout=60)
    left = [int(word) for word in done.stdout.split()]
    assert len(left) == 2
    end = time.monotonic() + 20
    while left and time.monotonic() < end:
        time.sleep(0.1)
        left = [pid for pid in left if _alive(pid)]
    assert left == []


def _alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True
