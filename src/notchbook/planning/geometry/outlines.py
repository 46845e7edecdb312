"""The outline of every strip of a laid surface, trimmed at the surface's edges, exact.

Corners are numbers p + q*sqrt(2). All edges lie level, upright or at 45 degrees, so that trimming
never divides: the outlines together are the surface, to the last digit.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import sqrt
from typing import Literal

from notchbook.planning.geometry.root_two import RootTwo
from notchbook.planning.geometry.strip_counts import (
    Pattern,
    check_sizes,
    list_chevron_strips,
    list_herringbone_blocks,
    list_straight_places,
)

Point = tuple[RootTwo, RootTwo]
Outline = tuple[Point, ...]
Grain = Literal["up", "rising", "falling"]
_ZERO = RootTwo(Fraction(0))


@dataclass(frozen=True, slots=True)
class LaidStrip:
    """A strip as it lies: its outline before and after trimming, and which way its grain runs.

    x runs to the right and y up from the lower left corner of the surface.
    """

    whole: Outline
    trimmed: Outline
    grain: Grain

    @property
    def is_whole(self) -> bool:
        """Whether nothing is cut off at the surface's edges."""
        return self.trimmed == self.whole

    @property
    def length(self) -> float:
        """The length that is left along the grain, long point to long point."""
        along = [_along(float(x), float(y), self.grain) for x, y in self.trimmed]
        return max(along) - min(along)

    @property
    def area(self) -> RootTwo:
        """What is left of its face."""
        return measure_area(self.trimmed)


@dataclass(frozen=True)
class LaidSurface:
    """A surface of `width` x `height`, laid with strips of `strip_width` x `strip_length`."""

    pattern: Pattern
    width: Fraction
    height: Fraction
    strip_width: Fraction
    strip_length: Fraction

    @cached_property
    def strips(self) -> tuple[LaidStrip, ...]:
        """Every strip that covers some of the surface, in the order of laying.

        Raises ValueError as `count_strips_needed` does.
        """
        check_sizes(self.pattern, self.width, self.height, self.strip_width, self.strip_length)
        surface = RootTwo(self.width), RootTwo(self.height)
        laid = (LaidStrip(whole, trim(whole, *surface), grain) for whole, grain in self._outlines())
        return tuple(laid)

    @property
    def whole(self) -> int:
        """How many strips stay whole."""
        return sum(strip.is_whole for strip in self.strips)

    def measure_cut_away(self, strips: int) -> float:
        """Measure the share of so many strips' faces that is cut away, ends included."""
        laid = strips * self.strip_width * self.strip_length
        return float(1 - self.width * self.height / laid) if laid else 0.0

    def _outlines(self) -> Iterator[tuple[Outline, Grain]]:
        size = self.width, self.height, self.strip_width, self.strip_length
        match self.pattern:
            case "straight":
                for x, y in list_straight_places(*size):
                    far = x + self.strip_width, y + self.strip_length
                    yield _box((RootTwo(x), RootTwo(y)), (RootTwo(far[0]), RootTwo(far[1]))), "up"
            case "herringbone":
                for u, v, far_u, far_v in list_herringbone_blocks(*size):
                    corners = ((u, v), (far_u, v), (far_u, far_v), (u, far_v))
                    rising = far_u - u > far_v - v
                    yield (
                        tuple(_turned(*corner) for corner in corners),
                        "rising" if rising else "falling",
                    )
            case "chevron":
                yield from self._chevron()

    def _chevron(self) -> Iterator[tuple[Outline, Grain]]:
        """Each strip of the right half, and its mirror image."""
        column = (self.strip_length - self.strip_width) / 2  # times sqrt(2)
        middle = RootTwo(self.width / 2)
        for j, n in list_chevron_strips(
            self.width, self.height, self.strip_width, self.strip_length
        ):
            near, far = RootTwo(Fraction(0), j * column), RootTwo(Fraction(0), (j + 1) * column)
            low = n * self.strip_width
            start, end = (low, low + column) if j % 2 == 0 else (low + column, low)
            outline = [
                (x, RootTwo(Fraction(0), y))
                for x, y in (
                    (near, start),
                    (far, end),
                    (far, end + self.strip_width),
                    (near, start + self.strip_width),
                )
            ]
            rising: tuple[Grain, Grain] = ("rising", "falling")
            right, left = rising if j % 2 == 0 else rising[::-1]
            yield tuple((middle + x, y) for x, y in outline), right
            yield tuple((middle - x, y) for x, y in reversed(outline)), left


def _box(low: Point, high: Point) -> Outline:
    return (low, (high[0], low[1]), high, (low[0], high[1]))


def _turned(u: Fraction, v: Fraction) -> Point:
    """A point given along the blocks: u runs up and right, v up and left."""
    return RootTwo(Fraction(0), (u - v) / 2), RootTwo(Fraction(0), (u + v) / 2)


def _along(x: float, y: float, grain: Grain) -> float:
    if grain == "up":
        return y
    return (y + x if grain == "rising" else y - x) / sqrt(2)


def trim(outline: Outline, width: RootTwo, height: RootTwo) -> Outline:
    """Return what lies of a convex outline on the surface (Sutherland and Hodgman, 1974)."""
    edges = ((0, _ZERO, False), (0, width, True), (1, _ZERO, False), (1, height, True))
    for axis, limit, below in edges:
        if any(not _inside(point[axis], limit, below) for point in outline):
            outline = tuple(_kept(outline, axis, limit, below))
    return outline


def _inside(place: RootTwo, limit: RootTwo, below: bool) -> bool:
    return not (limit < place if below else place < limit)


def _kept(outline: Outline, axis: int, limit: RootTwo, below: bool) -> Iterable[Point]:
    for n, point in enumerate(outline):
        before = outline[n - 1]
        inside = _inside(point[axis], limit, below)
        on_edge = limit in (point[axis], before[axis])
        if inside is not _inside(before[axis], limit, below) and not on_edge:
            yield _crossing(before, point, axis, limit)
        if inside:
            yield point


def _crossing(before: Point, point: Point, axis: int, limit: RootTwo) -> Point:
    """Find where an edge, level, upright or at 45 degrees, meets a line along the other axis."""
    there, from_, to = limit - before[axis], before[1 - axis], point[1 - axis]
    if from_ != to:
        same_way = (from_ < to) is (before[axis] < point[axis])
        from_ = from_ + (there if same_way else -there)
    return (limit, from_) if axis == 0 else (from_, limit)


def measure_area(outline: Outline) -> RootTwo:
    """Measure the area within an outline that runs against the clock."""
    total = _ZERO
    for n, (x, y) in enumerate(outline):
        before = outline[n - 1]
        total = total + before[0] * y - x * before[1]
    return total * RootTwo(Fraction(1, 2))
