"""How many strips touch a surface laid in a pattern, counted in exact arithmetic.

Strips that only meet the surface's edge do not count; a strip that is cut off counts whole, and
what is cut off is not used again. Positions are numbers p + q*sqrt(2), compared without rounding.
"""

from fractions import Fraction
from math import ceil, sqrt
from typing import Literal

Pattern = Literal["straight", "herringbone", "chevron"]


def strips_needed(
    pattern: Pattern,
    width: Fraction,
    height: Fraction,
    strip_width: Fraction,
    strip_length: Fraction,
) -> int:
    """The strips that touch a surface of `width` x `height`; all lengths in one unit.

    straight: strips stand in columns from the lower left corner; each column starts a new strip.
    herringbone: blocks at right angles, turned 45 degrees; one block's corner lies in the lower
    left corner of the surface. chevron: strips with both ends cut parallel at 45 degrees,
    `strip_length` from long point to long point, in columns to both sides of the centre line,
    where two strips meet in a point on the lower edge.

    Raises ValueError for a size that is not more than 0, for a herringbone strip wider than it is
    long, for a chevron strip not longer than it is wide, and for a pattern not known.
    """
    if min(width, height, strip_width, strip_length) <= 0:
        raise ValueError("surface and strip sizes must be more than 0")
    if pattern == "straight":
        return ceil(width / strip_width) * ceil(height / strip_length)
    if pattern == "herringbone":
        return _herringbone(width, height, strip_width, strip_length)
    if pattern == "chevron":
        return _chevron(width, height, strip_width, strip_length)
    raise ValueError(f"no pattern {pattern}; write straight, herringbone or chevron")


def _positive(p: Fraction, q: Fraction) -> bool:
    """Whether p + q*sqrt(2) is more than 0."""
    if p >= 0 and q >= 0:
        return p > 0 or q > 0
    if p <= 0 and q <= 0:
        return False
    return p * p > 2 * q * q if p > 0 else 2 * q * q > p * p


def _herringbone(width: Fraction, height: Fraction, short: Fraction, long: Fraction) -> int:
    """Work in axes along the blocks: u runs up and right, v up and left from the corner.

    A lying block at (0, 0) and a standing one at (long, short - long) repeat by (short, short),
    straight up, and by (long, -long), straight to the right, without a gap.
    """
    if long < short:
        raise ValueError("a herringbone strip cannot be wider than it is long")
    columns = ceil(float(width) / (sqrt(2) * float(long))) + 2
    rows = ceil(float(height) / (sqrt(2) * float(short))) + 2
    touching = 0
    for m in range(-2, columns):
        for r in range(-2 - ceil(long / short), rows):
            u, v = r * short + m * long, r * short - m * long
            lying = (u, v, u + long, v + short)
            standing = (u + long, v + short - long, u + long + short, v + short)
            touching += _touches(lying, width, height) + _touches(standing, width, height)
    return touching


def _touches(
    block: tuple[Fraction, Fraction, Fraction, Fraction], width: Fraction, height: Fraction
) -> bool:
    """Whether the block covers some of the surface: they overlap along all four axes."""
    u, v, far_u, far_v = block
    return (
        far_u > v
        and far_u + far_v > 0
        and _positive(width, -(u - far_v) / 2)
        and _positive(height, -(u + v) / 2)
        and far_u > 0
        and _positive(width + height, -u)
        and _positive(width, far_v)
        and _positive(height, -v)
    )


def _chevron(width: Fraction, height: Fraction, strip_width: Fraction, long: Fraction) -> int:
    """A column is (long - strip_width)/sqrt(2) wide; its strips climb strip_width*sqrt(2) each."""
    if long <= strip_width:
        raise ValueError("a chevron strip must be longer than it is wide")
    column = (long - strip_width) / 2  # times sqrt(2)
    half = width / 2
    strips = j = 0
    while _positive(half, -j * column):
        whole = _positive(half, -(j + 1) * column)
        covered = (Fraction(0), column) if whole else (half, -j * column)
        strips += _column(height, strip_width, column, covered, rising=j % 2 == 0)
        j += 1
    return 2 * strips


def _column(
    height: Fraction,
    pitch: Fraction,
    column: Fraction,
    covered: tuple[Fraction, Fraction],
    *,
    rising: bool,
) -> int:
    """Strips of one column that touch; strip n starts at n * pitch * sqrt(2) on its low side."""
    p, q = covered
    top = (p, q) if rising else (Fraction(0), column)  # how far above its start it reaches
    low = (Fraction(0), Fraction(0)) if rising else (-p, column - q)
    first = -2 - ceil(float(column / pitch))
    last = 2 + ceil(float(height) / (sqrt(2) * float(pitch)))
    return sum(
        _positive(top[0], top[1] + (n + 1) * pitch)
        and _positive(height - low[0], -low[1] - n * pitch)
        for n in range(first, last)
    )
