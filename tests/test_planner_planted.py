"""Boards cut apart at random are put together again, and proved; the jobs themselves are fair."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from itertools import product
from random import Random

import pytest

from notchbook.planning import Plan, Planner, planner
from notchbook.planning.search.covers import Cover, Least, find_least
from notchbook.planning.search.remembered import Remembered

from .benchmarks.random_jobs import lumber_job
from .plain_shops import PROJECT, Json, Shop, as_printed, job_of
from .plan_verifier import exact, faults
from .planted import FLAVOURS, Planted, planted_lumber, planted_panels
from .searching import seldom

WANTED = Fraction(95, 100)
ALIKE, DIFFERENT, SHEETS = (1,), (0,), (0, 1)  # seeds; a job of them takes up to half a minute


@cache
def lumber(different: bool) -> list[Planted]:
    """Jobs of each flavour and number of boards."""
    return [
        planted_lumber(seed, boards, flavour, different=different)
        for boards in (1, 2, 3, 4)
        for flavour in FLAVOURS
        for seed in (DIFFERENT if different else ALIKE)
    ]


@cache
def panels(different: bool) -> list[Planted]:
    """Jobs of one, two and three sheets."""
    return [
        planted_panels(seed, sheets, different=different) for sheets in (1, 2, 3) for seed in SHEETS
    ]


@cache
def plans(different: bool, boards: int) -> list[tuple[Planted, Plan]]:
    """What the planner makes of those of so many boards."""
    made = [*lumber(different), *panels(different)]
    return [(planted, plan_of(planted)) for planted in made if planted.boards == boards]


def plan_of(planted: Planted) -> Plan:
    """The planner's plan."""
    return Planner(job_of(planted.shop)).plan(1, PROJECT)


# -- the jobs are what they claim to be --------------------------------------------------------


def shares(shop: Shop) -> Fraction:
    """The boards that the pieces fill, by volume: what trims and squaring leave, kerf left out."""
    (board,), saw = shop["boards"], shop["saw"]
    thickness, width, length = (exact(board[side]) for side in ("thickness", "width", "length"))
    usable = length - 2 * exact(saw["end_trim"])
    section = thickness * (width - 2 * exact(saw["squaring"]))
    filled = Fraction(0)
    for part in shop["parts"]:
        t, w, long = (exact(part[side]) for side in ("thickness", "width", "length"))
        whole = (t, w) == (thickness, width)
        filled += part["make"] * (long / usable) * (1 if whole else t * w / section)
    return filled


@pytest.mark.parametrize("different", [False, True])
def test_fewer_boards_cannot_do(different: bool) -> None:
    """By volume alone the pieces fill 80 to 90 % of the boards, so more than all but one."""
    for planted in [*lumber(different), *panels(different)]:
        filled = shares(planted.shop)
        assert Fraction(80, 100) <= filled / planted.boards <= Fraction(90, 100)
        assert filled > planted.boards - 1


@pytest.mark.parametrize("different", [False, True])
def test_the_plan_that_cut_the_boards_stands_up(different: bool) -> None:
    """The verifier passes it, as it passes a plan of the planner."""
    for planted in [*lumber(different), *panels(different)]:
        assert faults(planted.plan, planted.shop, 1) == []


def test_sections_and_lengths_are_few_or_all_lengths_differ() -> None:
    """As shop parts are: 4 sections and 6 lengths at most; of the other kind, no length twice."""
    for planted in lumber(False):
        parts = planted.shop["parts"]
        assert len({(part["thickness"], part["width"]) for part in parts}) <= 4
        assert len({part["length"] for part in parts}) <= 6
    for planted in [*lumber(True), *panels(True)]:
        parts = planted.shop["parts"]
        assert {part["make"] for part in parts} == {1}
        assert len({part["length"] for part in parts}) == len(parts)


def strips(plans: list[Json]) -> list[tuple[Json, Json]]:
    """All ripped strips, each with its blank."""
    return [
        (blank, strip)
        for plan in plans
        for cut in plan["boards"]
        for blank in cut["blanks"]
        for strip in blank["strips"]
        if len(blank["strips"]) > 1
    ]


def test_the_jobs_have_all_that_makes_planning_hard() -> None:
    """Turned strips, rips of offcuts both ways, several pieces a strip, whole sections, turned
    panels with grain and without."""
    cut = [planted.plan for planted in lumber(False)]
    assert any(strip["turned"] for _, strip in strips(cut))
    assert any(len(strip["pieces"]) > 2 for _, strip in strips(cut))
    corners = [{tuple(strip["at"]) for strip in blank["strips"]} for blank, _ in strips(cut)]
    assert any(len({x for x, _ in at}) > 1 < len({y for _, y in at}) for at in corners)
    assert len(strips(cut)) < sum(
        len(blank["strips"]) for plan in cut for b in plan["boards"] for blank in b["blanks"]
    )
    laid = [
        (sheet.shop["boards"][0]["grain"], piece["turned"])
        for sheet in [*panels(False), *panels(True)]
        for panel in sheet.plan["panels"]
        for piece in panel["pieces"]
    ]
    assert {(True, False), (False, True), (True, True)} <= set(laid)


