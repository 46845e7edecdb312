"""One meaning a sign: offcuts to keep are drawn where they lie, scrap is hatched, all told once."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import pytest

from notchbook.plan_views.board_views import CutViews, letter_parts
from notchbook.plan_views.boxes import KEEP, LabelledBox, Stretch
from notchbook.plan_views.kept_rests import Place, place_rests
from notchbook.plan_views.letters.boards import sketch_sheets
from notchbook.plan_views.plan_words import PlanWords, make_plan_words
from notchbook.planning import make_plan
from notchbook.planning.saw.bench import lay_out_bench
from notchbook.shop.shop_pictures import draw_shop_pictures

from .examples import SHOPS, priced
from .plain_shops import job_of, panel, part, shop_of

Shapes = tuple[LabelledBox, ...]


def words() -> PlanWords:
    """Those of an example; its saw has the same kerf as plain shops."""
    return make_plan_words(priced("inch").definitions)


def views_of(shop: str) -> Iterator[CutViews]:
    found, words = priced(shop), make_plan_words(priced(shop).definitions)
    for project, plan in found.plans.cuts.items():
        keys = letter_parts(found.plans.jobs[project].parts)
        yield CutViews(lay_out_bench(plan, words.saw), words, keys, plan.kept)


def test_the_rest_of_a_sheet() -> None:
    """By hand: a piece of 24 x 20 off a sheet of 48 x 24 leaves 23 7/8 x 24 and a strip."""
    top = part("top", 1, ("1/4", 20, 24), "ply")
    job = job_of(shop_of([top], [panel("ply", ("1/4", 24, 48), 9, grain=True)], squaring=0))
    plan = make_plan(job, 1, "rail")
    views = CutViews(lay_out_bench(plan, words().saw), words(), letter_parts(job.parts), plan.kept)
    (sheet,) = views.view_sheets()

    (rest,) = sheet.kept
    assert (rest.label, rest.below) == (KEEP, "23 7/8 x 24")
    assert [float(n) for n in (rest.x, rest.y, rest.across, rest.up)] == [24.125, 0, 23.875, 24]
    assert any(KEEP in line for line in sketch_sheets(views))


@pytest.mark.parametrize("shop", SHOPS)
def test_kept_rests_lie_clear_of_what_is_cut(shop: str) -> None:
    """A blade's cut from every piece, within the wood, and of a size that the plan keeps."""
    drawn = 0
    for views in views_of(shop):
        kerf, trim = views.words.saw.kerf, views.words.saw.sheet_trim
        cut: list[tuple[Shapes, Shapes, tuple[Fraction, Fraction]]] = [
            *((view.shapes, view.kept, view.size) for view in views.view_sections()),
            *((view.shapes, view.kept, view.size) for view in views.view_sheets()),
        ]
        sizes = [set(kept[1:]) for kept in views.kept]
        for shapes, kept, size in cut:
            area = Place(Fraction(0), Fraction(0), *size)
            for rest in kept:
                place = Place(rest.x, rest.y, rest.across, rest.up)
                assert area.holds(place) and place.x >= trim
                assert any({rest.across, rest.up} <= each for each in sizes)
                others = [Place(each.x, each.y, each.across, each.up) for each in shapes]
                assert all(place.lies_clear_of(other, kerf) for other in others)
                drawn += 1
    assert drawn > 2


def test_a_rest_without_a_place_is_not_drawn() -> None:
    """Two gaps of 2 are no rest of 4; one that is there is found at its far end."""
    none, kerf = Fraction(0), Fraction(1)
    area = Place(none, none, Fraction(10), Fraction(4))
    middle = [LabelledBox(Fraction(3), none, Fraction(4), Fraction(4), "a")]
    wide, narrow = (Fraction(4), Fraction(4)), (Fraction(2), Fraction(4))

    assert list(place_rests(area, middle, [wide], kerf, [""])) == []
    found = list(place_rests(area, middle, [narrow, narrow, narrow], kerf, ["", "", ""]))
    assert [each.x for each in found] == [8, 0]


def test_only_scrap_is_scrap() -> None:
    """A piece, an offcut to keep, and what is too short for that."""
    inch = Fraction(1)
    stretches = (
        Stretch(inch, 1, "a", ""),
        Stretch(inch, 1, KEEP, "", waste=True),
        Stretch(inch, 1, "", "", waste=True),
    )
    assert [each.scrap for each in stretches] == [False, False, True]


@pytest.mark.parametrize("shop", SHOPS)
def test_a_laid_surface_has_one_share_cut_away(shop: str) -> None:
    """That of its drawing is that of its row, of the strips that are cut."""
    found = priced(shop)
    laid = found.filled.tables["Laid surfaces"]
    drawings = draw_shop_pictures(found, dict.fromkeys(laid["project"]))
    told = [picture.alt for drawn in drawings.values() for picture in drawn]
    seen = 0
    for row in laid.itertuples():
        for alt in (alt for alt in told if alt.startswith(f"{row.surface}, {row.pattern}")):
            assert f" {row.offcut:.0%} is cut away." in alt
            assert " A " not in alt.partition("Shaded")[2]  # capitals are boards
            seen += 1
    assert seen == (1 if shop == "inch" else seen)


@pytest.mark.parametrize("shop", SHOPS)
def test_shop_sheets_list_what_is_used(shop: str) -> None:
    """No board of which the batch takes none, and the signs of the drawings once."""
    tables = priced(shop).filled.tables
    assert (tables["Shop stock"]["need"] > 0).all()
    saw = tables["Shop saw"]
    legends = saw[saw["says"].str.startswith("Drawings: A board or sheet")]
    assert legends["project"].is_unique
    assert set(legends["project"]) == set(saw["project"])
    assert (legends["box"] == "").all()


@pytest.mark.parametrize("shop", SHOPS)
def test_shop_sheets_say_what_cut_plan_says_of_stock(shop: str) -> None:
    """Boards that are there are taken from stock on both, not bought on one of them."""
    tables = priced(shop).filled.tables
    plan, saw = tables["Cut plan"], tables["Shop saw"]
    taken = plan[(plan["kind"] == "get") & plan["says"].str.startswith("Take ")]
    assert len(taken)
    for row in taken.itertuples():
        assert row.says in set(saw["says"][saw["project"] == row.project])
