"""Slanted ends: how far a cut that is so many degrees off square runs along the part."""

from __future__ import annotations

from fractions import Fraction
from math import radians, tan


def work_out_slant(degrees: Fraction) -> float:
    """Return the length that a cut takes along the part for each unit across it: the tangent.

    `degrees` are off square, as mitre gauges and tilting blades count them: 0 is square across.
    At 45 degrees it is 1 exactly. By the definition of the tangent in a right-angled triangle; the
    last four of its sixteen digits are dropped, being noise.
    """
    return round(tan(radians(float(degrees))), 12)
