"""Pieces in a row: the most valuable ones that go into every length at once.

Lengths here have one kerf added, to the pieces and to the room alike. Only lengths that pieces
can add up to are looked at; any other length is worth what the next smaller of them is.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

_MOST_STEPS = 4_000_000  # grid steps on which the sums are looked for
_COARSE = 4_000  # coarser steps in a room, where those are too many
_TABLED = 4_000  # marks up to which their differences are kept

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
        self._listed = list_sums(lengths, room)
        self.marks: Ints = np.array(self._listed)
        self._back: dict[int, tuple[int, Ints]] = {}

    def below(self, length: int) -> int:
        """The number of the largest mark not above the length."""
        return bisect_right(self._listed, length) - 1

    def first(self, length: int) -> int:
        """The number of the first mark not below the length; one past the last, where none is."""
        return bisect_left(self._listed, length)

    def take(self, mark: int, length: int) -> int:
        """The number of the largest mark not above what a mark's length leaves beside another."""
        return bisect_right(self._listed, self._listed[mark] - length) - 1

    def back(self, length: int) -> tuple[int, Ints]:
        """The first mark that holds the length, and from there on the marks that much lower."""
        if (known := self._back.get(length)) is None:
            first = self.first(length)
            known = self._back[length] = (first, self.floors(self.marks[first:] - length))
        return known

    def floors(self, lengths: Ints) -> Ints:
        """The numbers of the largest marks not above the lengths."""
        return self.marks.searchsorted(lengths, side="right") - 1

    def rests(self, taken: Ints, start: int, end: int) -> Ints | NDArray[np.int16]:
        """What marks from `start` until `end` leave beside each of those taken; -1: too little."""
        if len(self._listed) > _TABLED:
            return self.floors(self.marks[start:end] - self.marks[taken][:, None])
        kept, known = self._differences
        if len(fresh := taken[~known[taken]]):
            kept[fresh] = self.floors(self.marks - self.marks[fresh][:, None])
            known[fresh] = True
        return kept[taken, start:end]

    @cached_property
    def _differences(self) -> tuple[NDArray[np.int16], NDArray[np.bool_]]:
        """What every mark leaves beside each that was asked for, a row each; and those rows."""
        size = len(self._listed)
        return np.empty((size, size), dtype=np.int16), np.zeros(size, dtype=np.bool_)


def coarse_enough(lengths: Sequence[int], room: int, most_marks: int) -> int:
    """1 where the sums of the lengths can all be looked at, else a step that is coarse enough."""
    if room <= _MOST_STEPS and len(list_sums(lengths, room)) <= most_marks:
        return 1
    return -(-room // _COARSE)


def list_sums(lengths: Sequence[int], room: int) -> list[int]:
    """All sums of the lengths, each as often as wanted, up to the room; 0 is one, ascending."""
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
    _taken: list[tuple[int, int, int, int, NDArray[np.bool_]]]
    """Number, length, how many; the first mark that has room, and where they pay from there on."""

    def with_item(self, item: Item) -> Filling:
        """The best with pieces of one more kind to choose from."""
        ruler, value, taken = self.ruler, self.value, list(self._taken)
        left = min(item.most, ruler.room // item.length) if item.value > 0 else 0
        often = 1
        while left > 0:
            often = min(often, left)
            left -= often
            length = item.length * often
            if length > ruler.room:
                break
            first, back = ruler.back(length)
            offered = value.take(back) + item.value * often
            better = offered > value[first:] + 1e-12
            value = value.copy()
            np.copyto(value[first:], offered, where=better)
            taken.append((item.number, length, often, first, better))
            often *= 2
        return Filling(ruler, value, taken)

    def pieces(self, mark: int) -> dict[int, int]:
        """How many of each kind fill the mark's length best."""
        found: dict[int, int] = {}
        for number, length, often, first, better in reversed(self._taken):
            if mark >= first and better[mark - first]:
                found[number] = found.get(number, 0) + often
                mark = self.ruler.take(mark, length)
        return found


def fill(ruler: LengthScale, items: Sequence[Item]) -> Filling:
    """Fill every length of the ruler with at most `most` pieces of each item."""
    filling = Filling(ruler, np.zeros(len(ruler.marks)), [])
    for item in items:
        filling = filling.with_item(item)
    return filling


_TOGETHER = 200_000  # multiplications that the product of two matrices is done in one go for


def product(one: Floats, other: Floats) -> Floats:
    """The product of two matrices, a few columns at a time: larger ones would start threads."""
    width = max(_TOGETHER // max(one.size, 1), 1)
    found = np.empty((one.shape[0], other.shape[1]))
    for at in range(0, other.shape[1], width):
        found[:, at : at + width] = one @ other[:, at : at + width]
    return found
