"""Nominal sizes against the published tables, and the refusals that name something near."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notchbook.measure import count_board_feet
from notchbook.trade.nominal import NominalError, actual_size, list_plywood, nominal_inches

# Voluntary Product Standard PS 20, American Softwood Lumber Standard, dry; as listed with
# millimetres by engineeringtoolbox.com, "Softwood Lumber Dimensions" (a secondary copy).
READY = [
    ("1x2", "3/4", "3/2", 19, 38),
    ("1x3", "3/4", "5/2", 19, 64),
    ("1x4", "3/4", "7/2", 19, 89),
    ("1x6", "3/4", "11/2", 19, 140),
    ("1x8", "3/4", "29/4", 19, 184),
    ("1x10", "3/4", "37/4", 19, 235),
    ("1x12", "3/4", "45/4", 19, 286),
    ("2x2", "3/2", "3/2", 38, 38),
    ("2x3", "3/2", "5/2", 38, 64),
    ("2x4", "3/2", "7/2", 38, 89),
    ("2x6", "3/2", "11/2", 38, 140),
    ("2x8", "3/2", "29/4", 38, 184),
    ("2x10", "3/2", "37/4", 38, 235),
    ("2x12", "3/2", "45/4", 38, 286),
    ("4x4", "7/2", "7/2", 89, 89),
]


@pytest.mark.parametrize(("nominal", "thickness", "width", "mm_thick", "mm_wide"), READY)
def test_ready_pairs(nominal: str, thickness: str, width: str, mm_thick: int, mm_wide: int) -> None:
    """What a yard keeps measures what the standard says, in either unit."""
    assert actual_size(nominal, "inch") == (Fraction(thickness), Fraction(width))
    assert actual_size(nominal, "mm") == (Fraction(mm_thick), Fraction(mm_wide))
    first, second = nominal.split("x")
    assert nominal_inches(nominal) == (Fraction(first), Fraction(second))


@pytest.mark.parametrize(
    ("nominal", "thickness", "width", "mm_thick", "mm_wide"),
    [
        # the same standard's table of thickness and width, engineeringtoolbox.com, "Softwood
        # Lumber Standard"; millimetres are inches times 25.4 to the nearest whole one
        ("5/4x6", "1", "11/2", 25, 140),
        ("6/4x4", "5/4", "7/2", 32, 89),
        # boards under an inch do not follow the quarter-inch rule of thumb
        ("3/4x4", "5/8", "7/2", 16, 89),
        ("1/2x6", "7/16", "11/2", 11, 140),
        ("3x8", "5/2", "29/4", 64, 184),
        ("1x5", "3/4", "9/2", 19, 114),
        ("2x14", "3/2", "53/4", 38, 337),
    ],
)
def test_sizes_from_the_thickness_and_width_tables(
    nominal: str, thickness: str, width: str, mm_thick: int, mm_wide: int
) -> None:
    """Sizes that no list of ready pairs has come from the standard's two tables."""
    assert actual_size(nominal, "inch") == (Fraction(thickness), Fraction(width))
    assert actual_size(nominal, "mm") == (Fraction(mm_thick), Fraction(mm_wide))


@pytest.mark.parametrize("nominal", ["2x4", "2X4", "2 x 4", " 2 X4 ", "2 in x 4 in", '2"x4"'])
def test_spellings(nominal: str) -> None:
    """Spaces, capital X and inch marks do not matter."""
    assert actual_size(nominal, "inch") == (Fraction(3, 2), Fraction(7, 2))


def test_quarters_of_a_board_may_be_written_either_way() -> None:
    """5/4 is one and a quarter."""
    assert nominal_inches("5/4x6") == nominal_inches("1 1/4 x 6") == (Fraction(5, 4), Fraction(6))


@pytest.mark.parametrize(
    ("nominal", "told"),
    [
        ("4x2", "write 2x4,"),
        ("2x13", "write 2x12 "),
        ("1x1", "write 1x2 "),
        ("6x6", "'6x6' is no nominal softwood size in PS 20; write 2x6 or 4x4,"),
        ("2x4s", "write 2x4"),
        ("pine", "write 1x6 or 2x4,"),
        ("", "write 1x6 or 2x4,"),
        ("2x4x8", "three dimensions"),
        ("4/4x6", "hardwood thickness, about 13/16 in."),
        ("8/4 x 6", "hardwood thickness, about 1 3/4 in."),
        ("10/4x6", "hardwood thickness, and dealers differ"),
        ("1/0x4", "no nominal softwood size"),
        ("-2x4", "no nominal softwood size"),
        ("\uff12x4", "no nominal softwood size"),
        ("2x4" + " " * 100 + "8", "no nominal size"),
        ("9" * 5000 + "x4", "no nominal size"),
    ],
    ids=range(16),
)
def test_refused_sizes_name_something_near(nominal: str, told: str) -> None:
    """The message says what is wrong and what to write instead."""
    for attempt in (nominal_inches, lambda text: actual_size(text, "mm")):
        with pytest.raises(NominalError) as caught:
            attempt(nominal)
        assert told in str(caught.value)


@given(st.one_of(st.text(max_size=60), st.text(st.sampled_from("0123456789/ xX-."), max_size=12)))
def test_nothing_but_a_nominal_error_is_raised(text: str) -> None:
    """Random text is a size or is refused; a board never gains by being dressed."""
    try:
        nominal = nominal_inches(text)
    except NominalError as error:
        assert str(error).isprintable()
        return
    actual = actual_size(text, "inch")
    assert all(0 < real < said for real, said in zip(actual, nominal, strict=True))


def test_board_feet_use_nominal_sizes() -> None:
    """A 14-ft 2x4 is 2 x 4 x 14 / 12 (US Navy, Engineering Aid Basic: nominal sizes count)."""
    assert count_board_feet(*nominal_inches("2x4"), Fraction(14 * 12)) == Fraction(28, 3)


# Voluntary Product Standard PS 1, as printed by APA, "Performance Category"
# (apawood-europe.org): category, least, most, label.
CATEGORIES = [
    ("1/4", "0.219", "0.281", "0.225"),
    ("11/32", "0.313", "0.375", "0.322"),
    ("3/8", "0.344", "0.406", "0.354"),
    ("7/16", "0.406", "0.469", "0.418"),
    ("15/32", "0.438", "0.500", "0.451"),
    ("1/2", "0.469", "0.531", "0.483"),
    ("19/32", "0.563", "0.625", "0.578"),
    ("5/8", "0.594", "0.656", "0.609"),
    ("23/32", "0.688", "0.750", "0.703"),
    ("3/4", "0.719", "0.781", "0.734"),
    ("7/8", "0.831", "0.919", "0.849"),
    ("1", "0.950", "1.050", "0.970"),
    ("9/8", "1.069", "1.181", "1.091"),
]


@pytest.mark.parametrize(("category", "least", "most", "label"), CATEGORIES)
def test_plywood_categories(category: str, least: str, most: str, label: str) -> None:
    """The range is the printed one, holds the label, and is the printed tolerance wide.

    The same page gives the tolerance: 1/32 in. to 13/16, 5 % above; printed to a thousandth.
    """
    found = list_plywood()[Fraction(category)]
    assert found == (Fraction(least), Fraction(most))
    assert found[0] < Fraction(label) < found[1]
    nominal = Fraction(category)
    tolerance = Fraction(1, 32) if nominal <= Fraction(13, 16) else nominal / 20
    for real, exact in zip(found, (nominal - tolerance, nominal + tolerance), strict=True):
        assert abs(real - exact) <= Fraction(1, 1000)