def test_equal_seeds_give_equal_jobs() -> None:
    """And another seed gives another job."""
    assert planted_lumber(0, 2, "usual") == planted_lumber(0, 2, "usual")
    assert planted_lumber(0, 2, "usual") != planted_lumber(1, 2, "usual")
    assert planted_panels(0, 2) == planted_panels(0, 2) != planted_panels(1, 2)


# -- the planner ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("different", "boards"),
    [
        (False, 1),
        (False, 2),
        *(
            pytest.param(*more, marks=pytest.mark.deep)
            for more in ((False, 3), (False, 4), (True, 1))
        ),
    ],
)
def test_plans_of_planted_jobs_stand_up_and_bounds_hold(different: bool, boards: int) -> None:
    """No bound is above what is known to be enough; where all pieces differ, of one board only."""
    for planted, plan in plans(different, boards):
        assert faults(as_printed(plan), planted.shop, 1) == []
        assert plan.cost_bound <= planted.plan["cost"]


@pytest.mark.parametrize("most", [2, *seldom(4)], ids=["up to 2 boards", "up to 4 boards"])
def test_as_many_boards_are_found_again_and_proved(most: int) -> None:
    """In 95 of 100 jobs of a few lengths."""
    made = [each for boards in range(1, most + 1) for each in plans(False, boards)]
    missed = [
        planted.name
        for planted, plan in made
        if (plan.status, plan.cost) != ("optimal", planted.plan["cost"])
    ]
    assert len(missed) <= (1 - WANTED) * len(made), missed


@pytest.mark.deep
def test_a_search_that_is_far_off_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """Twenty kinds ripped for one unit: the second part of the work saves a board's difference."""
    shop, steps = lumber_job(20, 1), 300_000
    first = Planner(job_of(shop), steps).find_cost(1)
    monkeypatch.setattr(planner, "PLAN", steps)
    found = Planner(job_of(shop))

    assert found.find_cost(1) == (Fraction("33.20"), first[1])
    assert first[0] == Fraction("34.50")
    assert faults(as_printed(found.plan(1, None)), shop, 1) == []


def test_numbers_of_boards_that_hold_too_little_raise_the_bound() -> None:
    """Boards of two lengths: what all of them cost by the length of the pieces can do, no numbers
    that cost so little can, so the plan is proved.
    """
    cost = Fraction("91.35")

    assert Planner(job_of(lumber_job(5, 0))).find_cost(10) == (cost, cost)


@pytest.mark.parametrize("kinds", [5, 6, 7])
def test_no_bound_is_above_what_two_smaller_batches_cost_together(kinds: int) -> None:
    """Their plans are one of both batches."""
    found = [Planner(job_of(lumber_job(kinds, 1)), 60_000).find_cost(n) for n in range(1, 7)]

    for units, (_, bound) in enumerate(found, start=1):
        for a in range(1, units):
            assert bound <= found[a - 1][0] + found[units - a - 1][0], (units, a)


@pytest.mark.parametrize("seed", range(20))
def test_the_least_boards_that_covers_allow_are_those_of_a_plain_count(seed: int) -> None:
    """Every number of each board up to ten is counted through; and nothing cheaper is claimed."""
    rng = Random(seed)
    prices = {b: rng.randint(1, 9) for b in range(1 + seed % 4)}
    covers = [
        Cover(rng.randint(1, 20), {b: rng.choice([0, 2, 3, 5]) for b in prices}) for _ in range(3)
    ]
    every = [dict(enumerate(numbers)) for numbers in product(range(11), repeat=len(prices))]
    allowed = [boards for boards in every if all(cover.allows(boards) for cover in covers)]
    costs = [sum(prices[b] * n for b, n in boards.items()) for boards in allowed]

    found = find_least(prices, covers)

    if costs:
        assert found.cost == min(costs)
        assert found.boards in allowed
        assert find_least(prices, covers, most=min(costs)) == Least(Fraction(min(costs)), None)
    else:
        assert found.boards is None


@pytest.mark.parametrize("kinds", [4, 6])
def test_what_is_remembered_changes_neither_plan_nor_steps(
    kinds: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Everything is worked out anew in the second run."""
    runs = [planned_in_short(lumber_job(kinds, 2))]
    monkeypatch.setattr(Remembered, "ask", lambda _, key, work_out: work_out())
    runs.append(planned_in_short(lumber_job(kinds, 2)))

    assert runs[0] == runs[1]


def planned_in_short(shop: Shop) -> list[object]:
    """What several units cost in a short search each, and the steps that they spent."""
    planner = Planner(job_of(shop), 10_000)
    return [(planner.find_cost(units), planner.budget.spent) for units in (1, 2, 5)]


def test_a_search_for_less_ends_where_nothing_less_is_possible() -> None:
    """It comes to no less, with fewer steps; where less is possible it is the same search."""
    job = job_of(lumber_job(7, 2))
    whole = Planner(job, 60_000)
    cost, bound = whole.find_cost(3)
    assert cost > bound

    ended, other = Planner(job, 60_000), Planner(job, 60_000)

    assert ended.find_cost(3, below=bound)[0] >= bound
    assert ended.budget.spent < whole.budget.spent
    assert other.find_cost(3, below=cost + 1) == (cost, bound)
    assert other.budget.spent == whole.budget.spent
