"""The boards, blanks and sheets of a plan drawn with letters, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from notchbook.base.sentences import wrapped
from notchbook.plan_views.board_views import CutViews, SectionView
from notchbook.plan_views.letters.lines import WIDTH, board_drawing, plane_drawing

_TOO_FINE = "(The pieces are too small to be drawn here.)"


def boards_text(views: CutViews) -> Iterator[str]:
    """Each board from its face; the longest takes the whole width."""
    boards = list(views.boards())
    scale = Fraction(WIDTH - 2) / max(board.size[2] for board in boards)
    for board in boards:
        yield ""
        yield from wrapped(board.heading, f"{board.letter}: ")
        yield from board_drawing(board.stretches, board.kerf, scale)
        yield from wrapped(board.says)


def sections_text(views: CutViews) -> Iterator[str]:
    """Each way of ripping from the end of the blank; blanks never ripped in words."""
    for view in views.sections():
        yield ""
        for blank in view.blanks:
            yield from wrapped(blank.says)
        if view.ripped:
            yield from _section(view)


def _section(view: SectionView) -> list[str]:
    drawn = plane_drawing(view.size, view.shapes, view.kerf, view.squaring)
    return drawn or [_TOO_FINE]


def sheets_text(views: CutViews) -> Iterator[str]:
    """Each sheet from above."""
    for sheet in views.sheets():
        yield ""
        yield from wrapped(sheet.heading, f"{sheet.letter}: ")
        drawn = plane_drawing(sheet.size, sheet.shapes, sheet.kerf, Fraction(0))
        yield from drawn or [_TOO_FINE]
        yield from wrapped(sheet.says)
