"""A cost pool: units of one thing and what they cost, each taken at the average of that moment."""

from __future__ import annotations

from dataclasses import dataclass
from math import copysign, floor

NOTHING = 1e-9  # a sum of fractions of a unit


def whole(value: float) -> int:
    """Round to the smallest amount, half away from zero."""
    return int(copysign(floor(abs(value) + 0.5 + NOTHING), value))


@dataclass(slots=True)
class Pool:
    """Units, their value, and the average last known, None where nothing ever came in."""

    units: float = 0.0
    value: int = 0
    average: float | None = None

    @property
    def is_empty(self) -> bool:
        """Whether no unit is left."""
        return self.units <= NOTHING

    def put(self, units: float, value: int) -> None:
        """Put units there, mixed with what is left of the ones before."""
        self.units, self.value = self.units + units, self.value + value
        if not self.is_empty:
            self.average = self.value / self.units

    def take(self, units: float) -> tuple[float, int]:
        """Take as many of the units as are there; return how many, and what they cost."""
        if units >= self.units - NOTHING:
            taken = max(self.units, 0.0), self.value
            self.units, self.value = 0.0, 0
            return taken
        value = whole(self.value * units / self.units)
        self.units, self.value = self.units - units, self.value - value
        return units, value
