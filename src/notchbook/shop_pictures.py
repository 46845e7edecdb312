"""The drawings that a workbook holds, by the sheet they belong on."""

from __future__ import annotations

from collections.abc import Iterable

from notchbook.cut_views import CutViews, keys_of
from notchbook.pictures.picture import Picture
from notchbook.plan_words import words_of
from notchbook.planning.bench import bench_of
from notchbook.shop import Priced


def shop_pictures(priced: Priced, projects: Iterable[str]) -> dict[str, list[Picture]]:
    """The plan of each of these projects, drawn for its shop sheet."""
    from notchbook.pictures.plan_pictures import plan_pictures

    words, plans = words_of(priced.definitions), priced.plans
    return {
        project: list(
            plan_pictures(
                CutViews(
                    bench_of(plans.cuts[project], words.saw),
                    words,
                    keys_of(plans.jobs[project].parts),
                )
            )
        )
        for project in projects
    }
