"""What is drawn, by letters and by ink alike: stretches of a length, rectangles in a plane."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

KEEP = "keep"
"""Stands on offcuts that are usable."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A length along a board, `often` alike in a row, and what to write in it."""

    length: Fraction
    often: int
    label: str
    below: str
    waste: bool = False

    @property
    def scrap(self) -> bool:
        """Whether it is left over and not worth keeping."""
        return self.waste and self.label != KEEP


@dataclass(frozen=True, slots=True)
class LabelledBox:
    """A rectangle to draw, with what to write in it."""

    x: Fraction
    y: Fraction
    across: Fraction
    up: Fraction
    label: str
    below: str = ""
