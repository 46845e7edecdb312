"""A laid surface drawn to scale: every strip as it lies, trimmed at the edges."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from notchbook.base.picture import DPI, Picture
from notchbook.measure import Ruler
from notchbook.plan_views.ink.canvas import (
    INK,
    PAPER,
    SHADE,
    Canvas,
    Point,
    load_font,
    measure_text,
    to_pixels,
)
from notchbook.plan_views.laid_surface_words import (
    count_lengths_left,
    describe_laid_surface,
    show_length_left,
)
from notchbook.planning.geometry.outlines import LaidStrip, LaidSurface, Outline

_LINE, _WORDS, _LETTER = 11.0, 8.0, 7.0  # points: from line to line, words, a strip's letter
_NUMERALS = ("I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII")
_SIDE = 0.35  # inches free on both sides of the surface, one of them for its height


def draw_laid_surface(
    name: str,
    lay: LaidSurface,
    ruler: Ruler,
    width: float,
    tallest: float,
    planned: int | None = None,
) -> Picture:
    """Draw the laid strips on paper `width` inches wide and at most `tallest` inches high.

    `planned` strips are cut for it; where they are fewer than lie there, the words below say so.

    Trimmed strips are shaded; those left at one length bear one numeral, told below: letters stand
    for boards and parts. The surface is remembered as drawn by its name.
    """
    cut = len(lay.strips) if planned is None else planned
    legend = dict(zip(count_lengths_left(lay, ruler), _NUMERALS, strict=False))
    lines = list(_lines(name, lay, ruler, cut, legend, width))
    if cut < len(lay.strips):
        few = f"Only {cut} strips are cut: reuse trimmed ends along the other edges."
        lines += _fitted(few.split(" "), " ", width)
    below = (len(lines) + 2) * _LINE / 72
    scale = min(
        Fraction(round((width - 2 * _SIDE) * DPI)) / lay.width,
        Fraction(round((tallest - below) * DPI)) / lay.height,
    )
    across, up = round(lay.width * scale), round(lay.height * scale)
    canvas = Canvas(width, up / DPI + below)
    left, bottom = (canvas.size[0] - across) // 2, up + 6
    view = canvas.open_view(left, bottom, scale)
    for strip in lay.strips:
        view.draw_polygon(_read_corners(strip.trimmed), PAPER if strip.is_whole else SHADE, edge=2)
    for strip in lay.strips:
        letter = None if strip.is_whole else legend.get(show_length_left(strip, ruler))
        if letter and _room(strip, scale) > to_pixels(_LETTER) + measure_text(letter, _LETTER) // 2:
            canvas.draw.text(view.to_pixel(*_middle(strip)), letter, INK, load_font(_LETTER), "mm")
    edge = (left - 6, bottom - up - 6, left + across + 5, bottom + 5)
    canvas.draw.rectangle(edge, outline=PAPER, width=6)  # lines end at the surface
    view.draw_box((Fraction(0), Fraction(0), lay.width, lay.height), name, fill=None, edge=5)
    canvas.write_line((left + across // 2, bottom + to_pixels(7)), ruler.setting(lay.width), _WORDS)
    beside = (left - to_pixels(8), bottom - up // 2)
    canvas.write_line(beside, ruler.setting(lay.height), _WORDS, upright=True)
    for n, line in enumerate(lines):
        canvas.write_line(
            (to_pixels(2), bottom + to_pixels(7 + (n + 1) * _LINE)), line, _WORDS, "lm"
        )
    return canvas.finish(" ".join(lines))


def _read_corners(outline: Outline) -> Iterator[Point]:
    for x, y in outline:
        yield Fraction(float(x)), Fraction(float(y))


def _middle(strip: LaidStrip) -> Point:
    points = list(_read_corners(strip.trimmed))
    xs, ys = zip(*points, strict=True)
    return sum(xs) / Fraction(len(xs)), sum(ys) / Fraction(len(ys))


def _room(strip: LaidStrip, scale: Fraction) -> float:
    """How wide a strip is on average, in pixels."""
    return float(strip.area) / strip.length * float(scale)


def _lines(
    name: str,
    lay: LaidSurface,
    ruler: Ruler,
    cut: int,
    legend: Mapping[str, str],
    width: float,
) -> Iterator[str]:
    """What stands below the drawing, in lines that fit the paper."""
    counts = count_lengths_left(lay, ruler)
    told = [f"{letter} {shown}: {counts[shown]}" for shown, letter in legend.items()]
    rest = sum(count for shown, count in counts.items() if shown not in legend)
    trimmed = [f"Shaded, trimmed to ({ruler.unit}):", *told]
    trimmed += [f"shorter: {rest}"] if rest else []
    yield from _fitted(describe_laid_surface(name, lay, ruler, cut).split(" "), " ", width)
    if counts:
        yield from _fitted(trimmed, "   ", width)


def _fitted(words: list[str], between: str, width: float) -> Iterator[str]:
    """Words in lines that are not wider than the paper."""
    room = round((width - 0.1) * DPI)
    line = words[0]
    for word in words[1:]:
        longer = line + between + word
        if measure_text(longer, _WORDS) > room:
            yield line
            longer = word
        line = longer
    yield line
