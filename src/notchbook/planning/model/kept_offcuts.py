"""Offcuts that were kept: boards of their own for a job, which cost nothing and are few.

Decisions:

- An offcut is cut like a board: squared and trimmed as the saw does with all. What was sawn clean
  already is trimmed once more, so that no plan counts on an end that may have dried or been hit.
- It is taken as a little smaller, down to the grid of the job, so that sizes taken off a shelf with
  a tape do not make the grid of the whole job finer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import floor

from notchbook.planning.model.grid import put_on_grid
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Board, Job, Part, Saw, find_reason


@dataclass(frozen=True, slots=True)
class KeptOffcut:
    """So many offcuts of one size, lengths in the shop's unit, by the `name` they have in plans."""

    name: str
    stock: str
    thickness: Fraction
    width: Fraction
    length: Fraction
    count: int


def put_offcuts(job: Job, offcuts: Sequence[KeptOffcut]) -> Job:
    """Return the job with the offcuts that any of its parts fits; the job itself without any.

    A part may be cut from the offcuts of its stocks, and from those before any board.
    """
    boards = {board.stock: board for board in job.boards}
    scale = put_on_grid(job).scale
    there = [
        (each.stock, _as_board(each, boards[each.stock], scale))
        for each in offcuts
        if each.stock in boards
    ]
    parts = tuple(_may_use(part, there, job.saw) for part in job.parts)
    named = {stock for part in parts for stock in part.stocks}
    used = tuple(board for _, board in there if board is not None and board.stock in named)
    return replace(job, parts=parts, boards=(*used, *job.boards)) if used else job


def count_offcuts(plan: Plan, offcuts: Sequence[KeptOffcut]) -> dict[str, int]:
    """Count how many of the offcuts a plan cuts, by their names."""
    counts = {each.name: plan.count_boards(each.name) for each in offcuts}
    return {name: count for name, count in counts.items() if count}


def _as_board(offcut: KeptOffcut, board: Board, scale: int) -> Board | None:
    """Return the offcut as a board on the grid of a job; None where nothing is left of it."""
    sides = {
        side: min(Fraction(floor(getattr(offcut, side) * scale), scale), getattr(board, side))
        for side in ("thickness", "width", "length")
    }
    if min(sides.values()) <= 0:
        return None
    it = replace(board, stock=offcut.name, price=Fraction(0), buyable=False, **sides)
    return replace(it, on_hand=offcut.count)


def _may_use(part: Part, there: Sequence[tuple[str, Board | None]], saw: Saw) -> Part:
    fit = (
        board.stock
        for stock, board in there
        if board is not None and stock in part.stocks and find_reason(part, board, saw) is None
    )
    return replace(part, stocks=(*fit, *part.stocks))
