"""What makes equal plans quick and safe to saw, and what the saw and its owner cannot do."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest
from click.testing import CliRunner

from notchbook.cli import main
from notchbook.commands.adopting import adoption
from notchbook.definitions import DefinitionError
from notchbook.gathering import load
from notchbook.jobs import build_saw
from notchbook.language.evaluate import Values, evaluate
from notchbook.measure import Ruler
from notchbook.planning import Planner, find_misfits, make_plan
from notchbook.planning.model.budget import PLAN
from notchbook.planning.model.plan import Plan
from notchbook.planning.saw.effort import measure_saw_work
from notchbook.planning.saw.offcuts import add_offcuts
from notchbook.planning.search.assemble import assemble

from .benchmarks.random_jobs import lumber_job
from .desk import AS_OF, Desk
from .every_book import BOOKS
from .examples import priced
from .maker import shop as little_shop
from .plain_shops import Json, Shop, as_printed, board, job_of, panel, part, shop_of
from .plan_verifier import faults
from .shops import GOOD, write_shop

SPRUCE = board("spruce", ("3/2", "7/2", 96))
PLY = panel("ply", ("1/4", 24, 48), "11.80")


def planned(shop: Shop, units: int = 1) -> Json:
    """A plan as it is printed, once the verifier has passed it."""
    plan = as_printed(make_plan(job_of(shop), units, "rail"))
    assert faults(plan, shop, units) == []
    return plan


def blanks_of(plan: Json) -> list[float]:
    return [blank["length"] for cut in plan["boards"] for blank in cut["blanks"]]


# -- like neighbours stay one piece -----------------------------------------------------------


def test_two_brackets_take_a_foot_of_the_board() -> None:
    """Two pieces of 3 lie in one blank as short as may be ripped; all else stays whole."""
    plan = planned(shop_of([part("bracket", 2, ("3/2", "3/2", 3), "spruce")], [SPRUCE]))

    assert blanks_of(plan) == [12]
    assert plan["offcuts"][0]["length"] == 95.5 - 12 - 0.125
    assert plan["offcuts"][0]["width"] == 3.5


def test_neighbours_are_ripped_once() -> None:
    """Four times 9 strips of 22 1/2 in one blank of 4 x 22 1/2 + 3/8, which fits the board."""
    slats = part("slat", 36, ("3/8", 1, "45/2"), "spruce")

    assert blanks_of(planned(shop_of([slats], [SPRUCE]))) == [90.375]


@pytest.mark.parametrize(
    ("longest", "blanks"), [(90, [45.125] * 2), (60, [45.125] * 2), (30, [22.5] * 4)]
)
def test_no_longer_than_may_be_ripped(longest: int, blanks: list[float]) -> None:
    """By hand: 2 x 22 1/2 + 1/8, one stop for both; the wood is the same."""
    slats = part("slat", 36, ("3/8", 1, "45/2"), "spruce")
    plan = planned(shop_of([slats], [SPRUCE], longest_rip=longest))

    assert sorted(blanks_of(plan), reverse=True) == blanks
    assert plan["boards"][0]["count"] == 1
    assert plan["status"] == "optimal"


def test_other_sections_are_not_joined() -> None:
    """What is ripped otherwise stays a blank of its own."""
    parts = [part("slat", 9, ("3/8", 1, 30), "spruce"), part("rail", 1, ("3/2", 3, 30), "spruce")]
    plan = planned(shop_of(parts, [SPRUCE]))

    assert len(blanks_of(plan)) == 2


def test_a_part_too_long_to_rip_is_told() -> None:
    """It fits no stock, and the sentence says by how much."""
    long = shop_of([part("rail", 1, ("3/4", 3, 80), "spruce")], [SPRUCE], longest_rip=72)
    (misfit,) = find_misfits(job_of(long))
    ruler = Ruler("inch", Fraction(1, 32))

    assert misfit.reasons[0].sentence(ruler.show, "in") == (
        "rail needs a rip 80 in long in spruce; the longest that is ripped is 72"
    )
    whole = shop_of([part("rail", 1, ("3/2", "7/2", 80), "spruce")], [SPRUCE], longest_rip=72)
    assert find_misfits(job_of(whole)) == []  # it is not ripped


# -- sheets without their factory edges -------------------------------------------------------


def test_sheets_are_cut_within_their_edges() -> None:
    """24 x 48 leaves 23 1/2 x 47 1/2, which is one piece; the corner is where the trim ends."""
    shop = shop_of([part("back", 1, ("1/4", "47/2", "95/2"), "ply")], [PLY], sheet_trim="1/4")
    (sheet,) = planned(shop)["panels"]

    assert (sheet["length"], sheet["width"]) == (48, 24)
    assert sheet["pieces"][0]["at"] == [0.25, 0.25]
    wider = shop_of([part("back", 1, ("1/4", 24, 40), "ply")], [PLY], sheet_trim="1/4")
    (misfit,) = find_misfits(job_of(wider))
    assert (misfit.reasons[0].limit, misfit.reasons[0].leaves) == ("sheet", Fraction(47, 2))


def test_two_sheets_where_the_edges_do_not_count() -> None:
    """Two of 11 7/8 by 48 fill a sheet with a kerf between, and none with its edges off."""
    halves = [part("back", 2, ("1/4", "23/2", 46), "ply")]

    assert planned(shop_of(halves, [PLY]))["panels"][0]["count"] == 1
    assert planned(shop_of(halves, [PLY], sheet_trim="1/2"))["panels"][0]["count"] == 2


# -- minutes ----------------------------------------------------------------------------------


@pytest.mark.parametrize(("length", "weighed"), [(23, 2), (24, 1)])
def test_work_at_the_saw(length: int, weighed: int) -> None:
    """By hand: one end trimmed, one blank crosscut, two edges squared, one rip, no other cut.

    Stops and fences: the blank, both edges, the strip. Rips count twice in a blank under two of
    the shortest rips (12).
    """
    job = job_of(shop_of([part("rail", 1, ("3/2", 3, length), "spruce")], [SPRUCE]))
    work = measure_saw_work(make_plan(job, 1, "rail"), job.saw)

    assert (work.settings, work.passes) == (4, 5)
    assert work.weighed == 2 + 3 * weighed
    assert work.minutes == 4 * 2 + Fraction(work.weighed, 2)


def test_minutes_at_the_saw_on_projects() -> None:
    """Beside the minutes of the work steps: those of the plan, as `cuts` tells them."""
    found = priced("inch")
    told = found.filled.tables["Projects"].set_index("project")["saw_minutes"]
    saw = build_saw(found.definitions.settings)
    for project, plan in found.plans.cuts.items():
        work = measure_saw_work(plan, saw)
        minutes = work.settings * saw.minutes_a_setting + work.weighed * saw.minutes_a_pass
        assert told[project] == float(minutes) > 0


# -- the search for fewer settings ------------------------------------------------------------

PINE = board("pine", ("3/4", "11/2", 96))
MIXED = {
    "two boards": ((3, 1, 31), (4, "3/2", 11), (1, 1, 31), (3, 1, 20), (3, 2, 17)),
    "four pieces long": ((1, 1, 16), (2, 1, 9), (2, 2, 21), (1, 2, 35), (3, 2, 31)),
}


@pytest.mark.parametrize("mixed", MIXED)
def test_the_search_for_fewer_settings_is_short_and_worth_it(mixed: str) -> None:
    """After a proof at once it spends a small part of a plan's steps, and saves minutes.

    A setting at the least: the minutes that one takes (common practice).
    """
    kinds = enumerate(MIXED[mixed])
    parts = [part(f"p{n}", make, ("3/4", a, b), "pine") for n, (make, a, b) in kinds]
    planner = Planner(job_of(shop_of(parts, [PINE])))
    first = planner.find_cost(2)
    found = planner.budget.spent
    ((search,), _) = planner._searches(2, [0])
    plain = assemble(planner._sorted, planner.grid, [search.found], 2, None, out_of_time=False)
    plan = planner.plan(2, None)

    assert (first[0], plan.status) == (first[1], "optimal")
    assert found < PLAN // 1000
    assert planner.budget.spent < PLAN // 40
    saw = planner.job.saw
    saved = measure_saw_work(plain, saw).minutes - measure_saw_work(plan, saw).minutes
    assert saved >= saw.minutes_a_setting


def test_nothing_is_searched_where_nothing_is_ripped() -> None:
    """Pieces that are crosscut alone have hardly a setting to spare: it ends at once."""
    rails = [
        part("rail", 5, ("3/4", "11/2", 22), "pine"),
        part("end", 4, ("3/4", "11/2", 9), "pine"),
    ]
    planner = Planner(job_of(shop_of(rails, [PINE])))

    assert planner.plan(2, None).status == "optimal"
    assert planner.budget.spent < PLAN // 1000


@pytest.mark.parametrize("job", [(6, 2), (2, 4), (4, 5)])
def test_of_equal_plans_the_quickest_then_that_with_the_longest_offcut(
    job: tuple[int, int],
) -> None:
    """Beside all that the search tells to be as good, which take more minutes or leave less."""
    planner = Planner(job_of(lumber_job(*job)))
    plan, given = planner.plan(1, None), planner.job
    ((search,), _) = planner._searches(1, [0] * len(given.boards))

    def trouble(plan: Plan) -> tuple[Fraction, Fraction]:
        longest = max(left.length for left in add_offcuts(plan, given).offcuts)
        return measure_saw_work(plan, given.saw).minutes, -longest

    others = {
        trouble(assemble(planner._sorted, planner.grid, [each], 1, None, out_of_time=False))
        for each in (search.found, *search.equals())
    }
    assert len({minutes for minutes, _ in others}) > 1
    assert len({longest for _, longest in others}) > 1
    assert trouble(plan) == min(others)


# -- definitions and workbook -----------------------------------------------------------------


def shop_with(folder: Path, saw: str = "", more: str = "") -> Path:
    text = GOOD["shop.yaml"].replace("deepest_cut: 3", f"deepest_cut: 3{saw}")
    return write_shop(folder, **{"shop.yaml": text + more})


def test_keys_of_the_shop(tmp_path: Path) -> None:
    """All of them, and what is there without them."""
    more = "usable_offcut: {length: 10, width: 2, thickness: 1/2}\nminutes_a_setting: 3\n"
    full = load(
        shop_with(tmp_path / "a", ", longest_rip: 72, sheet_trim: 1/4, fence_reach: 30", more),
        AS_OF,
    )
    bare = load(shop_with(tmp_path / "b", "", "usable_offcut: 9\n"), AS_OF)

    found = full.settings
    assert (found.longest_rip, found.sheet_trim) == (Fraction(72), Fraction(1, 4))
    assert (found.fence_reach, bare.settings.fence_reach) == (Fraction(30), None)
    assert (found.usable_offcut, found.usable_width, found.usable_thickness) == (
        Fraction(10),
        Fraction(2),
        Fraction(1, 2),
    )
    assert (found.minutes_a_setting, found.minutes_a_pass) == (3, 0.5)
    found = bare.settings
    assert (found.usable_offcut, found.usable_width, found.longest_rip) == (Fraction(9), None, None)


@pytest.mark.parametrize(
    ("saw", "more", "said"),
    [
        (", longest_rip: 6", "", "longest rip less than shortest rip"),
        (", longest_rip: 0", "", "longest_rip"),
        (", sheet_trim: -1", "", "sheet_trim"),
        (", fence_reach: 0", "", "fence_reach"),
        (", longest_rib: 72", "", "nearest known: longest_rip"),
        ("", "usable_offcut: {lenght: 9}\n", "nearest known: length"),
        ("", "usable_offcut: [9]\n", "a list stands"),
        ("", "usable_offcut: {width: -2}\n", "width"),
        ("", "minutes_a_pass: fast\n", "minutes_a_pass"),
    ],
)
def test_what_they_cannot_be(tmp_path: Path, saw: str, more: str, said: str) -> None:
    """Told at the line of shop.yaml."""
    with pytest.raises(DefinitionError) as caught:
        load(shop_with(tmp_path, saw, more), AS_OF)

    lines = [str(problem) for problem in caught.value.problems]
    assert any(line.startswith("shop.yaml:") and said in line for line in lines), lines


@pytest.mark.deep
def test_typed_on_settings_and_adopted(tmp_path: Path) -> None:
    """Lengths by their names where a bare one does not say all."""
    desk = Desk(tmp_path, little_shop())
    with desk.open() as book:
        book.line("Settings", "usable_width").value = 2
        book.line("Settings", "longest_rip").value = 72
        book.line("Settings", "minutes_a_setting").value = 3
    text = str(adoption(desk.folder).after["shop.yaml"])

    assert "usable_offcut: {length: 12, width: 2}" in text
    assert "longest_rip: 72" in text
    assert "minutes_a_setting: 3" in text


LENGTHS = {"kerf": 3, "squaring": 6, "end_trim": 6, "shortest_rip": 300, "longest_rip": 2400,
           "deepest_cut": 80, "sheet_trim": 5, "minutes_a_setting": 2, "minutes_a_pass": 0.5,
           "usable_offcut": 300, "usable_width": 50, "usable_thickness": 12}  # fmt: skip


@pytest.mark.parametrize("name", LENGTHS)
@pytest.mark.parametrize("units", [1, 25.4])
def test_each_of_them_makes_plans_stale(name: str, units: float) -> None:
    """A change by the least that anybody sets shows in the sum, in inches and millimetres."""
    cell = BOOKS["us"].lines["Settings"].cells["saw_sum"]
    rule = cell.in_one or cell.rule
    assert rule is not None

    def saw_sum(more: float) -> float:
        values = {each: value / units + more * (each == name) for each, value in LENGTHS.items()}
        lines = {("Settings", each): value for each, value in values.items()}
        return float(evaluate(rule, Values({}, lines, {})))

    assert abs(saw_sum(0.25 / units) - saw_sum(0)) > 1e-5
    assert saw_sum(0) < 5_000


def test_the_command_says_minutes_and_what_to_keep() -> None:
    """Beside the minutes of the work steps; the long rest of a board is marked in its drawing."""
    words = ["cuts", str(little_shop()), "herb rail", "--units", "1", "--drawn"]
    result = CliRunner().invoke(main, words)
    text = " ".join(result.stdout.split())

    assert result.exit_code == 0, result.stderr
    assert "At the saw: about " in text
    assert "Your work steps add up to 26 min." in text
    assert " keep " in result.stdout


def cuts_of(folder: Path, *more: str) -> Json:
    """What `cuts` tells of two herb rails."""
    words = ["cuts", str(folder), "herb rail", "--units", "2", "--json", *more]
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 0, result.stderr
    found: Json = json.loads(result.stdout)
    return found


def test_reach_and_edges_of_the_shop_come_to_the_saw(tmp_path: Path) -> None:
    """A fence that reaches 9 leaves cuts at 10 and 20 to a guided saw; sheets lose their edges."""
    plain = " ".join(cuts_of(shop_with(tmp_path / "a"))["steps"])
    said = " ".join(
        cuts_of(shop_with(tmp_path / "b", ", fence_reach: 9, sheet_trim: 1/4"))["steps"]
    )

    assert "Fence at 20 in: from sheet E" in plain
    assert not any(word in plain for word in ("Guided saw", "Wide (", "factory edges"))
    assert "Trim the four factory edges of each sheet, 1/4 in with the cut (1 sheet: E)" in said
    assert "Guided saw at 20 in (wide): from sheet E" in said
    assert "Guided saw at 10 in (wide)" in said
    assert "Fence at 2 in" in said
    assert "Wide (over 9 in): No fence reaches there." in said


@pytest.mark.parametrize(("side", "least"), [("width", 4), ("thickness", 0.5)])
def test_narrow_and_thin_offcuts_are_not_kept(tmp_path: Path, side: str, least: float) -> None:
    """As shop.yaml says it; the thickness is asked of lumber alone."""
    plain = cuts_of(shop_with(tmp_path / "a"))["offcuts"]
    usable = f"usable_offcut: {{length: 12, {side}: {least}}}\n"
    kept = cuts_of(shop_with(tmp_path / "b", more=usable))["offcuts"]
    wanted = [left for left in plain if "ply" in left["stock"] or left[side] >= least]

    assert 1 < len(wanted) < len(plain)
    assert kept == wanted


def test_slanted_ends_stand_in_the_steps_of_cuts(tmp_path: Path) -> None:
    """As on the shop sheet: one setting, with all pieces that get it."""
    words = ["cuts", str(shop_with(tmp_path)), "herb rail", "--units", "2", "--drawn"]
    text = " ".join(CliRunner().invoke(main, words).stdout.split())

    assert "Miter gauge 45 degrees off square: cut both ends of 4 x end, long points on" in text
