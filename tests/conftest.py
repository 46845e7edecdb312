"""What tests of several subjects stand on."""

from __future__ import annotations

import gc
import math
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from notchbook.base import side_by_side
from notchbook.commands import cuts
from notchbook.shop import pipeline
from notchbook.shop.kept_plans import KeptPlans

from .desk import Desk, few_blank_rows
from .plans_at_hand import PlansAtHand, write_plans_used
from .searching import seldom

QUICK, DEEP = "quick", "deep"
SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example]
settings.register_profile(QUICK, max_examples=100, deadline=None, suppress_health_check=SLOW)
settings.register_profile(DEEP, settings.get_profile(QUICK), max_examples=600)
_SEEDS = re.compile(r"(?:(\d+)-)?(\d+)")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Options of these tests."""
    group = parser.getgroup("notchbook")
    group.addoption(
        "--seeds",
        metavar="[FIRST-]LAST",
        help="the seeds of makers at work and killed compiles, such as 10000-11999; 99 is 0-99",
    )
    group.addoption(
        "--renew-plans", action="store_true", help="write tests/plans_at_hand.txt anew (-n 0)"
    )


def pytest_configure(config: pytest.Config) -> None:
    """The profile by the part of the tests that is asked for, and plans at hand."""
    settings.load_profile(DEEP if is_deep(config) else QUICK)
    side_by_side.PATIENCE = math.inf  # the tests are shared among processes already
    gc.set_threshold(200_000, 20, 20)  # workbooks are many live objects, and little garbage
    if config.getoption("renew_plans"):
        PlansAtHand.at_hand = KeptPlans()  # the file's may be of an earlier planner
    for module in (pipeline, cuts):
        setattr(module, "KeptPlans", PlansAtHand)  # noqa: B010


def is_deep(config: pytest.Config) -> bool:
    """Whether `-m deep` was said."""
    return bool(config.option.markexpr == DEEP)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Tests marked `seeds` run once a seed: some of them always, the others in the deep part."""
    mark = metafunc.definition.get_closest_marker("seeds")
    if mark is None:
        return
    quick, deep = mark.kwargs["quick"], mark.kwargs["deep"]
    asked = metafunc.config.getoption("seeds")
    if asked is None:
        metafunc.parametrize("seed", [*range(quick), *seldom(*range(quick, deep))])
        return
    said = _SEEDS.fullmatch(asked)
    if said is None:
        raise pytest.UsageError(f"--seeds {asked}: write 10000-11999, or 99 for 0-99")
    metafunc.parametrize("seed", range(int(said[1] or 0), int(said[2]) + 1))


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Tests that search belong to both parts: the deep one searches for longer."""
    if is_deep(config):
        for item in items:
            if getattr(getattr(item, "obj", None), "is_hypothesis_test", False):
                item.add_marker(DEEP)


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Renews the plans at hand, where that is asked."""
    if session.config.getoption("renew_plans"):
        write_plans_used()


@pytest.fixture
def planning_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """No plans at hand but those of the workbook."""
    for module in (pipeline, cuts):
        monkeypatch.setattr(module, "KeptPlans", KeptPlans)


@pytest.fixture
def few_rows() -> Iterator[None]:
    """Workbooks with few blank rows below their tables."""
    with few_blank_rows():
        yield


@pytest.fixture
def desk(tmp_path: Path, few_rows: None) -> Desk:
    """The small shop and its workbook, with few blank rows."""
    return Desk(tmp_path)
