"""The boards, blanks and sheets of a plan drawn with letters, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from notchbook.base.sentences import wrapped
from notchbook.plan_views.board_views import CutViews, SectionView
from notchbook.plan_views.letters.lines import WIDTH, sketch_board, sketch_plane

_TOO_FINE = "(The pieces are too small to be drawn here.)"


def sketch_boards(views: CutViews) -> Iterator[str]:
    """Sketch each board from its face; the longest takes the whole width."""
    boards = list(views.view_boards())
    scale = Fraction(WIDTH - 2) / max(board.size[2] for board in boards)
    for board in boards:
        yield ""
        yield from wrapped(board.heading, f"{board.letter}: ")
        yield from sketch_board(board.stretches, board.kerf, scale)
        yield from wrapped(board.says)


def sketch_sections(views: CutViews) -> Iterator[str]:
    """Sketch each way of ripping from the blank's end; blanks never ripped in words."""
    for view in views.view_sections():
        yield ""
        for blank in view.blanks:
            yield from wrapped(blank.says)
        if view.ripped:
            yield from _sketch_section(view)


def _sketch_section(view: SectionView) -> list[str]:
    shapes = (*view.shapes, *view.kept)
    drawn = sketch_plane(view.size, shapes, view.kerf, view.squaring)
    return drawn or [_TOO_FINE]


def sketch_sheets(views: CutViews) -> Iterator[str]:
    """Sketch each sheet from above."""
    for sheet in views.view_sheets():
        yield ""
        yield from wrapped(sheet.heading, f"{sheet.letter}: ")
        shapes = (*sheet.shapes, *sheet.kept)
        drawn = sketch_plane(sheet.size, shapes, sheet.kerf, Fraction(0))
        yield from drawn or [_TOO_FINE]
        yield from wrapped(sheet.says)
