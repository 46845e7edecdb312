"""All drawings of a plan, in the order of the work."""

from __future__ import annotations

from collections.abc import Iterator

from notchbook.base.picture import Picture
from notchbook.plan_views.board_views import CutViews
from notchbook.plan_views.ink.lumber import blank_pictures, board_pictures, is_whole
from notchbook.plan_views.ink.panels import sheet_pictures


def plan_pictures(views: CutViews) -> Iterator[Picture]:
    """Boards with their blanks, blanks with their strips and pieces, sheets with their pieces."""
    sections = list(views.sections())
    whole = {
        str(blank.number): blank.strips[0].stretches[0].label
        for section in sections
        if is_whole(section)
        for blank in section.blanks
    }
    yield from board_pictures(list(views.boards()), whole)
    yield from blank_pictures(sections)
    yield from sheet_pictures(list(views.sheets()))
