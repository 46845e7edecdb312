"""What planted jobs have in common: random cuts of a rectangle or a length, and the lengths."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from random import Random
from typing import NamedTuple

INCH = 32  # steps
STEP = Fraction(1, INCH)
MARK = INCH // 8  # what is cut is measured in eighths
NARROWEST = 3 * MARK


class Area(NamedTuple):
    """A rectangle of a section (across, up) or of a sheet (along, across)."""

    x: int
    y: int
    one: int
    other: int

    @property
    def sides(self) -> tuple[int, int]:
        """The lesser side and the greater."""
        return min(self.one, self.other), max(self.one, self.other)

    @property
    def size(self) -> int:
        """Its area."""
        return self.one * self.other


def split(rng: Random, room: int, parts: int, kerf: int, least: int) -> list[int] | None:
    """The room cut into lengths, all alike or not; None where one is too small."""
    each = (room - (parts - 1) * kerf) // parts
    sizes = [each] * parts
    if parts > 1 and rng.random() < 0.5:
        sizes = [int(each * rng.uniform(0.5, 1.4)) for _ in range(parts - 1)]
        sizes = [size - size % MARK for size in sizes]
        sizes.append(room - sum(sizes) - (parts - 1) * kerf)
    sizes = [size - size % MARK for size in sizes]
    return sizes if min(sizes) >= least else None


def guillotined(
    rng: Random, area: Area, wanted: int, kerf: int, least: int, deepest: int | None
) -> Iterator[Area]:
    """The area cut right across, and what comes off cut again, into about so many pieces."""
    parts = min(wanted, rng.choice([2, 2, 3, 4]))
    axes = [0, 1] if rng.random() < area.one / (area.one + area.other) else [1, 0]
    for axis in axes if parts > 1 else []:
        extents = [area.one, area.other]
        if deepest is not None and extents[1 - axis] > deepest:
            continue
        sizes = split(rng, extents[axis], parts, kerf, least)
        if sizes is None:
            continue
        again = rng.getrandbits(32)
        alike = rng.random() < 0.7
        at = [area.x, area.y]
        for size in sizes:
            extents[axis] = size
            own = Random(f"{again}/{size}") if alike else rng
            piece = Area(at[0], at[1], extents[0], extents[1])
            yield from guillotined(own, piece, -(-wanted // parts), kerf, least, deepest)
            at[axis] += size + kerf
        return
    yield area


@dataclass(slots=True)
class Lengths:
    """The lengths of the pieces, by number; pieces share one unless all are to differ."""

    different: bool
    values: list[int] = field(default_factory=list)
    sections: list[int] = field(default_factory=list)  # of all pieces of the length together

    def number(self, length: int, section: int) -> int:
        """The number for one more piece; the next free length where all are to differ."""
        while self.different and length in self.values:
            length -= 1
        if length not in self.values:
            self.values.append(length)
            self.sections.append(0)
        number = self.values.index(length)
        self.sections[number] += section
        return number

    @property
    def volume(self) -> int:
        """Of all pieces."""
        return sum(n * area for n, area in zip(self.values, self.sections, strict=True))

    def shorten(self, rng: Random, volume: float, least: int) -> None:
        """Shorten lengths at random until the pieces are no more than the volume, or too short."""
        mark = 1 if self.different else MARK
        for _ in range(2000):
            number = rng.randrange(len(self.values))
            shorter = self.values[number] - mark * rng.randint(1, 8)
            if self.volume <= volume:
                return
            if shorter >= least and shorter not in self.values:
                self.values[number] = shorter
