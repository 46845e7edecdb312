"""Lumber: a board is crosscut into blanks, a blank ripped into strips, a strip crosscut to pieces.

A *room* is a length with one kerf added, as is what goes into it. Rooms are grid steps, or, where
these are too fine to look at every one, coarser steps: pieces rounded up for cutting, and rounded
down for limits, so that neither a plan nor a bound is ever wrong.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from notchbook.planning.model.filled import FilledBoard
from notchbook.planning.model.grid import GridBoard, GridPart, GridSaw, LengthGrid
from notchbook.planning.search.guillotine import Guillotine, Way
from notchbook.planning.search.knapsack import Filling, Floats, Item, LengthScale, fill, list_sums
from notchbook.planning.search.place_pieces import place_board

UNRIPPED = -1
_MOST_RIPPED, _MOST_MARKS = 8_000, 120_000  # sums of pieces that are all looked at
_MOST_STEPS = 4_000_000  # grid steps on which the sums are looked for
_COARSE = 4_000  # coarser steps in a board, where those are too many

Pieces = tuple[tuple[int, int], ...]  # (part, how many), by part


class StripCut(NamedTuple):
    """A strip of a kind, crosscut into pieces; an unripped piece is its own strip."""

    kind: int
    pieces: Pieces


class BlankCut(NamedTuple):
    """A blank, ripped by the section pattern of that number into strips."""

    pattern: int
    room: int
    strips: tuple[StripCut, ...]


class BoardCut(NamedTuple):
    """A board cut into blanks, and how many pieces of each part come out."""

    counts: tuple[int, ...]
    blanks: tuple[BlankCut, ...]


@dataclass(frozen=True, slots=True)
class Prices:
    """What every mark's length is worth: as a strip, unripped, as one blank, as a whole board."""

    strips: list[Filling]
    unripped: Filling
    pattern: NDArray[np.int64]
    blank: Floats
    board: Floats
    last_blank: list[int]  # the mark of the last blank in the board's best filling, else -1


