"""Offcuts that were kept: boards of their own for a job, which cost nothing and are few.

Decisions:

- An offcut is cut like a board: squared and trimmed as the saw does with all. What was sawn clean
  already is trimmed once more, so that no plan counts on an end that may have dried or been hit.
- It is taken as a little smaller, down to the grid of the job, so that sizes taken off a shelf with
  a tape do not make the grid of the whole job finer.
- Whole boards of reclaimed wood cost nothing either, and few long ones would be taken before many
  offcuts. Beside offcuts they have a price, by their volume, which nobody pays; for it they are
  spared (`Job.list_spared`).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import floor

from notchbook.planning.model.grid import put_on_grid
from notchbook.planning.model.plan import CutBoard, CutPanel, Plan
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
    whole = (_priced(board, job.boards) for board in job.boards)
    return replace(job, parts=parts, boards=(*used, *whole)) if used else job


def _priced(board: Board, boards: Sequence[Board]) -> Board:
    """Give a board that cannot be bought a price of up to 1, so that it counts for something."""
    if board.buyable or board.price:
        return board
    share = board.volume / max(each.volume for each in boards if not each.buyable)
    return replace(board, price=Fraction(max(round(100 * share), 1), 100))


def count_offcuts(plan: Plan, offcuts: Sequence[KeptOffcut]) -> dict[str, int]:
    """Count how many of the offcuts a plan cuts, by their names."""
    counts = {each.name: plan.count_boards(each.name) for each in offcuts}
    return {name: count for name, count in counts.items() if count}


@dataclass
class WoodTaken:
    """What a project took by a plan: boards by stock, and offcuts by stock and name."""

    boards: defaultdict[str, Fraction] = field(default_factory=lambda: defaultdict(Fraction))
    offcuts: defaultdict[str, dict[str, int]] = field(default_factory=lambda: defaultdict(dict))


def share_wood(plan: Plan, offcuts: Sequence[KeptOffcut]) -> dict[str, WoodTaken]:
    """Share what a plan cuts among its projects.

    A board that several are cut from goes by the volume of their pieces. An offcut takes no board
    of its stock, which is named with 0; it is counted once, for the one that most of it is cut for.
    """
    stocks = {each.name: each.stock for each in offcuts}
    found: dict[str, WoodTaken] = {}
    for cut in plan.cuts():
        volumes = _volumes(cut)
        for project, volume in volumes.items():
            its = found.setdefault(project, WoodTaken())
            if (stock := stocks.get(cut.stock)) is None:
                its.boards[cut.stock] += cut.count * volume / sum(volumes.values())
                continue
            its.boards[stock] += 0
            if project == max(volumes, key=volumes.__getitem__):
                counts = its.offcuts[stock]
                counts[cut.stock] = counts.get(cut.stock, 0) + cut.count
    return found


def _volumes(cut: CutBoard | CutPanel) -> dict[str, Fraction]:
    """Measure the pieces of each project in a board or sheet."""
    found: defaultdict[str, Fraction] = defaultdict(Fraction)
    if isinstance(cut, CutPanel):
        for laid in cut.pieces:
            found[laid.project] += laid.length * laid.width
        return found
    for strip in (strip for blank in cut.blanks for strip in blank.strips):
        for piece in strip.pieces:
            found[piece.project] += strip.thickness * strip.width * piece.length
    return found


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
