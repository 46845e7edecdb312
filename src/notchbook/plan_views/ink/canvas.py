"""Paper to draw on: lengths of the wood go in exactly, pixels come out; grey only, for any printer.

The letters are those that Pillow brings along, so that every machine draws the same picture.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache

from PIL import Image, ImageDraw, ImageFont

from notchbook.base.picture import DPI, Drawn, Picture
from notchbook.base.sentences import kept_together

Point = tuple[Fraction, Fraction]
Corners = tuple[int, int, int, int]  # left, top, right, bottom in pixels
INK, KERF, SHADE, PAPER = 0, 60, 225, 255
"""Greys: lines and letters, what the blade takes, pieces set apart, bare paper."""
LARGEST, SMALLEST = 9.0, 5.5
"""Letters within a piece, in points; smaller ones are left out."""
_HATCH_STEP, _HATCH_INK = 14, 150
_STEP = 17  # sixteen greys from black to white
_AIR = 6  # pixels kept free beside letters


def to_pixels(points: float) -> int:
    """Convert printer's points (1/72 in.) to pixels."""
    return round(points * DPI / 72)


_BY_HAND = str.maketrans({"ø": "o", "Ø": "O", "æ": "ae", "Æ": "AE", "ß": "ss", "ł": "l", "Ł": "L"})
_BY_HAND |= str.maketrans({"×": "x", "–": "-", "−": "-", "đ": "d", "Đ": "D"})


def to_plain_letters(text: str) -> str:
    """Write text in the letters there are: no accents, and `?` for other alphabets.

    The letters that Pillow brings along are those of ASCII.
    """
    apart = unicodedata.normalize("NFKD", text.translate(_BY_HAND))
    bare = "".join(sign for sign in apart if not unicodedata.combining(sign))
    return bare.encode("ascii", "replace").decode("ascii")


@cache
def load_font(points: float) -> ImageFont.FreeTypeFont:
    """Load the letters of a size, in points."""
    found = ImageFont.load_default(to_pixels(points))
    assert isinstance(found, ImageFont.FreeTypeFont)
    return found


def measure_text(text: str, points: float) -> int:
    """Measure how many pixels a line of text takes."""
    return round(load_font(points).getlength(to_plain_letters(text)))


def break_text(text: str, points: float, across: int) -> list[str]:
    """Break text into lines that are no wider, sizes kept whole."""
    lines: list[str] = []
    for word in kept_together(text).split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and measure_text(longer, points) <= across:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