class Wood:
    """Boards of one section that the same parts are cut from.

    `most` is the most pieces of each part that go on one of them. With `generous`, rooms are
    rounded so that nothing which fits is ever left out.
    """

    def __init__(
        self,
        grid: LengthGrid,
        boards: Sequence[int],
        most: Sequence[int],
        *,
        generous: bool = False,
    ) -> None:
        self.grid, self.boards, self._most = grid, tuple(boards), most
        board, saw = grid.boards[boards[0]], grid.saw
        self.members = [i for i, part in enumerate(grid.parts) if boards[0] in part.boards]
        self.unripped = [i for i in self.members if board.full_section(grid.parts[i])]
        ripped = [i for i in self.members if i not in self.unripped]
        self.kinds = sorted({_section(grid.parts[i]) for i in ripped})
        self.parts_of = [
            [i for i in ripped if _section(grid.parts[i]) == kind] for kind in self.kinds
        ]
        rooms = {b: grid.boards[b].length - 2 * saw.end_trim + saw.kerf for b in boards}
        lengths = {i: grid.parts[i].length + saw.kerf for i in self.members}
        shortest = saw.shortest_rip + saw.kerf
        most_marks = _MOST_RIPPED if ripped else _MOST_MARKS
        self.step = _step([*lengths.values(), *([shortest] if ripped else [])], rooms, most_marks)
        up = 0 if generous else self.step - 1
        self.room = {b: room // self.step for b, room in rooms.items()}
        self.length = {i: (length + up) // self.step for i, length in lengths.items()}
        self.shortest = (shortest + up) // self.step
        marked = [*self.length.values(), *([self.shortest] if ripped else [])]
        self.ruler = LengthScale(marked, max(self.room.values()))
        wanted = [sum(most[i] for i in parts) for parts in self.parts_of]
        self.section = _cutting(board, saw, self.kinds, wanted)
        self.patterns, self.nodes = self.section.patterns()

    @cached_property
    def limits(self) -> Wood | None:
        """The same boards with worths that are upper limits; None where patterns are missing."""
        if not self.section.complete:
            return None
        return self if self.step == 1 else Wood(self.grid, self.boards, self._most, generous=True)

    def prices(self, values: Sequence[float], most: Sequence[int]) -> Prices:
        """The best of every length; never less than what patterns within `most` are worth."""
        strips = [self.fill(parts, values, most) for parts in self.parts_of]
        unripped = self.fill(self.unripped, values, most)
        marks = self.ruler.marks
        worth = np.zeros((len(self.patterns), len(marks)))
        for kind, filling in enumerate(strips):
            limit = sum(values[i] * most[i] for i in self.parts_of[kind])
            worth += np.minimum(self.patterns[:, kind, None] * filling.value, limit)
        pattern = worth.argmax(axis=0)
        blank = worth[pattern, np.arange(len(marks))]
        blank[marks < self.shortest] = 0.0
        board, last = self._end_to_end(blank, unripped.value)
        return Prices(strips, unripped, pattern, blank, board, last)

    def fill(self, parts: Sequence[int], values: Sequence[float], most: Sequence[int]) -> Filling:
        """Every length filled with pieces of the parts."""
        items = [Item(i, self.length[i], values[i], most[i]) for i in parts if most[i]]
        return fill(self.ruler, items)

    def _end_to_end(self, blank: Floats, unripped: Floats) -> tuple[Floats, list[int]]:
        """Blanks one after the other beside the unripped pieces, best for every mark."""
        marks = self.ruler.marks
        board, last = unripped.copy(), [-1] * len(marks)
        rises = np.flatnonzero(np.diff(blank, prepend=0.0) > 0)
        if not len(rises):
            return board, last
        lengths, values = marks[rises], blank[rises]
        upto = np.searchsorted(lengths, marks, side="right")
        for mark in range(int(rises[0]), len(marks)):
            n = upto[mark]
            offered = board[self.ruler.floors(marks[mark] - lengths[:n])] + values[:n]
            choice = int(offered.argmax())
            if offered[choice] > board[mark]:
                board[mark], last[mark] = offered[choice], int(rises[choice])
        return board, last

    def worth(self, prices: Prices, board: int) -> float:
        """What the whole board is worth."""
        return float(prices.board[self.ruler.below(self.room[board])])

    def _split(self, prices: Prices, room: int) -> tuple[list[int], dict[int, int]]:
        """The best filling of a room: marks of its blanks, and unripped pieces."""
        mark, blanks = self.ruler.below(room), []
        while (blank := prices.last_blank[mark]) != -1:
            blanks.append(blank)
            mark = self.ruler.below(int(self.ruler.marks[mark] - self.ruler.marks[blank]))
        return blanks, prices.unripped.pieces(mark)

    def relaxed(self, prices: Prices, board: int) -> BoardCut:
        """The board's best filling; a part may come out more often than the demand says."""
        marks, unripped = self._split(prices, self.room[board])
        blanks = [whole for i, n in unripped.items() for whole in [self.whole(i)] * n]
        blanks += [blank for mark in marks if (blank := self.blank(prices, mark))]
        return self.board_cut(blanks)

    def blank(self, prices: Prices, mark: int) -> BlankCut | None:
        """The best blank of a length; None where it is too short for any."""
        if not prices.blank[mark]:
            return None
        pattern = int(prices.pattern[mark])
        strips: list[StripCut] = []
        for kind, often in enumerate(self.patterns[pattern]):
            if often and (pieces := prices.strips[kind].pieces(mark)):
                strips += [StripCut(kind, tuple(sorted(pieces.items())))] * int(often)
        return BlankCut(pattern, int(self.ruler.marks[mark]), tuple(strips))

    def cut(self, board: int, values: Sequence[float], most: Sequence[int]) -> BoardCut:
        """A valuable way to cut one board, blank by blank, no part more often than `most`."""
        need, room = list(most), self.room[board]
        blanks: list[BlankCut] = []
        while True:
            prices = self.prices(values, need)
            marks, unripped = self._split(prices, room)
            if not marks:
                blanks += [whole for i, n in unripped.items() for whole in [self.whole(i)] * n]
                return self.board_cut(blanks)
            mark = max(marks, key=lambda m: (prices.blank[m] / self.ruler.marks[m], m))
            blank = self._rip(mark, int(prices.pattern[mark]), values, need)
            blanks.append(blank)
            room -= blank.room
            for strip in blank.strips:
                for i, n in strip.pieces:
                    need[i] -= n

    def whole(self, part: int) -> BlankCut:
        """A piece of the whole section, crosscut and not ripped."""
        return BlankCut(UNRIPPED, self.length[part], (StripCut(UNRIPPED, ((part, 1),)),))

    def _rip(
        self, mark: int, pattern: int, values: Sequence[float], most: Sequence[int]
    ) -> BlankCut:
        """A blank whose strips are filled one after the other, and no longer than they are."""
        need, strips = list(most), []
        for kind, often in enumerate(self.patterns[pattern]):
            for _ in range(int(often)):
                pieces = self.fill(self.parts_of[kind], values, need).pieces(mark)
                if not pieces:
                    break
                strips.append(StripCut(kind, tuple(sorted(pieces.items()))))
                for i, n in pieces.items():
                    need[i] -= n
        room = max([self.shortest, *(self.strip_room(strip) for strip in strips)])
        return BlankCut(pattern, room, tuple(strips))

    def all_strips(self, kind: int, need: Sequence[int], limit: int) -> list[StripCut]:
        """Every strip of a kind within the need; none where there are more than `limit`."""
        room = max(self.room.values())
        found: list[tuple[int, Pieces]] = [(0, ())]
        for i in self.parts_of[kind]:
            for used, pieces in list(found):
                most = min(need[i], (room - used) // self.length[i])
                found += [
                    (used + n * self.length[i], (*pieces, (i, n))) for n in range(1, most + 1)
                ]
            if len(found) > limit:
                return []
        return [StripCut(kind, pieces) for _, pieces in found if pieces]

    def strip_room(self, strip: StripCut) -> int:
        """The room a strip's pieces take up."""
        return sum(n * self.length[i] for i, n in strip.pieces)

    def board_cut(self, blanks: Sequence[BlankCut]) -> BoardCut:
        """The blanks as one board, the longest first."""
        counts = [0] * len(self.grid.parts)
        for blank in blanks:
            for strip in blank.strips:
                for i, n in strip.pieces:
                    counts[i] += n
        ordered = sorted(blanks, key=lambda blank: (-blank.room, blank.pattern, blank.strips))
        return BoardCut(tuple(counts), tuple(ordered))

    def filled(self, cut: BoardCut, wanted: Sequence[int]) -> FilledBoard:
        """Everything in its place, blanks from one end; pieces beyond `wanted` are not cut."""
        return place_board(self, cut, wanted)


def _step(lengths: Sequence[int], rooms: Mapping[int, int], most_marks: int) -> int:
    """1 where the sums of the lengths can all be looked at, else a step that is coarse enough."""
    room = max(rooms.values())
    if room <= _MOST_STEPS and len(list_sums(lengths, room)) <= most_marks:
        return 1
    return -(-room // _COARSE)


def _section(part: GridPart) -> tuple[int, int]:
    return part.thickness, part.width


def _cutting(
    board: GridBoard, saw: GridSaw, kinds: Sequence[tuple[int, int]], most: Sequence[int]
) -> Guillotine:
    """The section after squaring, across the board's width and up through its thickness."""
    ways = []
    for kind, (thickness, width) in enumerate(kinds):
        ways.append(Way(kind, width, thickness, False))
        if thickness != width:
            ways.append(Way(kind, thickness, width, True))
    across = board.width - 2 * saw.squaring
    return Guillotine((across, board.thickness), ways, most, saw.kerf, saw.deepest_cut)
