"""All drawings of a plan, in the order of the work."""

from __future__ import annotations

from collections.abc import Iterator

from notchbook.base.picture import Picture
from notchbook.plan_views.board_views import CutViews
from notchbook.plan_views.ink.lumber import draw_blanks, draw_boards, is_whole
from notchbook.plan_views.ink.panels import draw_sheets


def draw_plan(views: CutViews) -> Iterator[Picture]:
    """Draw boards with their blanks, blanks with their strips and pieces, and sheets."""
    sections = list(views.view_sections())
    whole = {
        str(blank.number): blank.strips[0].stretches[0].label
        for section in sections
        if is_whole(section)
        for blank in section.blanks
    }
    yield from draw_boards(list(views.view_boards()), whole)
    yield from draw_blanks(sections)
    yield from draw_sheets(list(views.view_sheets()))
