"""Laid surfaces: how many strips touch, counted exactly and checked by a lattice of points."""

from fractions import Fraction
from typing import Any

import pytest

from notchbook.measure import Ruler
from notchbook.plan_views.ink.laid_surfaces import draw_laid_surface
from notchbook.planning import Pattern, count_strips_needed
from notchbook.planning.geometry.outlines import LaidSurface, Outline
from notchbook.planning.geometry.root_two import RootTwo


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
    assert count_strips_needed(pattern, *sides) == strips


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
    counted = count_strips_needed(pattern, *(Fraction(side) for side in (*surface, *strip)))
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
        count_strips_needed(
            pattern, Fraction(12), Fraction(20), Fraction(strip[0]), Fraction(strip[1])
        )


Sizes = tuple[Fraction | int, Fraction | int, Fraction | int, Fraction | int]
SIZES: tuple[Sizes, ...] = (
    (12, 20, 2, 8),
    (9, 7, 1, 3),
    (Fraction(29, 3), Fraction(51, 8), Fraction(7, 8), Fraction(17, 5)),
    (Fraction(1, 3), Fraction(1, 7), 1, 3),
    (305, 203, 30, 120),
)
PATTERNS: tuple[Pattern, ...] = ("straight", "herringbone", "chevron")


def lay(pattern: Pattern, sizes: Sizes) -> LaidSurface:
    return LaidSurface(pattern, *(Fraction(size) for size in sizes))


@pytest.mark.parametrize("pattern", PATTERNS)
@pytest.mark.parametrize("sizes", SIZES)
def test_trimmed_strips_are_the_surface(pattern: Pattern, sizes: Sizes) -> None:
    """Their areas add up to the surface's, exactly, and every point lies on just one of them."""
    found = lay(pattern, sizes)
    areas = [strip.area for strip in found.strips]
    total = sum(areas, start=RootTwo(Fraction(0)))

    assert total == RootTwo(found.width * found.height)
    assert all(RootTwo(Fraction(0)) < area for area in areas)
    assert len(areas) == count_strips_needed(pattern, *(Fraction(size) for size in sizes))
    for strip in found.strips:
        assert all(0 <= float(x) <= found.width + 1e-9 for x, _ in strip.trimmed)
        assert all(0 <= float(y) <= found.height + 1e-9 for _, y in strip.trimmed)
        assert strip.length <= found.strip_length + 1e-9
    for n in range(1, 41):
        at = float(found.width) * (n * 0.6180 % 1), float(found.height) * (n * 0.7549 % 1)
        assert sum(covers(strip.trimmed, *at) for strip in found.strips) == 1


def covers(outline: Outline, x: float, y: float) -> bool:
    """Whether a point lies left of every edge of an outline that runs against the clock."""
    corners = [(float(a), float(b)) for a, b in outline]
    edges = zip(corners, [*corners[1:], corners[0]], strict=True)
    return all((c - a) * (y - b) - (d - b) * (x - a) > 0 for (a, b), (c, d) in edges)


@pytest.mark.parametrize("sizes", SIZES)
def test_a_chevron_is_the_same_on_both_sides(sizes: Sizes) -> None:
    """Each strip has its mirror image across the centre line."""
    found = lay("chevron", sizes)
    outlines = {frozenset(strip.trimmed) for strip in found.strips}
    width = RootTwo(found.width)

    assert outlines == {frozenset((width - x, y) for x, y in outline) for outline in outlines}


def test_a_herringbone_worked_by_hand() -> None:
    """At the corner two lying blocks share the diagonal of a tenth: a triangle of each shows."""
    found = lay("herringbone", (Fraction(1, 10), Fraction(1, 10), 1, 3))

    assert [float(strip.area) for strip in found.strips] == pytest.approx([1 / 200] * 2)
    assert {strip.grain for strip in found.strips} == {"rising"}
    assert [strip.length for strip in found.strips] == pytest.approx([2**0.5 / 10] * 2)


def test_a_chevron_worked_by_hand() -> None:
    """Strips of 1 x 3 on a surface of 2 x 1: four of them, none whole.

    A column is 2 / sqrt 2 = 1.414 wide and a strip climbs 1.414. On the half of 1 x 1, the strip
    from the corner covers all but the triangle under its lower edge, 1/2 x 1 x 1; the strip below
    fills that. Their left-over lengths, long point to long point along the grain: the upper one
    runs from (0, 1) to (1, 1), and its lower edge from (0, 0) to (1, 1): sqrt 2; the triangle
    (0, 0), (1, 0), (1, 1) also sqrt 2.
    """
    found = lay("chevron", (2, 1, 1, 3))

    assert [float(strip.area) for strip in found.strips] == pytest.approx([0.5] * 4)
    assert [strip.length for strip in found.strips] == pytest.approx([2**0.5] * 4)
    assert found.whole == 0
    assert found.measure_cut_away(4) == pytest.approx(1 - 2 / 12)


def test_the_picture_is_to_scale() -> None:
    """The surface's sides in pixels are in the proportion of its sides, and fill the paper."""
    ruler = Ruler("inch", Fraction(1, 32))
    for sizes in SIZES[:2]:
        picture = draw_laid_surface("face", lay("herringbone", sizes), ruler, 4.0, 5.0)
        (drawn,) = picture.drawn
        left, top, right, bottom = drawn.pixels

        assert (drawn.across, drawn.up) == sizes[:2]
        across = (right - left) / float(drawn.across)
        assert (bottom - top) / float(drawn.up) == pytest.approx(across, rel=0.003)
        assert picture.height <= 5.01
        assert "herringbone" in picture.alt
