"""Many kinds of pieces on large sheets in millimetres, beside sheets filled by luck."""

from __future__ import annotations

from itertools import islice
from random import Random

import pytest

from notchbook.planning import Planner

from .benchmarks.multi_start import start_again
from .plain_shops import PLAIN_SAW, Shop, as_printed, job_of, panel, part, shop_of
from .plan_verifier import faults


def thirty_kinds(seed: int) -> Shop:
    """Five pieces of each on sheets of 2440 x 1220."""
    rng = Random(f"large sheets {seed}")
    parts = [
        part(f"p{n}", 5, (18, rng.randint(90, 600), rng.randint(150, 1100)), "ply")
        for n in range(30)
    ]
    return shop_of(parts, [panel("ply", (18, 1220, 2440), 40)], **PLAIN_SAW | {"kerf": 3})


@pytest.mark.deep
@pytest.mark.parametrize(("seed", "steps"), [(0, 3_000_000), (1, 1_000_000), (3, 3_000_000)])
def test_fewer_sheets_than_luck_and_proved(seed: int, steps: int) -> None:
    """Of 200 starts at random none comes to so few; the plan stands up and cannot be beaten."""
    shop = thirty_kinds(seed)
    plan = Planner(job_of(shop), steps).plan(1, None)

    assert faults(as_printed(plan), shop, 1) == []
    assert plan.status == "optimal"
    assert plan.boards_cut < min(islice(start_again(shop, Random(1)), 200))
