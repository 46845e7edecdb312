"""Bounds by dual feasible functions: extents are restated so that whatever fits still fits.

A function is dual feasible if numbers that sum up to a side at most still do so when it is applied
to them. One for the length and one for the width of a sheet make every piece an area; a sheet
holds no more of those than its own (Fekete and Schepers, Mathematical Programming 91, 2001).
Values here are whole numbers and so exact.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import ceil

import numpy as np
from numpy.typing import NDArray

from notchbook.planning.model.grid import GridBoard, GridPart, LengthGrid

_MOST = 60  # functions for each side

Ints = NDArray[np.int64]


def least_cost(
    grid: LengthGrid, members: Sequence[int], demand: Sequence[int], hand: Sequence[int]
) -> Fraction:
    """What the parts that come out of one kind of sheet only must cost at least."""
    cost = 0
    for b in sorted({board for i in members for board in grid.parts[i].boards}):
        board = grid.boards[b]
        own = [i for i in members if grid.parts[i].boards == (b,) and demand[i]]
        if board.panel and board.buyable and board.price and own:
            counts = [demand[i] for i in own]
            sheets = fewest_sheets(board, [grid.parts[i] for i in own], counts, grid.saw.kerf)
            cost += max(sheets - hand[b], 0) * board.price
    return Fraction(cost)


def fewest_sheets(
    board: GridBoard, parts: Sequence[GridPart], counts: Sequence[int], kerf: int
) -> int:
    """The least number of sheets that so many pieces of the parts can be cut from."""
    sides = (board.length + kerf, board.width + kerf)
    extents = [(part.length + kerf, part.width + kerf) for part in parts]
    turnable = [part.turn or not board.grain for part in parts]
    all_extents = sorted({e for pair in extents for e in pair})
    along = list(_functions(all_extents, sides[0]))
    beside = list(_functions(all_extents, sides[1]))
    places = {e: n for n, e in enumerate(all_extents)}
    first = [places[e[0]] for e in extents]
    second = [places[e[1]] for e in extents]
    across = np.array([values for values, _ in beside])
    best = Fraction(0)
    for values, most in along:
        area = values[first] * across[:, second]
        turned = values[second] * across[:, first]
        least = np.where(_fits(extents, sides, turnable), np.minimum(area, turned), area)
        only = _fits_turned_only(extents, sides)
        least = np.where(only, turned, least)
        for total, (_, room) in zip(least @ np.array(counts), beside, strict=True):
            best = max(best, Fraction(int(total), most * room))
    return ceil(best)


def _fits(
    extents: Sequence[tuple[int, int]], sides: tuple[int, int], turnable: Sequence[bool]
) -> list[bool]:
    """Whether a part may also be turned."""
    return [
        may and second <= sides[0] and first <= sides[1]
        for (first, second), may in zip(extents, turnable, strict=True)
    ]


def _fits_turned_only(extents: Sequence[tuple[int, int]], sides: tuple[int, int]) -> list[bool]:
    return [first > sides[0] or second > sides[1] for first, second in extents]


def _functions(extents: Sequence[int], side: int) -> Iterator[tuple[Ints, int]]:
    """What each function makes of the extents, and of the whole side."""
    x = np.array(extents, dtype=np.int64)
    yield x, side
    steps = sorted({min(e, side - e) for e in extents if 0 < e < side} - {0})
    some = [step for step in steps if 2 * step <= side][:: -(-len(steps) // _MOST) or 1]
    for step in some:
        yield np.where(x > side - step, side, np.where(x < step, 0, x)), side
    for step in some:
        # Carlier, Clautiaux, Moukrim, Computers & Operations Research 34, 2007
        whole = side // step
        high = 2 * (whole - (side - x) // step)
        yield (
            np.where(2 * x > side, high, np.where(2 * x == side, whole, 2 * (x // step))),
            2 * whole,
        )
    for k in range(1, 12):
        share = (k + 1) * x
        yield np.where(share % side == 0, x * k, share // side * side), k * side
