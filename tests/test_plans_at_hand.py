"""Plans at hand are those that the planner makes now."""

from __future__ import annotations

from pathlib import Path

import pytest

from notchbook.shop import pipeline
from notchbook.shop.pipeline import batch_sizes, prepare_jobs

from .examples import AS_OF, SHOPS, STARTERS
from .plans_at_hand import read_plans
from .searching import seldom
from .shops import write_shop

SMALL = "the small shop"
KNOWN = {**SHOPS, **{path.name: path for path in STARTERS}}
"""Shops that many tests compile, beside the small one."""


def folder_of(shop: str, folder: Path) -> Path:
    return write_shop(folder) if shop == SMALL else KNOWN[shop]


@pytest.mark.parametrize("shop", [*KNOWN, SMALL])
def test_they_are_there(shop: str, tmp_path: Path, request: pytest.FixtureRequest) -> None:
    """The plans of every shop that many tests compile, or these would plan them, each for itself.

    Where they are missing the suite is slow, and nothing else is wrong: `pytest -n 0
    --renew-plans` puts them into the file.
    """
    folder = folder_of(shop, tmp_path)
    if request.config.getoption("renew_plans"):
        pipeline.price(folder, AS_OF)
        return
    kept = read_plans()
    gathered, jobs = prepare_jobs(folder, AS_OF)
    sizes = batch_sizes(gathered.definitions)
    found = {
        name: kept.find_project(job, sizes[name], max(24, 2 * sizes[name]), name)
        for name, job in jobs.items()
    }
    missing = [name for name, its in found.items() if its is None or its.from_one is None]

    assert missing == [], "renew them: pytest -n 0 --renew-plans"
    assert kept.find_together(jobs, sizes) is not None, "renew them: pytest -n 0 --renew-plans"


@pytest.mark.parametrize(
    "shop",
    [SMALL, *seldom(*KNOWN)],
)
def test_they_come_again(shop: str, tmp_path: Path, planning_anew: None) -> None:
    """The planner finds the very same plans; where it does not, its METHOD has to go up."""
    folder = folder_of(shop, tmp_path)
    planned = pipeline.price(folder, AS_OF)
    at_hand = read_plans()
    sizes = batch_sizes(planned.definitions)
    for name, job in planned.plans.jobs.items():
        found = at_hand.find_project(job, sizes[name], planned.plans.most_units(name), name)
        assert found is not None
        assert (found.batch, found.rows) == (planned.plans.cuts[name], planned.plans.yields[name])
        assert found.from_one == planned.plans.from_one[name]
    assert at_hand.find_together(planned.plans.jobs, sizes) == planned.plans.together
