"""How much smaller the parts of a job may be, and what that would save."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

Side = Literal["width", "length"]


@dataclass(frozen=True, slots=True)
class Leeway:
    """Parts of a job that may be made smaller, and by how much, the least first."""

    parts: frozenset[str] = frozenset()
    steps: tuple[Fraction, ...] = ()


@dataclass(frozen=True, slots=True)
class NearMiss:
    """One side of a part less by so much saves so much money.

    `boards` tells by stock how many fewer are cut; of some stock it may be more, below 0.
    """

    part: str
    side: Side
    by: Fraction
    saves: Fraction
    boards: Mapping[str, int]
