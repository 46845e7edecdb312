"""Pieces in a row: the most valuable ones that go into every length at once.

Lengths here have one kerf added, to the pieces and to the room alike. Only lengths that pieces
can add up to are looked at; any other length is worth what the next smaller of them is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


class Item(NamedTuple):
    """A kind of piece: its number, its length with a kerf, its value, how many at most."""

    number: int
    length: int
    value: float
    most: int


class LengthScale:
    """The lengths, up to `room`, that sums of `lengths` reach."""

    def __init__(self, lengths: Sequence[int], room: int) -> None:
        self.room = room
        self.marks: Ints = np.array(list_sums(lengths, room))
        self._back: dict[int, tuple[int, Ints]] = {}

    def below(self, length: int) -> int:
        """The number of the largest mark not above the length."""
        return int(np.searchsorted(self.marks, length, side="right")) - 1

    def back(self, length: int) -> tuple[int, Ints]:
        """The first mark that holds the length, and from there on the marks that much lower."""
        if (known := self._back.get(length)) is None:
            first = int(np.searchsorted(self.marks, length))
            known = self._back[length] = (first, self.floors(self.marks[first:] - length))
        return known

    def floors(self, lengths: Ints) -> Ints:
        """The numbers of the largest marks not above the lengths."""
        return np.searchsorted(self.marks, lengths, side="right") - 1


def list_sums(lengths: Sequence[int], room: int) -> list[int]:
    """List all sums up to the room, each length as often as wanted, ascending from 0."""
    reached = 1
    whole = (1 << (room + 1)) - 1
    for length in sorted(set(lengths)):
        shift = length
        while 0 < shift <= room:
            reached |= (reached << shift) & whole
            shift *= 2
    bits = np.frombuffer(reached.to_bytes(room // 8 + 1, "little"), dtype=np.uint8)
    return [int(at) for at in np.flatnonzero(np.unpackbits(bits, bitorder="little"))]


@dataclass(slots=True)
class Filling:
    """The best value in every mark's length, and what it consists of."""

    ruler: LengthScale
    value: Floats
    _taken: list[tuple[int, int, int, NDArray[np.bool_]]]  # number, length, how many, where

    def pieces(self, mark: int) -> dict[int, int]:
        """How many of each kind fill the mark's length best."""
        found: dict[int, int] = {}
        for number, length, often, where in reversed(self._taken):
            if where[mark]:
                found[number] = found.get(number, 0) + often
                mark = self.ruler.below(int(self.ruler.marks[mark]) - length)
        return found


def fill(ruler: LengthScale, items: Sequence[Item]) -> Filling:
    """Fill every length of the ruler with at most `most` pieces of each item."""
    value = np.zeros(len(ruler.marks))
    taken = []
    for item in items:
        if item.value <= 0 or item.length > ruler.room:
            continue
        left = min(item.most, ruler.room // item.length)
        often = 1
        while left > 0:
            often = min(often, left)
            left -= often
            length = item.length * often
            if length > ruler.room:
                break
            first, back = ruler.back(length)
            offered = value[back] + item.value * often
            where = np.zeros(len(value), dtype=bool)
            where[first:] = offered > value[first:] + 1e-12
            value = value.copy()
            value[first:] = np.where(where[first:], offered, value[first:])
            taken.append((item.number, length, often, where))
            often *= 2
    return Filling(ruler, value, taken)
