"""Sheets from above, to scale, with their pieces."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from notchbook.base.picture import DPI, Picture
from notchbook.base.picture_page import CAPTION, GAP, TALLEST, WIDE
from notchbook.plan_views.board_views import SheetView
from notchbook.plan_views.ink.canvas import Canvas


def draw_sheets(sheets: Sequence[SheetView]) -> Iterator[Picture]:
    """Draw each sheet, its length from left to right, all to one scale, two in a row."""
    if not sheets:
        return
    width = WIDE / 2
    longest = max(sheet.size[0] for sheet in sheets)
    widest = max(sheet.size[1] for sheet in sheets)
    scale = min(
        (Fraction(round(width * DPI)) - 30) / longest,
        Fraction(round((TALLEST - CAPTION - GAP) * DPI)) / widest,
    )
    for sheet in sheets:
        length, across = sheet.size
        canvas = Canvas(width, CAPTION + float(across * scale) / DPI + GAP)
        view = canvas.open_view(0, round(CAPTION * DPI) + round(across * scale), scale)
        zero = Fraction(0)
        view.draw_box((zero, zero, length, across), f"sheet {sheet.letter}", hatched=True)
        for shape in (*sheet.shapes, *sheet.kept):
            place = (shape.x, shape.y, shape.across, shape.up)
            canvas.write_label(view.draw_box(place, shape.label), shape.label, shape.below)
        canvas.write_caption(f"{sheet.letter}: {sheet.heading}")
        yield canvas.finish(f"Sheet {sheet.letter}, {sheet.heading}: {sheet.says}")
