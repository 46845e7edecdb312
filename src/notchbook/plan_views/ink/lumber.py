"""Boards from their face and blanks from their end, to scale, with what is cut from each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from notchbook.base.picture import DPI, Picture
from notchbook.base.picture_page import BELOW, CAPTION, GAP, TALLEST, WIDE
from notchbook.plan_views.board_views import BlankView, BoardView, SectionView, StripView
from notchbook.plan_views.boxes import Stretch
from notchbook.plan_views.ink.canvas import (
    KERF,
    LARGEST,
    PAPER,
    Canvas,
    View,
    break_text,
    measure_text,
    to_pixels,
)

_SECTION_WIDE, _SECTION_WIDEST, _SECTION_TALLEST = 2.0, 3.0, 1.6  # inches
_LEAST = Fraction(15, 100)  # inches that the thinnest strip takes, to hold its letter
_STRIP_WIDEST = 0.45  # inches across the widest strip
_AIR = 0.2  # inches beside the longest board; two of half its length go in a row
_COUNT = 0.4  # inches before a strip, for how many of it there are
_LINE = 8.0  # points


def draw_boards(boards: Sequence[BoardView], whole: Mapping[str, str]) -> Iterator[Picture]:
    """Draw each board; the longest takes the whole width, all others the same scale.

    `whole` names the pieces that blanks are without being ripped, by the blank's number.
    """
    scale = _across(WIDE - _AIR) / max((board.size[2] for board in boards), default=1)
    for board in boards:
        _, width, length = board.size
        half = length * scale <= _across(WIDE / 2)
        tall = CAPTION + float(width * scale) / DPI + BELOW + GAP
        canvas = Canvas(WIDE / 2 if half else WIDE, tall)
        bottom = round(CAPTION * DPI) + round(width * scale)
        view = canvas.open_view(0, bottom, scale)
        view.draw_box(
            (Fraction(0), Fraction(0), length, width), f"board {board.letter}", hatched=True
        )
        named = [_named(each, whole) for each in board.stretches]
        _run(view, named, board.trim, width, board.kerf)
        canvas.write_caption(f"{board.letter}: {board.heading}")
        yield canvas.finish(f"Board {board.letter}, {board.heading}: {board.says}")


def _named(each: Stretch, whole: Mapping[str, str]) -> Stretch:
    part = whole.get(each.label)
    label = f"{each.label} = {part}" if part else each.label
    return Stretch(each.length, each.often, label, each.below, each.waste)


def _run(
    view: View, stretches: Sequence[Stretch], start: Fraction, width: Fraction, kerf: Fraction
) -> None:
    """Stretches one after another with the blade's cut behind each, their lengths below."""
    x = start
    for each in stretches:
        first = x
        for _ in range(each.often):
            place = (x, Fraction(0), each.length, width)
            corners = view.draw_box(place, each.label, hatched=each.scrap)
            if each.waste:
                view.canvas.write_label(corners, each.label)
            else:
                cut = view.to_pixels(x + each.length, Fraction(0), kerf, width)
                _blade(view.canvas, cut)
                view.canvas.write_label(corners, each.label)
            x += each.length + kerf
        _below(view, each, first, x - kerf)


def _blade(canvas: Canvas, corners: tuple[int, int, int, int]) -> None:
    left, top, right, bottom = corners
    if right > left:
        canvas.draw.rectangle((left, top, right - 1, bottom - 1), fill=KERF)


def _below(view: View, each: Stretch, first: Fraction, last: Fraction) -> None:
    """The length below each stretch, or once for all of them where they are narrow."""
    points = 7.0
    centre = each.length / 2
    _, y = view.to_pixel(first, Fraction(0))
    y += to_pixels(points * 0.75)
    room = (each.length * view.scale) - 8
    if measure_text(each.below, points) <= room:
        step = (last - first - each.length) / (each.often - 1) if each.often > 1 else Fraction(0)
        for n in range(each.often):
            x, _ = view.to_pixel(first + n * step + centre, Fraction(0))
            view.canvas.write_line((x, y), each.below, points)
        return
    text = f"{each.often} x {each.below}" if each.often > 1 else each.below
    half = measure_text(text, points) // 2
    x, _ = view.to_pixel((first + last) / 2, Fraction(0))
    if not each.waste or half * 2 <= room:
        x = min(max(x, half), view.canvas.size[0] - half)
        view.canvas.write_line((x, y), text, points)


# --- blanks ------------------------------------------------------------------------------------


