"""Laid surfaces: how many strips touch, counted exactly and checked by a lattice of points."""

from fractions import Fraction
from typing import Any

import pytest

from notchbook.planning import Pattern, strips_needed


@pytest.mark.parametrize(
    ("pattern", "surface", "strip", "strips"),
    [
        ("straight", (12, 20), (2, 8), 18),  # 6 columns of 3
        ("straight", (12, 16), (2, 8), 12),
        ("straight", (Fraction(1, 2), Fraction(1, 2)), (2, 8), 1),
        # columns are (3 - 1)/sqrt 2 = 1.41 wide and a strip rises 1.41; within 1 of height and
        # 1 to each side of the centre line, strip 0 and the one below it show, and their mirrors
        ("chevron", (2, 1), (1, 3), 4),
        # 0.09 of a second, falling column on each side: one strip of it spans the whole height
        ("chevron", (3, 1), (1, 3), 6),
        ("herringbone", (Fraction(1, 10), Fraction(1, 10)), (1, 3), 2),
    ],
)
def test_laid_strips_by_hand(
    pattern: Pattern,
    surface: tuple[Fraction, Fraction],
    strip: tuple[Fraction, Fraction],
    strips: int,
) -> None:
    """Small surfaces, counted on paper."""
    sides = [Fraction(side) for side in (*surface, *strip)]
    assert strips_needed(pattern, *sides) == strips


def sampled(pattern: str, surface: tuple[int, int], strip: tuple[int, int]) -> int:
    """Strips met by a dense lattice of points: a lower count by quite another road."""
    root = 2**0.5
    short, long = strip
    met: set[tuple[object, ...]] = set()
    for i in range(int(surface[0] * 16)):
        for j in range(int(surface[1] * 16)):
            x, y = (i + 0.5127) / 16, (j + 0.4931) / 16
            if pattern == "chevron":
                column, pitch = (long - short) / root, short * root
                off = abs(x - surface[0] / 2)
                number, within_column = divmod(off, column)
                climb = within_column if number % 2 == 0 else column - within_column
                met.add((x > surface[0] / 2, number, (y - climb) // pitch))
                continue
            u, v = (x + y) / root, (y - x) / root
            met.add(_block(u, v, short, long))
    return len(met)


def _block(u: float, v: float, short: int, long: int) -> tuple[object, ...]:
    """The herringbone block at a point: every column is tried, and must give just one."""
    found: list[tuple[object, ...]] = []
    for m in range(-40, 41):
        r = (v + m * long) // short
        if 0 <= u - (r * short + m * long) < long:
            found.append(("lying", r, m))
        r = (u - long - m * long) // short
        if 0 <= v - (r * short - m * long + short - long) < long:
            found.append(("standing", r, m))
    (block,) = found
    return block


@pytest.mark.parametrize("pattern", ["herringbone", "chevron"])
@pytest.mark.parametrize(
    ("surface", "strip"),
    [((12, 20), (2, 8)), ((9, 7), (1, 3)), ((6, 11), (2, 5)), ((8, 8), (3, 4))],
)
def test_laid_strips_cover_the_surface(
    pattern: Pattern, surface: tuple[int, int], strip: tuple[int, int]
) -> None:
    """The exact count is what a lattice of points meets, but for slivers between the points."""
    counted = strips_needed(pattern, *(Fraction(side) for side in (*surface, *strip)))
    met = sampled(pattern, surface, strip)
    assert met <= counted <= met + max(2, met // 20)


@pytest.mark.parametrize(
    ("pattern", "strip", "message"),
    [
        ("straight", (0, 8), "more than 0"),
        ("herringbone", (3, 2), "wider than it is long"),
        ("chevron", (2, 2), "longer than it is wide"),
        ("spiral", (1, 2), "no pattern spiral"),
    ],
)
def test_laid_refusals(pattern: Any, strip: tuple[int, int], message: str) -> None:
    """What cannot be laid is refused in words."""
    with pytest.raises(ValueError, match=message):
        strips_needed(pattern, Fraction(12), Fraction(20), Fraction(strip[0]), Fraction(strip[1]))
