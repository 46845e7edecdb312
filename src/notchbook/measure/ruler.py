"""Lengths as a shop reads them: in its units, to its finest fraction."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from notchbook.measure.conversions import UNIT_WORDS
from notchbook.measure.lengths import Units, show_length


@dataclass(frozen=True, slots=True)
class Ruler:
    """The shop's units and the fraction (in inches) that its lengths are shown to."""

    units: Units
    finest: Fraction

    @property
    def unit(self) -> str:
        """The unit in words, such as `in`."""
        return UNIT_WORDS["length"][self.units]

    def show(self, length: Fraction) -> str:
        """Show a length, such as `14 3/8`; a leading `~` says that it is rounded."""
        return show_length(length, self.units, self.finest)

    def size(self, *lengths: Fraction) -> str:
        """Show dimensions, such as `3/8 x 1`."""
        return " x ".join(self.show(length) for length in lengths)

    def setting(self, length: Fraction) -> str:
        """Show what a saw is set to, with its unit; where it is rounded, the decimal follows."""
        shown = f"{self.show(length)} {self.unit}"
        return f"{shown} ({float(length):.4g} exactly)" if shown.startswith("~") else shown
