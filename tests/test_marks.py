"""Marks: where each one reads on the tape, that the row is the same from both ends, what fits."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from notchbook.definitions import DefinitionError
from notchbook.measure import CONVERSIONS, Units
from notchbook.sheets.kit.calculate import Filled, calculate
from notchbook.sheets.making.cut_list import CutRow
from notchbook.shop.mark_rows import Rows, find_meeting_marks, work_out_marks
from notchbook.shop.pipeline import check

from .every_book import BOOKS
from .searching import examples
from .shops import GOOD, write_shop
from .worked import value

F = Fraction
INCH_32 = F(1, 32)


def bar(length: Fraction) -> CutRow:
    size = {"thickness": F(3, 4), "width": F(4), "length": length}
    return CutRow(project="thing", part="bar", make=1, stocks="s", **size)


def marked(
    length: Fraction | int,
    *rows: dict[str, Any],
    finest: Fraction = INCH_32,
    units: Units = "inch",
) -> Filled:
    """Rows of marks on one part."""
    marks: Rows = [
        {"project": "thing", "part": "bar", "mark": "notch", "row": n} | row
        for n, row in enumerate(rows, 1)
    ]
    return work_out_marks(BOOKS["us"], [bar(F(length))], marks, units, finest)


def read(filled: Filled, column: str = "at") -> list[Any]:
    found: list[Any] = filled.tables["Readings"][column].tolist()
    return found


# --- worked by hand ------------------------------------------------------------------------------


def test_four_hooks_evenly_on_a_rail() -> None:
    """28 long, 2 at each end: three gaps of 8 (28 - 2 x 2 = 24 = 3 x 8)."""
    filled = marked(28, {"mark": "hook", "count": 4, "spread": "even", "margin": 2})

    assert read(filled) == [2, 10, 18, 26]
    assert read(filled, "to") == [0, 0, 0, 0]
    assert value(filled, "Readings", "set_out") == "center"


def test_thirds_are_rounded_alike_from_both_ends() -> None:
    """10 long, 3 marks' gaps of a third each: 3 1/3 and 6 2/3 read 3 11/32 and 6 21/32.

    3 1/3 is 106.67 of 1/32; 6 2/3 is 213.33, read 213, and its mirror image is 320 - 213 = 107.
    """
    filled = marked(10, {"mark": "hole", "count": 4, "spread": "even", "margin": 0})

    assert read(filled) == [0, approx(107 / 32), approx(213 / 32), 10]


def test_notches_are_read_at_both_edges() -> None:
    """first 1/2, gap 3, size 1: 1/2 to 1 1/2, 4 1/2 to 5 1/2, 8 1/2 to 9 1/2."""
    row = {"count": 3, "first": F(1, 2), "gap": 3, "along": 1, "deep": F(3, 8)}
    filled = marked(24, row)

    assert read(filled) == [0.5, 4.5, 8.5]
    assert read(filled, "to") == [1.5, 5.5, 9.5]


def test_hardware_stands_as_far_apart_as_its_plates_allow() -> None:
    """Three plates 2 wide on 16, 1 at each end: (16 - 2 - 6) / 2 = 4 between; centres 2, 8, 14."""
    row = {"mark": "hook", "count": 3, "spread": "even", "margin": 1, "along": 2, "deep": 0}
    filled = marked(16, row)

    assert value(filled, "Marks", "clear") == 4
    assert read(filled) == [2, 8, 14]


def test_an_odd_length_puts_the_middle_mark_on_half_a_fraction() -> None:
    """Half of 10 1/32 is 5 1/64: no other place is as far from both ends."""
    filled = marked(F(321, 32), {"mark": "hole", "count": 1, "spread": "centred", "gap": 0})

    assert read(filled) == [321 / 64]


def test_whole_millimetres() -> None:
    """1000 mm, 4 holes, 50 at both ends: gaps of 300; with 5 marks 225."""
    for count, expected in ((4, [50, 350, 650, 950]), (5, [50, 275, 500, 725, 950])):
        row = {"mark": "hole", "count": count, "spread": "even", "margin": 50}
        assert read(marked(1000, row, finest=F(1), units="mm")) == expected


@pytest.mark.parametrize(
    ("row", "state"),
    [
        ({"count": 2, "first": 1, "gap": 7, "along": 1}, ""),  # ends at 10, the part's end
        ({"count": 2, "first": 1, "gap": F(71, 10), "along": 1}, "does not fit"),
        ({"count": 3, "spread": "even", "margin": 4, "along": 1}, "does not fit"),
        ({"count": 2, "spread": "even", "margin": 40}, "does not fit"),
        ({"count": 1, "spread": "centred", "gap": 0, "along": 11}, "does not fit"),
        ({"count": 1, "first": 1, "along": 1, "deep": 4}, ""),
        ({"count": 1, "first": 1, "along": 1, "deep": F(33, 8)}, "too deep"),
        ({"count": 200, "spread": "even", "margin": 0, "along": F(1, 32)}, ""),
        ({"count": 200, "spread": "even", "margin": 0, "along": F(1, 16)}, "does not fit"),
        ({"part": "leg", "count": 1, "first": 1}, "no part"),
    ],
)
def test_states_of_a_row_of_marks(row: dict[str, Any], state: str) -> None:
    """On a part of 3/4 x 4 x 10."""
    assert value(marked(10, row), "Marks", "state") == state


def test_rows_that_meet_are_named() -> None:
    """A notch from 4 to 6 and a stamp from 5 1/2 meet; one from 6 on does not."""
    notch = {"count": 1, "first": 4, "along": 2}
    stamp = {"mark": "stamp", "count": 1, "first": F(11, 2), "along": 1}
    beside = {"mark": "stamp", "count": 2, "first": 6, "gap": 1, "along": 1}
    filled = marked(10, notch, stamp)

    assert filled.tables["Marks"]["meets"].tolist() == [2, 1]
    assert filled.tables["Marks"]["meets_what"].tolist() == ["stamp", "notch"]
    assert len(find_meeting_marks(filled)) == 1
    assert find_meeting_marks(marked(10, notch, beside)) == []


def test_marks_left_out_since_the_compile() -> None:
    """With a lower count the last readings are left out, and the row asks for a compile."""
    filled = marked(28, {"mark": "hook", "count": 4, "spread": "even", "margin": 2})
    filled.tables["Marks"]["count"] = 3.0
    units = {name: by_unit["inch"] for name, by_unit in CONVERSIONS.items()}
    calculate(BOOKS["us"], filled, units, only=("Marks", "Readings"))

    assert read(filled) == [2, 14, 26, 0]
    assert read(filled, "state")[-1] == "left out"
    assert value(filled, "Marks", "state") == "compile again"


# --- told at the file's line ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("{on: front, mark: hook, count: 2, spread: even, margin: 40}", "margins of 40 in at both"),
        (
            "{on: front, mark: notch, count: 9, spread: even, margin: 1, size: 3 x 1}",
            "9 do not fit in 24 in",
        ),
        ("{on: front, mark: hook, count: 3, first: 20, gap: 3}", "beginning at 20 in"),
        ("{on: front, mark: notch, count: 1, first: 2, size: 1 x 6}", "6 in deep"),
        ("{on: front, mark: hole, count: 1001, first: 0, gap: 0}", "at most 1,000"),
    ],
)
def test_what_does_not_fit_is_told_at_its_line(tmp_path: Path, written: str, told: str) -> None:
    """The rules of the sheet tell it, before anything is compiled."""
    file = "projects/herb-rail.yaml"
    before, after = GOOD[file].split("marks:\n")
    shop = write_shop(tmp_path, **{file: f"{before}marks:\n  - {written}\n{after}"})
    with pytest.raises(DefinitionError) as caught:
        check(shop, None)
    (problem,) = caught.value.problems

    assert (problem.file, problem.line) == (file, before.count("\n") + 2)
    assert told in problem.message


# --- whatever the numbers ------------------------------------------------------------------------


@st.composite
def layouts(draw: st.DrawFn) -> tuple[Fraction, dict[str, Any], Fraction]:
    """An even row that fits: the length follows from margins, sizes and gaps, finer than shown."""
    finest = draw(st.sampled_from([F(1, 8), F(1, 16), F(1, 32), F(1), F(1, 10)]))
    finer = finest / draw(st.sampled_from([1, 2, 3, 7, 10]))
    count = draw(st.integers(2, 9))
    margin, gap, along = (finer * draw(st.integers(0, 90)) for _ in range(3))
    length = 2 * margin + count * along + (count - 1) * gap
    row = {"count": count, "spread": "even", "margin": margin, "along": along}
    row["mark"] = draw(st.sampled_from(["notch", "stamp"]))
    return max(length, finest), row, finest


@examples(40)
@given(layouts())
def test_even_spread_is_exactly_alike_from_both_ends(
    layout: tuple[Fraction, dict[str, Any], Fraction],
) -> None:
    """In whole fractions: mirrored, in order, without overlap, and as long as the part reads."""
    length, row, finest = layout
    filled = marked(length, row, finest=finest)
    marks, readings = filled.tables["Marks"].iloc[0], filled.tables["Readings"]

    def steps(reading: float) -> Fraction:
        """A reading in half fractions, which must be a whole number of them."""
        halves = round(reading / float(finest) * 2)
        assert reading == approx(halves * float(finest) / 2)
        return F(halves, 2)

    edges = marks["set_out"] == "edges"
    starts = [steps(at) for at in readings["at"]]
    ends = [steps(to) for to in readings["to"]] if edges else starts
    whole = steps(marks["length_read"])

    assert marks["state"] == ""
    assert whole.denominator == 1
    assert abs(whole * finest - length) <= finest / 2
    # the margin before each mark is the margin behind its mirror image: the sum is the length
    assert [start + end for start, end in zip(starts, reversed(ends), strict=True)] == [
        whole
    ] * len(starts)
    assert all(end <= start for end, start in zip(ends, starts[1:], strict=False))
    assert starts[0] >= 0
    middle = len(starts) // 2 if len(starts) % 2 else None
    assert all(start.denominator == 1 for n, start in enumerate(starts) if n != middle)
    # half a fraction of its own and a quarter of the length's, and what the size lost before it
    lost = float(row["along"]) - marks["size_read"] if edges else 0.0
    for start, exact in zip(starts, readings["exact"], strict=True):
        assert abs(float(start * finest) - exact) <= float(finest) * 0.75 + lost + 1e-9


@examples(25)
@given(layouts(), st.integers(0, 40))
def test_first_and_gap_are_read_without_overlap(
    layout: tuple[Fraction, dict[str, Any], Fraction], more: int
) -> None:
    """However unlike its ends, a row that fits is read within the part as it reads."""
    length, row, finest = layout
    gap = (length - 2 * row["margin"] - row["count"] * row["along"]) / max(row["count"] - 1, 1)
    row |= {"spread": None, "first": row["margin"], "gap": max(gap, F(0)), "margin": None}
    filled = marked(length + finest * more / 7, row, finest=finest)
    readings = filled.tables["Readings"]
    ends = readings[["at", "to"]].max(axis=1).tolist()

    assert value(filled, "Marks", "state") == ""
    assert all(
        end <= start + 1e-9 for end, start in zip(ends, readings["at"].tolist()[1:], strict=False)
    )
    assert ends[-1] <= value(filled, "Marks", "length_read") + 1e-9
