"""Parts cut larger than they are in the end, to be planed, jointed and trimmed to size."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import product
from typing import NamedTuple

from notchbook.planning.model.problem import Board, Part, Saw, find_reason


class Extents(NamedTuple):
    """Three lengths of a piece, or what is added to them."""

    thickness: Fraction
    width: Fraction
    length: Fraction


def enlarge(part: Part, by: Extents, boards: Iterable[Board], saw: Saw) -> Part:
    """Return the part as it is cut: larger by so much, or by what all of its boards allow.

    A board that yields no piece even of the finished size has no say; where only such ones are
    left, the part stays as it is.
    """
    fitting = [board for board in boards if find_reason(part, board, saw) is None]
    if not fitting or not any(by):
        return part
    found = [_largest(part, by, board, saw) for board in fitting]
    enlarged = _sized(part, Extents(*map(min, zip(*found, strict=True))))
    fits_all = all(find_reason(enlarged, board, saw) is None for board in fitting)
    return enlarged if fits_all else part


def _largest(part: Part, by: Extents, board: Board, saw: Saw) -> Extents:
    """Return the largest size that comes out of the board: length before width before thickness."""
    trim, squaring = (saw.end_trim, saw.squaring) if board.kind == "lumber" else (0, 0)
    room = (
        (board.thickness,),
        (board.width, board.width - 2 * squaring),
        (board.length, board.length - 2 * trim),
    )
    sides = Extents(part.thickness, part.width, part.length)
    sizes = (
        sorted(set(_between(side, more, ends)), reverse=True)
        for side, more, ends in zip(sides, by, room, strict=True)
    )
    tried = sorted(product(*sizes), key=lambda size: size[::-1], reverse=True)
    return next(
        (
            Extents(*size)
            for size in tried
            if find_reason(_sized(part, Extents(*size)), board, saw) is None
        ),
        sides,
    )


def _between(side: Fraction, more: Fraction, ends: Iterable[Fraction]) -> Iterator[Fraction]:
    """Yield what a side may become: as wanted, else where the board ends before that."""
    yield from (side, side + more)
    yield from (end for end in ends if side < end < side + more)


def _sized(part: Part, size: Extents) -> Part:
    return replace(part, thickness=size.thickness, width=size.width, length=size.length)
