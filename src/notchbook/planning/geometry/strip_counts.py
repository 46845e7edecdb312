"""How many strips touch a surface laid in a pattern, counted in exact arithmetic.

Strips that only meet the surface's edge do not count; a strip that is cut off counts whole, and
what is cut off is not used again. Positions are numbers p + q*sqrt(2), compared without rounding.
`outlines` draws the same strips.
"""

from collections.abc import Iterator
from fractions import Fraction
from math import ceil, sqrt
from typing import Literal

from notchbook.planning.geometry.root_two import is_positive

Pattern = Literal["straight", "herringbone", "chevron"]
Block = tuple[Fraction, Fraction, Fraction, Fraction]


def count_strips_needed(
    pattern: Pattern,
    width: Fraction,
    height: Fraction,
    strip_width: Fraction,
    strip_length: Fraction,
) -> int:
    """Count the strips that touch a surface of `width` x `height`; all lengths in one unit.

    straight: strips stand in columns from the lower left corner; each column starts a new strip.
    herringbone: blocks at right angles, turned 45 degrees; one block's corner lies in the lower
    left corner of the surface. chevron: strips with both ends cut parallel at 45 degrees,
    `strip_length` from long point to long point, in columns to both sides of the centre line,
    where two strips meet in a point on the lower edge.

    Raises ValueError for a size that is not more than 0, for a herringbone strip wider than it is
    long, for a chevron strip not longer than it is wide, and for a pattern not known.
    """
    check_sizes(pattern, width, height, strip_width, strip_length)
    if pattern == "straight":
        return ceil(width / strip_width) * ceil(height / strip_length)
    if pattern == "herringbone":
        return sum(1 for _ in list_herringbone_blocks(width, height, strip_width, strip_length))
    return 2 * sum(1 for _ in list_chevron_strips(width, height, strip_width, strip_length))


def check_sizes(
    pattern: Pattern,
    width: Fraction,
    height: Fraction,
    strip_width: Fraction,
    strip_length: Fraction,
) -> None:
    """Raise ValueError for strips that cannot be laid in a pattern."""
    if min(width, height, strip_width, strip_length) <= 0:
        raise ValueError("surface and strip sizes must be more than 0")
    if pattern not in ("straight", "herringbone", "chevron"):
        raise ValueError(f"no pattern {pattern}; write straight, herringbone or chevron")
    if pattern == "herringbone" and strip_length < strip_width:
        raise ValueError("a herringbone strip cannot be wider than it is long")
    if pattern == "chevron" and strip_length <= strip_width:
        raise ValueError("a chevron strip must be longer than it is wide")


def list_straight_places(
    width: Fraction, height: Fraction, strip_width: Fraction, strip_length: Fraction
) -> Iterator[tuple[Fraction, Fraction]]:
    """List the lower left corner of each strip, column by column."""
    for column in range(ceil(width / strip_width)):
        for row in range(ceil(height / strip_length)):
            yield column * strip_width, row * strip_length


def list_herringbone_blocks(
    width: Fraction, height: Fraction, short: Fraction, long: Fraction
) -> Iterator[Block]:
    """List the blocks that touch, as (u, v, far u, far v) along the blocks.

    u runs up and right, v up and left from the surface's corner. A lying block at (0, 0) and a
    standing one at (long, short - long) repeat by (short, short), straight up, and by
    (long, -long), straight to the right, without a gap.
    """
    columns = ceil(float(width) / (sqrt(2) * float(long))) + 2
    rows = ceil(float(height) / (sqrt(2) * float(short))) + 2
    for m in range(-2, columns):
        for r in range(-2 - ceil(long / short), rows):
            u, v = r * short + m * long, r * short - m * long
            lying = (u, v, u + long, v + short)
            standing = (u + long, v + short - long, u + long + short, v + short)
            for block in (lying, standing):
                if _touches(block, width, height):
                    yield block


def _touches(block: Block, width: Fraction, height: Fraction) -> bool:
    """Tell whether the block covers some of the surface: they overlap along all four axes."""
    u, v, far_u, far_v = block
    return (
        far_u > v
        and far_u + far_v > 0
        and is_positive(width, -(u - far_v) / 2)
        and is_positive(height, -(u + v) / 2)
        and far_u > 0
        and is_positive(width + height, -u)
        and is_positive(width, far_v)
        and is_positive(height, -v)
    )


def list_chevron_strips(
    width: Fraction, height: Fraction, strip_width: Fraction, long: Fraction
) -> Iterator[tuple[int, int]]:
    """List the strips right of the centre line that touch: (column, number upwards).

    A column is (long - strip_width)/sqrt(2) wide; its strips climb strip_width*sqrt(2) each.
    Those left of the centre line are their mirror images.
    """
    column = (long - strip_width) / 2  # times sqrt(2)
    half = width / 2
    j = 0
    while is_positive(half, -j * column):
        whole = is_positive(half, -(j + 1) * column)
        covered = (Fraction(0), column) if whole else (half, -j * column)
        for n in _column(height, strip_width, column, covered, rising=j % 2 == 0):
            yield j, n
        j += 1


def _column(
    height: Fraction,
    pitch: Fraction,
    column: Fraction,
    covered: tuple[Fraction, Fraction],
    *,
    rising: bool,
) -> Iterator[int]:
    """Strips of one column that touch; strip n starts at n * pitch * sqrt(2) on its low side."""
    p, q = covered
    top = (p, q) if rising else (Fraction(0), column)  # how far above its start it reaches
    low = (Fraction(0), Fraction(0)) if rising else (-p, column - q)
    first = -2 - ceil(float(column / pitch))
    last = 2 + ceil(float(height) / (sqrt(2) * float(pitch)))
    for n in range(first, last):
        above = is_positive(top[0], top[1] + (n + 1) * pitch)
        if above and is_positive(height - low[0], -low[1] - n * pitch):
            yield n
