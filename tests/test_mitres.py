"""Slanted ends: short points, the slant and the waste, against right-angled triangles."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from pytest import approx

from notchbook.base.spelling import Spelling
from notchbook.plan_views.slants import list_slant_settings
from notchbook.planning.geometry.mitres import work_out_slant
from notchbook.sheets.making.cut_list import CutRow
from notchbook.sheets.making.ends import parse_ends

from .worked import project, value, worked

F = Fraction


@pytest.mark.parametrize(
    ("degrees", "slant"),
    [
        # exact values of the tangent (any table of trigonometry)
        (F(45), 1),
        (F(30), 3**0.5 / 3),
        (F(60), 3**0.5),
        (F(45, 2), 2**0.5 - 1),
        (F(15), 2 - 3**0.5),
    ],
)
def test_slant_is_the_tangent(degrees: Fraction, slant: float) -> None:
    """Off square by so much, a cut runs so far along the part for each unit across."""
    assert work_out_slant(degrees) == approx(slant, abs=1e-12)


def ended(ends: str | None, **size: Fraction | int) -> Any:
    """The cut list with one part, by default 3/4 x 3 1/2 x 24."""
    row: dict[str, Any] = {"thickness": F(3, 4), "width": F(7, 2), "length": 24} | size
    row |= {"project": "thing", "part": "rail", "make": 1, "stocks": "s", "ends": ends}
    if ends:
        read = parse_ends(ends)
        row |= {"degrees": read.degrees, "slanted": read.form}
        row |= {"tangent": work_out_slant(read.degrees)}
    return worked({"Projects": [project()], "Cut list": [row]})


@pytest.mark.parametrize(
    ("ends", "slant", "short_point", "waste"),
    [
        # 24 long, 3 1/2 wide: 45 degrees takes 3 1/2 at an end; both leave 24 - 7 = 17.
        # Two triangles of 3 1/2 x 3 1/2 / 2 are 12 1/4 of 84: 14.58 %
        ("mitre 45", 3.5, 17, 12.25 / 84),
        ("mitre 45 one end", 3.5, 20.5, 6.125 / 84),
        ("mitre 45 parallel", 3.5, 20.5, 12.25 / 84),  # each edge is one slant shorter
        # through the thickness of 3/4: 24 - 1 1/2 = 22 1/2
        ("bevel 45", 0.75, 22.5, 0.5625 / 18),
        # a frame of eight sides: 3 1/2 x 0.41421 = 1.4497, read 1 7/16 (46.39 of 1/32);
        # 24 - 2 x 1.4497 = 21.1005, read 21 3/32
        ("mitre 22.5", 46 / 32, 21 + 3 / 32, 3.5 * (2**0.5 - 1) / 24),
        (None, 0, 0, 0),
    ],
)
def test_short_points_by_hand(
    ends: str | None, slant: float, short_point: float, waste: float
) -> None:
    """Common practice: measured long point to long point, the short edge loses a slant an end."""
    filled = ended(ends)

    assert value(filled, "Cut list", "slant") == approx(slant)
    assert value(filled, "Cut list", "short_point") == approx(short_point)
    assert value(filled, "Cut list", "end_waste") == approx(waste)


def test_a_picture_frame_closes() -> None:
    """Four rails 2 wide around 8 x 10: outside 12 x 14, and the short points are the opening."""
    for opening in (8, 10):
        filled = ended("mitre 45", width=2, length=opening + 4)
        assert value(filled, "Cut list", "short_point") == opening


def test_ends_that_meet_are_noticed() -> None:
    """6 long and 3 1/2 wide: two mitres of 45 degrees cross before the other edge."""
    filled = ended("mitre 45", length=6)

    assert value(filled, "Cut list", "state") == "ends meet"
    assert filled.lines["Checks", "ends_meet"] == 1
    assert filled.lines["Checks", "ends_meet_state"] == "notice"
    assert value(ended("mitre 45", length=7), "Cut list", "state") != "ends meet"


def part_of(name: str, make: int, ends: str | None) -> CutRow:
    return CutRow(
        project="thing", part=name, make=make, thickness=F(3, 4), width=F(3, 2), length=F(12),
        ends=ends, stocks="s",
    )  # fmt: skip


def test_slanted_ends_are_settings_of_the_saw() -> None:
    """One for each cut and angle, with all pieces that get it; none where nothing is slanted."""
    parts = [
        part_of("long rim", 2, "mitre 45"),
        part_of("short rim", 2, "mitre 45"),
        part_of("side", 4, "bevel 22.5"),
        part_of("bracket", 1, "mitre 45 one end"),
        part_of("base", 1, None),
    ]
    mitred, bevelled = list_slant_settings(parts, 3, Spelling.BRITISH)

    assert mitred == (
        "Mitre gauge 45 degrees off square: cut both ends of 6 x long rim and 6 x short rim, long"
        " points on the same edge; one end of 3 x bracket; the full length stays at the long"
        " points."
    )
    assert bevelled.startswith("Blade 22.5 degrees off upright: cut both ends of 12 x side")
    assert (
        list(list_slant_settings(parts, 0, Spelling.BRITISH))
        == list(list_slant_settings(parts[-1:], 3, Spelling.BRITISH))
        == []
    )