def draw_blanks(sections: Sequence[SectionView]) -> Iterator[Picture]:
    """Draw each way of ripping, from the blank's end, and beside it the strips and pieces."""
    shown = [view for view in sections if not is_whole(view)]
    if not shown:
        return
    widest = max(view.size[0] for view in shown)
    thinnest = min(min(shape.across, shape.up) for view in shown for shape in view.shapes)
    tallest = max(view.size[1] for view in shown)
    scale = max(_across(_SECTION_WIDE) / widest, _LEAST * DPI / thinnest)
    scale = min(
        scale, _across(_SECTION_WIDEST) / widest, _across(_SECTION_TALLEST) / tallest, Fraction(DPI)
    )
    left = round(widest * scale) + round(0.25 * DPI)
    longest = max(blank.length for view in shown for blank in view.blanks)
    thickest = max(strip.width for view in shown for blank in view.blanks for strip in blank.strips)
    along = min((_across(WIDE - _COUNT) - left) / longest, _across(_STRIP_WIDEST) / thickest)
    for view in shown:
        for blanks in _in_heights(view.blanks, along, left):
            yield _blank_picture(view, blanks, scale, left, along)


def is_whole(view: SectionView) -> bool:
    """Whether the blank is a piece as it comes off the board."""
    strips = [strip for blank in view.blanks for strip in blank.strips]
    return not view.ripped and all(
        len(strip.stretches) == 1 and strip.stretches[0].often == 1 for strip in strips
    )


def _blank_picture(
    section: SectionView, blanks: Sequence[BlankView], scale: Fraction, left: int, along: Fraction
) -> Picture:
    across, up = section.size
    tall = sum(_height(blank, along, left) for blank in blanks)
    canvas = Canvas(WIDE, max(tall / DPI, float(up * scale) / DPI + 0.1) + GAP)
    view = canvas.open_view(0, round(up * scale) + round(0.05 * DPI), scale)
    numbers = " and ".join(str(blank.number) for blank in blanks)
    if section.ripped:
        view.draw_box((Fraction(0), Fraction(0), across, up), f"section {numbers}", hatched=True)
        for shape in (*section.shapes, *section.kept):
            place = (shape.x, shape.y, shape.across, shape.up)
            canvas.write_label(view.draw_box(place, shape.label), shape.label, shape.below)
    else:
        view.draw_box((Fraction(0), Fraction(0), across, up), f"section {numbers}", fill=PAPER)
    y = 0
    for blank in blanks:
        y = _beside(canvas, blank, left, y, along)
    alt = " ".join(blank.says for blank in blanks)
    seen = f"The end of blank {numbers}, {len(section.shapes)} strips. " if section.ripped else ""
    return canvas.finish(seen + alt)


def _beside(canvas: Canvas, blank: BlankView, left: int, y: int, along: Fraction) -> int:
    """The words and the strips of a blank, from y downwards; gives where they end."""
    for line in _lines(blank, left):
        canvas.write_line((left, y + to_pixels(_LINE)), line, _LINE, "ls")
        y += to_pixels(_LINE * 1.25)
    for strip in blank.strips:
        tall = round(strip.width * along)
        view = canvas.open_view(left + round(_COUNT * DPI), y + tall, along)
        middle = y + max(tall, to_pixels(7)) // 2
        canvas.write_line((left, middle), f"{strip.often} x", 7.0, "lm")
        inside = tall >= to_pixels(LARGEST)
        x = Fraction(0)
        for each in strip.stretches:
            first = x
            for _ in range(each.often):
                place = (x, Fraction(0), each.length, strip.width)
                corners = view.draw_box(place, each.label or "left", hatched=each.scrap)
                if inside and each.label:
                    canvas.write_label(corners, each.label, each.below, in_a_line=True)
                x += each.length + strip.kerf
            if not inside and not each.waste:
                named = Stretch(
                    each.length, each.often, each.label, f"{each.label} {each.below}", each.waste
                )
                _below(view, named, first, x - strip.kerf)
        y += _strip_height(strip, along)
    return y + to_pixels(4)


def _strip_height(strip: StripView, along: Fraction) -> int:
    tall = round(strip.width * along)
    return tall + to_pixels(3) if tall >= to_pixels(LARGEST) else tall + round(BELOW * DPI)


def _height(blank: BlankView, along: Fraction, left: int) -> int:
    lines = len(_lines(blank, left)) * to_pixels(_LINE * 1.25)
    return lines + sum(_strip_height(strip, along) for strip in blank.strips) + to_pixels(4)


def _in_heights(
    blanks: Sequence[BlankView], along: Fraction, left: int
) -> Iterator[list[BlankView]]:
    """Blanks in groups that fit a row of a sheet."""
    group: list[BlankView] = []
    tall = 0
    for blank in blanks:
        height = _height(blank, along, left)
        if group and tall + height > TALLEST * DPI:
            yield group
            group, tall = [], 0
        group.append(blank)
        tall += height
    yield group


def _lines(blank: BlankView, left: int) -> list[str]:
    return break_text(blank.says, _LINE, round(WIDE * DPI) - left)


def _across(inches: float) -> Fraction:
    """Printed inches in whole pixels, with a line's width of air."""
    return Fraction(round(inches * DPI) - 4)
