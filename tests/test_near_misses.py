"""Near misses: what a part a little smaller would save, by hand and as it is told."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from notchbook.commands.cuts import plan_cuts
from notchbook.commands.cuts_text import format_cuts
from notchbook.gathering import gather
from notchbook.planning import make_plan
from notchbook.planning.model.leeway import Leeway, NearMiss
from notchbook.planning.model.problem import Job
from notchbook.planning.near_misses import find_near_misses
from notchbook.shop.pipeline import price

from .desk import AS_OF
from .maker import SHOP
from .plain_shops import Shop, as_printed, board, job_of, panel, part, shop_of
from .plan_verifier import faults
from .shops import GOOD, write_shop

STEPS = (Fraction(1, 16), Fraction(1, 8))
RAIL = "projects/herb-rail.yaml"
PINE = board("pine", ("3/4", "7/2", 96), 5)


def found(shop: Shop, *names: str, units: int = 1) -> tuple[NearMiss, ...]:
    """The near misses of a shop's plan, where these parts may be smaller."""
    job = job_of(shop)
    return find_near_misses(job, make_plan(job, units, "rail"), Leeway(frozenset(names), STEPS))


def crosscut(length: object) -> Shop:
    """Four pieces of the board's whole section, so that nothing but their length counts."""
    return shop_of([part("rail", 4, ("3/4", "7/2", length), "pine")], [PINE])


@pytest.mark.parametrize(
    ("length", "by"),
    [
        ("381/16", "1/16"),  # 4 x 23 3/4 + 3 kerfs of 1/8 = 95 3/8; 95 1/2 are left of a board
        ("191/8", "1/8"),  # a sixteenth less, 95 5/8, is still too long
        (24, None),  # an eighth less, too
        (23, None),  # they fit as they are
    ],
)
def test_a_board_less(length: object, by: str | None) -> None:
    """The least that saves a board, and the money for it."""
    expected = () if by is None else (NearMiss("rail", "length", Fraction(by), Fraction(5), LESS),)
    assert found(crosscut(length), "rail") == expected


LESS = {"pine": 1}


def test_what_may_not_be_smaller() -> None:
    """Strips of a laid surface cover it as they are; without leeway nothing is tried."""
    assert found(crosscut("191/8"), "another part") == ()
    job = job_of(crosscut("191/8"))
    assert find_near_misses(job, make_plan(job, 1, "rail"), Leeway()) == ()


def test_the_side_and_the_part_that_matter() -> None:
    """Two doors side by side on a sheet of 24 want 24 1/16 with the kerf; the shelf has room."""
    parts = [
        part("door", 2, ("1/4", "383/32", 40), "ply"),
        part("shelf", 1, ("1/4", 6, 7), "ply"),
    ]
    shop = shop_of(parts, [panel("ply", ("1/4", 24, 48), 9, grain=True)])
    (miss,) = found(shop, "door", "shelf")
    assert (miss.part, miss.side, miss.by) == ("door", "width", STEPS[0])
    assert (int(miss.saves), dict(miss.boards)) == (9, {"ply": 1})

    job = job_of(shop)
    smaller = tuple(
        replace(each, width=each.width - miss.by) if each.part == "door" else each
        for each in job.parts
    )
    plan = make_plan(Job(smaller, job.boards, job.saw, job.usable_offcut), 1, "rail")
    parts[0]["width"] = Fraction("383/32") - miss.by
    assert not faults(as_printed(plan), shop_of(parts, shop["boards"]), 1)
    assert plan.boards_cut == 1


def test_told_by_cuts_and_on_cut_plan(tmp_path: Path) -> None:
    """In words, with the money; two of 47 3/4 and a kerf are an eighth too long for a board."""
    rail = SHOP[RAIL].replace("3 1/2 x 40", "3 1/2 x 47 3/4")
    folder = write_shop(tmp_path, **{**dict.fromkeys(GOOD), **SHOP, RAIL: rail})
    found = plan_cuts(gather(folder, None), "herb rail", None)
    said = "front 1/16 in shorter: 3 x spruce 2x4 8ft less, 12.45 USD saved."
    assert found.as_json()[0]["near_misses"] == [said]
    assert f"Near miss: {said}" in " ".join(format_cuts(found).split())

    plan = price(folder, AS_OF).filled.tables["Cut plan"]
    assert list(plan["says"][plan["kind"] == "near miss"]) == [said]
