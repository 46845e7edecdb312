"""Numbers p + q*sqrt(2) with fractions p and q: all that lays at 45 degrees are made of."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import sqrt


@dataclass(frozen=True, slots=True)
class RootTwo:
    """`p` + `q` times the square root of 2; adds, multiplies and compares without rounding."""

    p: Fraction
    q: Fraction = Fraction(0)

    def __add__(self, other: RootTwo) -> RootTwo:
        return RootTwo(self.p + other.p, self.q + other.q)

    def __sub__(self, other: RootTwo) -> RootTwo:
        return RootTwo(self.p - other.p, self.q - other.q)

    def __mul__(self, other: RootTwo) -> RootTwo:
        return RootTwo(self.p * other.p + 2 * self.q * other.q, self.p * other.q + self.q * other.p)

    def __neg__(self) -> RootTwo:
        return RootTwo(-self.p, -self.q)

    def __lt__(self, other: RootTwo) -> bool:
        return is_positive(other.p - self.p, other.q - self.q)

    def __float__(self) -> float:
        return float(self.p) + float(self.q) * sqrt(2)


def is_positive(p: Fraction, q: Fraction) -> bool:
    """Tell whether p + q*sqrt(2) is more than 0."""
    if p >= 0 and q >= 0:
        return p > 0 or q > 0
    if p <= 0 and q <= 0:
        return False
    return p * p > 2 * q * q if p > 0 else 2 * q * q > p * p