class Canvas:
    """Blank paper of so many printed inches; what is drawn to scale on it is remembered."""

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height = width, height
        self.size = (round(width * DPI), round(height * DPI))
        self.image = Image.new("L", self.size, PAPER)
        self.draw = ImageDraw.Draw(self.image)
        self.drawn: list[Drawn] = []

    def open_view(self, left: int, bottom: int, scale: Fraction) -> View:
        """Open a plane with its origin at these pixels and `scale` pixels to a unit of length."""
        return View(self, left, bottom, scale)

    def write_line(
        self,
        at: tuple[int, int],
        text: str,
        points: float = 8.0,
        anchor: str = "mm",
        upright: bool = False,
    ) -> None:
        """Write a line of text on bare paper, so that it can be read on hatching.

        `anchor` as Pillow names it; `upright` text reads from below and is centred.
        """
        font, text = load_font(points), to_plain_letters(text)
        if not upright:
            left, top, right, bottom = self.draw.textbbox(at, text, font, anchor)
            air = _AIR // 2
            self.draw.rectangle((left - air, top - air, right + air, bottom + air), fill=PAPER)
            self.draw.text(at, text, INK, font, anchor)
            return
        across, up = measure_text(text, points) + _AIR, to_pixels(points) + _AIR
        slip = Image.new("L", (across, up), PAPER)
        ImageDraw.Draw(slip).text((across // 2, up // 2), text, INK, font, "mm")
        turned = slip.transpose(Image.Transpose.ROTATE_90)
        self.image.paste(turned, (at[0] - up // 2, at[1] - across // 2))

    def write_caption(self, text: str) -> None:
        """Write a line on top, as large as it fits."""
        points = LARGEST
        while points > SMALLEST and measure_text(text, points) > self.size[0]:
            points -= 0.5
        self.write_line((0, to_pixels(LARGEST)), text, points, "ls")

    def write_label(
        self, corners: Corners, label: str, size: str = "", in_a_line: bool = False
    ) -> None:
        """Write a label and a size into a rectangle, as large as they fit.

        The size stands below, there perhaps in two lines, or `in_a_line` with the label; all of it
        may stand upright. Where the size does not fit, it is left out, and so is the label at last.
        """
        left, top, right, bottom = corners
        across, up = right - left - 2 * _AIR, bottom - top - 2 * _AIR
        middle = ((left + right) // 2, (top + bottom) // 2)
        first, _, second = size.partition(" x ")
        below = ([label, size], [label, f"{first} x", second], [label])
        for lines in ([f"{label} {size}"], [label]) if in_a_line else below:
            for room, upright in (((across, up), False), ((up, across), True)):
                points = _fitting(lines, *room) if all(lines) else 0.0
                if points:
                    self._lines(middle, lines, points, upright)
                    return

    def _lines(
        self, middle: tuple[int, int], lines: Sequence[str], points: float, upright: bool
    ) -> None:
        step = to_pixels(points * 1.2)
        for n, line in enumerate(lines):
            away = round((n - (len(lines) - 1) / 2) * step)
            at = (middle[0] + away, middle[1]) if upright else (middle[0], middle[1] + away)
            self.write_line(at, line, points, upright=upright)

    def hatch(self, corners: Corners, outline: Sequence[tuple[int, int]] | None = None) -> None:
        """Draw slanted lines over a rectangle, or over the outline within it."""
        left, top, right, bottom = corners
        if right <= left or bottom <= top:
            return
        across, up = right - left, bottom - top
        slip = Image.new("L", (across, up), PAPER)
        pen = ImageDraw.Draw(slip)
        first = (left + bottom) % _HATCH_STEP  # neighbours share their lines
        for start in range(-up - first, across, _HATCH_STEP):
            pen.line((start, up, start + up, 0), _HATCH_INK, 2)
        mask = None
        if outline is not None:
            mask = Image.new("L", (across, up), 0)
            inside = [(x - left, y - top) for x, y in outline]
            ImageDraw.Draw(mask).polygon(inside, fill=255)
        self.image.paste(slip, (left, top), mask)

    def finish(self, alt: str) -> Picture:
        """Return the finished drawing."""
        target = io.BytesIO()
        greys = self.image.point(lambda grey: grey // _STEP)  # half the file, no fewer to the eye
        indexed = Image.frombytes("P", greys.size, greys.tobytes())
        indexed.putpalette([grey * _STEP for grey in range(16) for _ in "rgb"])
        indexed.save(target, "PNG", bits=4, dpi=(DPI, DPI), compress_level=6)
        return Picture(target.getvalue(), self.width, self.height, alt, tuple(self.drawn))


@dataclass(frozen=True, slots=True)
class View:
    """Wood on a canvas: x to the right and y upwards, in the shop's unit."""

    canvas: Canvas = field(repr=False)
    left: int
    bottom: int
    scale: Fraction

    def to_pixel(self, x: Fraction, y: Fraction) -> tuple[int, int]:
        """Return the pixel of a point."""
        return self.left + round(x * self.scale), self.bottom - round(y * self.scale)

    def to_pixels(self, x: Fraction, y: Fraction, across: Fraction, up: Fraction) -> Corners:
        """Return the edges of a rectangle in pixels."""
        (left, bottom), (right, top) = self.to_pixel(x, y), self.to_pixel(x + across, y + up)
        return left, top, right, bottom

    def draw_box(
        self,
        place: tuple[Fraction, Fraction, Fraction, Fraction],
        what: str,
        fill: int | None = PAPER,
        edge: int = 3,
        hatched: bool = False,
    ) -> Corners:
        """Draw a rectangle at x, y, across, up, its line inside it; remembered as `what`."""
        corners = left, top, right, bottom = self.to_pixels(*place)
        if right > left and bottom > top:
            inside = (left, top, right - 1, bottom - 1)
            if hatched:
                self.canvas.hatch(corners)
            elif fill is not None:
                self.canvas.draw.rectangle(inside, fill=fill)
            if edge:
                self.canvas.draw.rectangle(inside, outline=INK, width=edge)
        self.canvas.drawn.append(Drawn(what, place[2], place[3], corners))
        return corners

    def draw_polygon(
        self,
        points: Iterable[Point],
        fill: int | None = PAPER,
        edge: int = 3,
        hatched: bool = False,
    ) -> list[tuple[int, int]]:
        """Draw a closed outline; return its corners in pixels."""
        outline = [self.to_pixel(x, y) for x, y in points]
        if hatched:
            xs, ys = [x for x, _ in outline], [y for _, y in outline]
            self.canvas.hatch((min(xs), min(ys), max(xs) + 1, max(ys) + 1), outline)
        elif fill is not None:
            self.canvas.draw.polygon(outline, fill=fill)
        if edge:
            self.canvas.draw.line([*outline, outline[0]], INK, edge, joint="curve")
        return outline


def _fitting(lines: Sequence[str], across: int, up: int) -> float:
    """The size of letters, in points, at which all lines fit; 0 where none does."""
    points = LARGEST
    while points >= SMALLEST:
        tall = to_pixels(points * (1.2 * len(lines) - 0.2))
        if tall <= up and max(measure_text(line, points) for line in lines) <= across:
            return points
        points -= 0.5
    return 0.0
