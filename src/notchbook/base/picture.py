"""A finished drawing: its file, its printed size, its words, and what was drawn to scale in it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

DPI = 300
"""Dots to a printed inch: what printers resolve, and three times a screen."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A rectangle of wood and where it came to lie.

    `across` and `up` are its sides in the shop's unit; `pixels` its left, top, right and bottom
    edges in the picture, the first included and the last not.
    """

    what: str
    across: Fraction
    up: Fraction
    pixels: tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Picture:
    """`width` and `height` are printed inches; `alt` says in words what is to be seen."""

    png: bytes
    width: float
    height: float
    alt: str
    drawn: tuple[Drawn, ...] = ()
