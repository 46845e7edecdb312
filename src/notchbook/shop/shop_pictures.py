"""The drawings that a workbook holds, by the sheet they belong on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from notchbook.base.picture import Picture
from notchbook.base.picture_page import WIDE
from notchbook.plan_views.board_views import CutViews, letter_parts
from notchbook.plan_views.plan_words import make_plan_words
from notchbook.planning.saw.bench import lay_out_bench
from notchbook.shop.laid_surface_rows import lay_surfaces
from notchbook.shop.pipeline import Priced

_LAY_TALLEST = 3.2  # inches


def draw_shop_pictures(priced: Priced, projects: Iterable[str]) -> dict[str, list[Picture]]:
    """Draw, for the shop sheet of each of these projects, its plan and its laid surfaces."""
    from notchbook.plan_views.ink.plans import draw_plan

    words, plans = make_plan_words(priced.definitions), priced.plans
    cuts = plans.take_from_stock(priced.there)
    found = {}
    for project in projects:
        keys = letter_parts(plans.jobs[project].parts)
        views = CutViews(lay_out_bench(cuts[project], words.saw), words, keys, cuts[project].kept)
        found[project] = [*draw_plan(views), *_draw_laid_surfaces(priced, project)]
    return found


def _draw_laid_surfaces(priced: Priced, project: str) -> Iterator[Picture]:
    from notchbook.plan_views.ink.laid_surfaces import draw_laid_surface

    ruler, laid = make_plan_words(priced.definitions).ruler, priced.filled.tables["Laid surfaces"]
    strips = {(row.project, row.surface): int(row.strips) for row in laid.itertuples()}
    for (of, surface), lay in lay_surfaces(priced.definitions).items():
        if of == project and lay.whole < len(lay.strips):  # nothing to see in strips uncut
            planned = strips[of, surface]
            yield draw_laid_surface(surface, lay, ruler, WIDE / 2, _LAY_TALLEST, planned)
