"""Lengths: what makers write is read exactly, refused in sentences, and shown as a tape reads."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notchbook.measure import (
    CONVERSIONS,
    UNIT_WORDS,
    MeasureError,
    Units,
    count_board_feet,
    evaluate,
    evaluate_size,
    parse_length,
    resolve_sizes,
    show_length,
    split_size,
)

SIZES = {"long": Fraction(24), "deep": Fraction(11, 2)}

WRITTEN = [
    ("3/8", "3/8"),
    ("0/8", "0"),
    ("9/8", "9/8"),
    ("1 1/2", "3/2"),
    ("1-1/2", "3/2"),
    ("1   1/2", "3/2"),
    (" 14.375 ", "115/8"),
    (".5", "1/2"),
    ("-1 1/2", "-3/2"),
    ("0", "0"),
    ("5' 3 1/4\"", "253/4"),
    ("5'3\"", "63"),
    ("5'-3 1/4\"", "253/4"),
    ("-5' 3\"", "-63"),
    ("5'", "60"),
    ("5 1/2'", "66"),
    ('3 1/4"', "13/4"),
    ("3 ft 2 in", "38"),
    ("2 feet", "24"),
    ("365 mm", "1825/127"),
    ("25.4mm", "1"),
    ("2.54 cm", "1"),
    ("0.0254 m", "1"),
    (20, "20"),
    (14.375, "115/8"),
    (0.1, "1/10"),
    (1e-05, "1/100000"),
]


@pytest.mark.parametrize(("written", "inches"), WRITTEN)
def test_lengths_in_an_inch_shop(written: str | float, inches: str) -> None:
    """Every accepted spelling gives its exact number of inches."""
    assert parse_length(written, "inch") == Fraction(inches)


@pytest.mark.parametrize(
    ("written", "mm"),
    [("365", "365"), ("36.5 cm", "365"), ('1"', "25.4"), ("3/8 in", "9.525"), ("5'", "1524")],
)
def test_lengths_in_a_metric_shop(written: str, mm: str) -> None:
    """A bare length is in millimetres there, and others are converted."""
    assert parse_length(written, "mm") == Fraction(mm)


REFUSED = [
    "",
    "   ",
    "long",
    "3/",
    "/8",
    "3/0",
    "1 9/8",
    "1.5 1/2",
    "1 1/2 1/2",
    "1 - 1/2",
    "- 3",
    "+3",
    "5.",
    "1,000",
    "5' 3",
    "3 inlay",
    "1e999",
    "1e5",
    "nan",
    "inf",
    "1_000",
    "0x10",
    "45%",
    "\t3",
    "3\n",
    "3\u00a0mm",
    "\u0663",
    "\u00bd",
    "3\u2033",
    "\x00",
    "\ud800",
    "9" * 190,
    "1" * 10_000,
    "1 " * 5_000,
    float("nan"),
    float("inf"),
    1e300,
    10**6000,
    True,
]


@pytest.mark.parametrize("written", REFUSED, ids=range(len(REFUSED)))
def test_refused_lengths_are_told_in_one_short_line(written: str | float) -> None:
    """Whatever is not one length raises MeasureError, with one line that says what to write."""
    with pytest.raises(MeasureError) as caught:
        parse_length(written, "inch")
    message = str(caught.value)
    assert "write" in message or "use" in message
    assert message.isprintable()
    assert len(message) < 250


def test_the_inch_and_the_foot_are_exact() -> None:
    """1 in = 25.4 mm and 1 ft = 0.3048 m, by the international yard of 1959.

    Checked against the unit definitions of the pint library, pint/default_en.txt, and NIST
    Handbook 44, appendix C (the latter's digits from memory).
    """
    assert parse_length("1 in", "mm") == Fraction("25.4")
    assert parse_length("1 ft", "mm") == Fraction("304.8")
    assert parse_length("3 ft", "mm") == Fraction("914.4")
    assert parse_length("4 ft", "mm") * 2 == parse_length("8 ft", "mm") == Fraction("2438.4")
    # 1/16, 1/32 and 1/64 in: arithmetic from 25.4
    assert parse_length("1/16 in", "mm") == Fraction("1.5875")
    assert parse_length("1/32 in", "mm") == Fraction("0.79375")
    assert parse_length("1/64 in", "mm") == Fraction("0.396875")


def test_square_and_cubic_conversions_follow_from_the_inch() -> None:
    """1 ft2 = 0.09290304 m2 and 1 bd ft = 0.002359737216 m3, both exact.

    Arithmetic from the 25.4 mm inch; a board foot is 144 cubic inches (American Hardwood Export
    Council, "Measurement").
    """
    inch = parse_length("1 in", "mm")
    area, board = CONVERSIONS["area"], CONVERSIONS["board"]
    assert area["inch"] * inch**2 / area["mm"] == Fraction("0.09290304")
    assert board["inch"] * inch**3 / board["mm"] == Fraction("0.002359737216")
    assert CONVERSIONS["run"]["inch"] * inch / CONVERSIONS["run"]["mm"] == Fraction("0.3048")


def test_conversions_and_words_know_both_units() -> None:
    """Formulas and headers never meet a unit system that a table forgot."""
    for table in (*CONVERSIONS.values(), *UNIT_WORDS.values()):
        assert set(table) == {"inch", "mm"}
    assert CONVERSIONS["hour"]["mm"] == 60
    assert CONVERSIONS["year"]["inch"] == 12
    assert CONVERSIONS["both"]["mm"] == 2
    assert CONVERSIONS["least_board"] == {"inch": 1, "mm": 0}
    assert UNIT_WORDS["volume"] == {"inch": "bd ft", "mm": "m3"}


@pytest.mark.parametrize(
    ("pieces", "thickness", "width", "feet", "expected"),
    [
        # US Navy, Engineering Aid Basic, lumber measurement: a 14-ft 2x4 (inputs from there)
        (1, "2", "4", "14", "28/3"),
        # American Hardwood Export Council, "Measurement": 2 in x 6 1/4 in x 8 ft is 4 1/6 ft2 of
        # face, here before the rounding that graders apply
        (1, "2", "6 1/4", "8", "25/3"),
        # G. W. Danforth, Mechanical Processes, ch. 46, bill of lumber; 1/2 in counts as 1 in
        (12, "1/2", "8", "12", "96"),
        (80, "1 1/2", "6", "16", "960"),
        (40, "2", "6", "16", "640"),
        (30, "1", "12", "14", "420"),
    ],
)
def test_board_feet_as_published(
    pieces: int, thickness: str, width: str, feet: str, expected: str
) -> None:
    """Printed board-foot bills come out exactly."""
    size = (parse_length(text, "inch") for text in (thickness, width, f"{feet} ft"))
    assert pieces * count_board_feet(*size) == Fraction(expected)


CALCULATIONS = [
    ("long - 1 1/2", "45/2"),
    ("long - 1-1/2", "45/2"),
    ("1-1/2 - 1", "1/2"),
    ("2 * long", "48"),
    ("long * 2 - deep / 2", "181/4"),
    ("(long + deep) / 2", "59/4"),
    ("( long + deep ) / 2", "59/4"),
    ("long - deep - 1", "35/2"),
    ("long / 2 / 3", "4"),
    ("long / deep", "48/11"),
    ("long / deep * deep", "24"),
    ("24 in / long", "1"),
    ("3 / 8 * long", "9"),
    ("3/8 * long", "9"),
    ("1 - -3", "4"),
    ("long + 1' 2\"", "38"),
    ("long + 25.4 mm", "25"),
    (6, "6"),
    (0.1, "1/10"),
]


@pytest.mark.parametrize(("text", "expected"), CALCULATIONS)
def test_calculations(text: str | float, expected: str) -> None:
    """Named sizes, operators with spaces, and brackets give exact lengths."""
    assert evaluate(text, "inch", SIZES) == Fraction(expected)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("long * deep", "product of two lengths"),
        ("2 in * long", "product of two lengths"),
        ("2 / long", "plain number divided by a length"),
        ("long / 0", "divides by zero"),
        ("long / (deep - deep)", "divides by zero"),
        ("lnog + 1", "'lnog'; write long"),
        ("Long", "'Long'; write long"),
        ("width", "the sizes are long, deep"),
        ("x", "between the dimensions"),
        ("long-1", "- without a space"),
        ("long -1", "- without a space"),
        ("long/2", "/ without a space"),
        ("2*long", "* without a space"),
        ("+ 2", "+ without a space"),
        ("long +", "+ without a space"),
        ("-long", "minus before something"),
        ("long 3", "side by side"),
        ("5' 3", "inches after feet need their mark"),
        ("3 x 4", "not a size of several"),
        ("3/4x4", "both sides of a small x"),
        ("(long", "not closed"),
        ("long)", "closing bracket too many"),
        ("()", "missing before )"),
        ("( - 3)", "missing before -"),
        ("long % 2", "'%'"),
        ("1 / 3 ** 2", "* without a space"),
        ("__import__", "no size named"),
        ("long.real", "'.'"),
        ("1e999", "side by side"),
        ("1000000000 * 2", "over 1000000000"),
        ("(" * 30 + "1" + ")" * 30, "20 deep"),
        ("long" + " " * 300, "304 characters long"),
    ],
)
def test_refused_calculations(text: str, told: str) -> None:
    """Each refusal says which rule was broken."""
    with pytest.raises(MeasureError) as caught:
        evaluate(text, "inch", SIZES)
    assert told in str(caught.value)


def test_nested_brackets_within_the_limit() -> None:
    """Twenty brackets deep still works."""
    assert evaluate("(" * 20 + "long" + ")" * 20, "inch", SIZES) == 24


def test_a_size_is_parted_at_each_x() -> None:
    """The x binds last, and spaces around it do not matter."""
    assert split_size("3/4 x deep - 1  x long") == ("3/4", "deep - 1", "long")
    assert split_size("5 1/2") == ("5 1/2",)
    found = evaluate_size("3/4 x deep - 1 1/2 x long", "inch", SIZES, 3)
    assert found == (Fraction(3, 4), Fraction(4), Fraction(24))
    assert evaluate_size(12, "mm", {}, 1) == (Fraction(12),)


@pytest.mark.parametrize(
    ("text", "dimensions", "told"),
    [
        ("3/4 x 5", 3, "has 2 dimensions; a size is thickness x width x length"),
        ("3/4x5x6", 3, "has no blanks around its x; write it with blanks: 3/4 x 5 x 6"),
        ("1 x 2 x 3", 2, "two lengths"),
        ("1 x 2", 1, "one length"),
        ("1", 4, "4 lengths"),
        ("1 x 0", 2, "'0' in a size comes to zero"),
        ("deep - long x 2", 2, "less than zero"),
        ("(1 x 2)", 2, "not closed"),
        (10**6000, 2, "has 1 dimension"),
    ],
    ids=range(9),
)
def test_refused_sizes(text: str | int, dimensions: int, told: str) -> None:
    """The wrong number of dimensions, and dimensions that are nothing, are told."""
    with pytest.raises(MeasureError) as caught:
        evaluate_size(text, "inch", SIZES, dimensions)
    assert told in str(caught.value)


def test_sizes_may_use_one_another_in_any_order() -> None:
    """An entry may stand before what it needs; order is kept."""
    found, errors = resolve_sizes({"slat": "long - 1 1/2", "long": "2 * deep", "deep": 12}, "inch")
    assert found == {"slat": Fraction(45, 2), "long": 24, "deep": 12}
    assert list(found) == ["slat", "long", "deep"]
    assert errors == {}


def test_each_broken_size_is_told_and_the_others_still_come_out() -> None:
    """Circles, unknown names, refused names and what hangs on them; the rest is worked out."""
    sizes: dict[str, str | int | float] = {
        "long": "deep + 1",
        "deep": "long",
        "behind": "long / 2",
        "own": "own",
        "typo": "god + 1",
        "hangs": "typo",
        "x": 3,
        "Big": 1,
        "zero": "1 / 0",
        "yes": True,
        "good": 0.375,
    }
    found, errors = resolve_sizes(sizes, "inch")
    assert found == {"good": Fraction(3, 8)}
    assert list(errors) == [name for name in sizes if name != "good"]
    assert errors["long"].startswith("long needs deep, deep needs long;")
    assert errors["deep"] == errors["long"]
    assert errors["behind"].startswith("this needs long")
    assert errors["own"].startswith("own needs own;")
    assert "write good" in errors["typo"]
    assert errors["hangs"].startswith("this needs typo")
    assert "cannot be named x" in errors["x"]
    assert "small letters" in errors["Big"]
    assert "divides by zero" in errors["zero"]
    assert "'True'" in errors["yes"]


def test_long_chains_and_long_circles() -> None:
    """Two thousand entries that need one another do not exhaust anything."""
    chain: dict[str, str | int | float] = {f"a{i}": f"a{i + 1} + 1" for i in range(2000)}
    found, errors = resolve_sizes(chain | {"a2000": 1}, "mm")
    assert found["a0"] == 2001
    assert errors == {}
    found, errors = resolve_sizes(chain | {"a2000": "a0"}, "mm")
    assert found == {}
    assert len(errors) == 2001
    assert max(map(len, errors.values())) < 200


def test_chained_sizes_cannot_grow_without_end() -> None:
    """Squaring through ratios, or dividing thousands of times, is stopped and told."""
    squares: dict[str, str | int | float] = {"a0": "1/3"}
    squares |= {f"a{i + 1}": f"a{i} / (1 in / a{i})" for i in range(2000)}
    found, errors = resolve_sizes(squares, "inch")
    assert found["a3"] == Fraction(1, 3**8)
    assert any("over 1000000000" in told for told in errors.values())
    thirds: dict[str, str | int | float] = {"a0": "1"}
    thirds |= {f"a{i + 1}": f"a{i} / 3" for i in range(3000)}
    found, errors = resolve_sizes(thirds, "inch")
    assert found["a2000"] == Fraction(1, 3**2000)
    assert any("endless fraction" in told for told in errors.values())


@pytest.mark.parametrize(
    ("value", "finest", "shown"),
    [
        ("115/8", "1/32", "14 3/8"),
        ("7/16", "1/32", "7/16"),
        ("20", "1/32", "20"),
        ("0", "1/32", "0"),
        ("-3/2", "1/32", "-1 1/2"),
        ("-7/16", "1/32", "-7/16"),
        ("1/64", "1/32", "~1/32"),
        ("-1/64", "1/32", "~-1/32"),
        ("1/64", "1/64", "1/64"),
        ("3/64", "1/32", "~1/16"),
        ("1/3", "1/16", "~5/16"),
        ("12.999", "1/32", "~13"),
        ("-0.001", "1/32", "~0"),
        ("14.3750000001", "1/32", "14 3/8"),
        ("14.37500001", "1/32", "~14 3/8"),
    ],
)
def test_inches_are_shown_as_mixed_fractions(value: str, finest: str, shown: str) -> None:
    """Rounded half away from zero, reduced, and marked where rounding changed the value."""
    assert show_length(Fraction(value), "inch", Fraction(finest)) == shown


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (365, "365"),
        (365.125, "365.13"),
        (-365.125, "-365.13"),
        (2.5, "2.5"),
        (-0.004, "0"),
        (100.0, "100"),
        (0.1 + 0.2, "0.3"),
        (9.999, "10"),
        (2.675, "2.68"),
    ],
)
def test_millimetres_are_shown_with_two_decimals(value: float, shown: str) -> None:
    """At most two decimals, no zeros behind, no mark."""
    assert show_length(value, "mm") == shown


def test_what_cannot_be_shown() -> None:
    """Values that are no length, and a step that is none, raise MeasureError."""
    for value in (float("nan"), float("inf"), 1e300, Fraction(10**12)):
        with pytest.raises(MeasureError):
            show_length(value, "inch")
    with pytest.raises(MeasureError):
        show_length(1, "inch", Fraction(0))


sixty_fourths = st.integers(-(10**6), 10**6).map(lambda n: Fraction(n, 64))
decimals = st.decimals(-10_000, 10_000, places=4)
units = st.sampled_from(["inch", "mm"])
makers_text = st.text(st.sampled_from("0123456789/. -+*()'\"xinchmftlogde_"), max_size=60)
anything = st.one_of(st.text(max_size=250), makers_text, st.floats(), st.integers(), st.booleans())


@given(sixty_fourths)
def test_shown_inches_read_back(value: Fraction) -> None:
    """Every multiple of 1/64 in comes back exactly from how it is shown."""
    assert parse_length(show_length(value, "inch", Fraction(1, 64)), "inch") == value


@given(st.integers(-(10**8), 10**8).map(lambda n: Fraction(n, 100)))
def test_shown_millimetres_read_back(value: Fraction) -> None:
    """Every hundredth of a millimetre comes back exactly."""
    assert parse_length(show_length(value, "mm"), "mm") == value


@given(sixty_fourths, st.sampled_from([Fraction(1, n) for n in (1, 2, 8, 10, 16, 32)]))
def test_shown_inches_are_within_half_a_step(value: Fraction, finest: Fraction) -> None:
    """Rounding moves a value by half a step at most, and is marked exactly when it moves it."""
    shown = show_length(value, "inch", finest)
    read = parse_length(shown.removeprefix("~"), "inch")
    assert abs(read - value) <= finest / 2
    assert shown.startswith("~") == (read != value)


@given(decimals)
def test_floats_are_the_decimals_that_were_written(value: object) -> None:
    """A float from a file means its decimal, as the text would."""
    assert parse_length(float(str(value)), "inch") == Fraction(str(value))


@given(sixty_fourths, sixty_fourths)
def test_addition_is_exact(left: Fraction, right: Fraction) -> None:
    """Adding what is shown adds the values."""
    step = Fraction(1, 64)
    text = f"{show_length(left, 'inch', step)} + {show_length(right, 'inch', step)}"
    assert evaluate(text, "inch", {}) == left + right


@given(decimals)
def test_inches_and_millimetres_convert_exactly(number: object) -> None:
    """The same length in either shop differs by 25.4 exactly, and returns unchanged."""
    value = Fraction(str(number))
    assert parse_length(f"{number:f} in", "mm") == value * Fraction("25.4")
    assert parse_length(f"{number:f} mm", "inch") * Fraction("25.4") == value


@given(st.lists(st.tuples(st.sampled_from("+-*/"), st.integers(1, 9)), max_size=8))
def test_precedence_is_that_of_arithmetic(steps: list[tuple[str, int]]) -> None:
    """Products before sums, from the left, as Python's own arithmetic has it."""
    text = "7" + "".join(f" {operator} {number}" for operator, number in steps)
    spelled = "Fraction(7)" + "".join(f"{operator}Fraction({n})" for operator, n in steps)
    # the text that is run is built above, from digits and + - * /
    assert evaluate(text, "inch", {}) == eval(spelled, {"Fraction": Fraction})


@given(anything, units)
def test_nothing_but_a_measure_error_is_raised(written: str | float, shop: Units) -> None:
    """Random text and numbers are lengths or are refused, in one printable line."""
    for attempt in (
        lambda: parse_length(written, shop),
        lambda: evaluate(written, shop, SIZES),
        lambda: evaluate_size(written, shop, SIZES, 3),
    ):
        try:
            attempt()
        except MeasureError as error:
            assert str(error).isprintable()


@given(st.dictionaries(st.one_of(st.sampled_from("abcx"), st.text(max_size=4)), anything), units)
def test_every_size_comes_out_once(sizes: dict[str, str | int | float], shop: Units) -> None:
    """Whatever the entries are, each is worked out or told of, never both, never neither."""
    found, errors = resolve_sizes(sizes, shop)
    assert found.keys() | errors.keys() == sizes.keys()
    assert not found.keys() & errors.keys()


entries = st.dictionaries(
    st.sampled_from("abcdef"), st.sampled_from(["1", "a", "b + c", "d / 2", "e - f", "f"])
)


@given(entries, units)
def test_found_sizes_agree_with_their_own_entries(sizes: dict[str, str], shop: Units) -> None:
    """Each worked-out size equals its calculation over the worked-out ones."""
    found, _ = resolve_sizes(sizes, shop)
    for name, value in found.items():
        assert evaluate(sizes[name], shop, found) == value


def test_measuring_needs_only_the_standard_library() -> None:
    """Importing it pulls in no spreadsheet, table or YAML library."""
    heavy = "openpyxl pandas pydantic ruamel click highspy numpy"
    script = (
        "import sys, notchbook.measure, notchbook.trade.nominal\n"
        f"print([name for name in {heavy.split()!r} if name in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
