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

from notchbook.planning.model.budget import Budget
from notchbook.planning.model.filled import FilledBoard
from notchbook.planning.model.grid import GridBoard, GridPart, GridSaw, LengthGrid
from notchbook.planning.search.guillotine import Guillotine, Way
from notchbook.planning.search.knapsack import (
    Filling,
    Floats,
    Ints,
    Item,
    LengthScale,
    coarse_enough,
    fill,
    product,
)
from notchbook.planning.search.lengths import list_rises, put_beside, put_end_to_end
from notchbook.planning.search.place_pieces import place_board
from notchbook.planning.search.remembered import Remembered

UNRIPPED = -1
_MOST_RIPPED, _MOST_MARKS = 8_000, 120_000  # sums of pieces that are all looked at
_PRICING, _ITEM = 100, 8  # steps of any pricing, and of each part in it
_MORE = 3  # fillings of a board besides the best
_KNOWN = 100_000  # marks of pricings that are remembered

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
    last_blank: Ints  # the mark of the last blank in the best row of blanks, else -1
    taken: Ints  # the mark that the unripped pieces of the board's best filling take up


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
        budget: Budget,
        *,
        generous: bool = False,
    ) -> None:
        self.grid, self.boards, self._most = grid, tuple(boards), most
        self.budget = budget
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
        self.step = coarse_enough(
            [*lengths.values(), *([shortest] if ripped else [])], max(rooms.values()), most_marks
        )
        up = 0 if generous else self.step - 1
        self.room = {b: room // self.step for b, room in rooms.items()}
        self.length = {i: (length + up) // self.step for i, length in lengths.items()}
        self.shortest = (shortest + up) // self.step
        self.longest = (saw.longest_rip + saw.kerf) // self.step
        marked = [*self.length.values(), *([self.shortest] if ripped else [])]
        self.ruler = LengthScale(marked, max(self.room.values()))
        wanted = [sum(most[i] for i in parts) for parts in self.parts_of]
        self.section = _cutting(board, saw, self.kinds, wanted)
        self.patterns, self.nodes = self.section.patterns()
        self._places = _places(self.patterns)
        self._most_in_a_row = {i: self.ruler.room // n for i, n in self.length.items()}
        self._known: Remembered[Prices] = Remembered(budget, _KNOWN // len(self.ruler.marks) + 9)
        self._fillings: Remembered[Filling] = Remembered(
            budget, _KNOWN // len(self.ruler.marks) + 9
        )

    @property
    def exact(self) -> bool:
        """Whether a pattern holds no more of a part than was allowed, and none is missed."""
        return not self.kinds and self.step == 1

    @cached_property
    def limits(self) -> Wood | None:
        """The same boards with worths that are upper limits; None where patterns are missing."""
        if not self.section.complete:
            return None
        if self.step == 1:
            return self
        return Wood(self.grid, self.boards, self._most, self.budget, generous=True)

    @cached_property
    def _held(self) -> list[list[tuple[int, int]]]:
        """The strips of each section pattern: kind, and how many."""
        return [[(k, n) for k, n in enumerate(row) if n] for row in self.patterns.tolist()]

    def prices(self, values: Sequence[float], most: Sequence[int]) -> Prices:
        """Return the best of every length; never less than what patterns within `most` are worth.

        What a section pattern is worth is the sum over its kinds of strips: one product of the
        patterns with the worth of so many strips of a kind, for all patterns and lengths at once.
        """
        asked = [self._items(parts, values, most) for parts in (*self.parts_of, self.unripped)]
        *strips, unripped = (self._fill(items) for items in asked)
        enough = self._places.enough
        limits = [
            min(sum([values[i] * most[i] for i in parts]), enough * float(strip.value.max()))
            for parts, strip in zip(self.parts_of, strips, strict=True)
        ]
        key = (*asked, *limits)
        return self._known.ask(key, lambda: self._priced(strips, unripped, limits))

    def _priced(self, strips: list[Filling], unripped: Filling, limits: Sequence[float]) -> Prices:
        """Work the prices out; a strip's kind is worth no more than its limit in one blank."""
        marks, places = self.ruler.marks, self._places
        self.budget.spend(_PRICING + len(marks) * (0.3 + places.chosen.size / 30_000))
        value = np.array([strip.value for strip in strips]).reshape(-1, len(marks))
        held = np.minimum(
            value[places.kind] * places.often,
            np.array(limits, dtype=np.float64)[places.kind][:, None],
        )
        worth = product(places.chosen, held)
        pattern = worth.argmax(axis=0)
        blank = worth.max(axis=0)
        blank[(marks < self.shortest) | (marks > self.longest)] = 0.0
        ripped, last = put_end_to_end(self.ruler, blank, self.budget)
        board, taken = put_beside(self.ruler, ripped, unripped.value, self.budget)
        return Prices(strips, unripped, pattern, blank, board, last, taken)

    def fill(self, parts: Sequence[int], values: Sequence[float], most: Sequence[int]) -> Filling:
        """Every length filled with pieces of the parts."""
        return self._fill(self._items(parts, values, most))

    def _items(
        self, parts: Sequence[int], values: Sequence[float], most: Sequence[int]
    ) -> tuple[Item, ...]:
        """The parts, none of them more often than goes into the longest room."""
        return tuple(
            [
                Item(i, self.length[i], values[i], min(most[i], self._most_in_a_row[i]))
                for i in parts
                if most[i]
            ]
        )

    def _fill(self, items: tuple[Item, ...]) -> Filling:
        return self._fillings.ask(items, lambda: self._filled(items))

    def _filled(self, items: Sequence[Item]) -> Filling:
        self.budget.spend(len(items) * (_ITEM + len(self.ruler.marks) / 150))
        return fill(self.ruler, items)

    def worth(self, prices: Prices, board: int) -> float:
        """What the whole board is worth."""
        return float(prices.board[self.ruler.below(self.room[board])])

    def _split(self, prices: Prices, room: int) -> tuple[list[int], dict[int, int]]:
        """The best filling of a room: marks of its blanks, and unripped pieces."""
        marks, mark, blanks = self.ruler.marks, self.ruler.below(room), []
        unripped = int(prices.taken[mark])
        mark = self.ruler.take(mark, int(marks[unripped]))
        while (blank := int(prices.last_blank[mark])) != -1:
            blanks.append(blank)
            mark = self.ruler.take(mark, int(marks[blank]))
        return blanks, prices.unripped.pieces(unripped)

    def relaxed(self, prices: Prices, board: int) -> list[BoardCut]:
        """Return the board's best filling, and fillings whose last blank is ripped another way.

        A part may come out more often than the demand says.
        """
        found = [self._whole_board(prices, *self._split(prices, self.room[board]))]
        ways = self._last_blanks(prices, self.room[board])
        for mark in ways[:_MORE]:
            rest = self._split(prices, self.room[board] - int(self.ruler.marks[mark]))
            found.append(self._whole_board(prices, [mark, *rest[0]], rest[1]))
        return found

    def _last_blanks(self, prices: Prices, room: int) -> list[int]:
        """The best mark of a last blank for each section pattern, the best first."""
        rises = list_rises(prices.blank)
        rises = rises[self.ruler.marks[rises] <= room]
        rest = self.ruler.floors(room - self.ruler.marks[rises])
        worth = prices.board[rest] + prices.blank[rises]
        order = rises[np.argsort(-worth, kind="stable")]
        first = np.unique(prices.pattern[order], return_index=True)[1]
        return [int(order[at]) for at in np.sort(first)]

    def _whole_board(
        self, prices: Prices, marks: Sequence[int], unripped: Mapping[int, int]
    ) -> BoardCut:
        blanks = [whole for i, n in unripped.items() for whole in [self.whole(i)] * n]
        blanks += [blank for mark in marks if (blank := self.blank(prices, mark))]
        return self.board_cut(blanks)

    def blank(self, prices: Prices, mark: int) -> BlankCut | None:
        """The best blank of a length; None where it is too short for any."""
        if not prices.blank[mark]:
            return None
        pattern = int(prices.pattern[mark])
        strips: list[StripCut] = []
        for kind, often in self._held[pattern]:
            if pieces := prices.strips[kind].pieces(mark):
                strips += [StripCut(kind, tuple(sorted(pieces.items())))] * often
        return BlankCut(pattern, int(self.ruler.marks[mark]), tuple(strips))

    def cut(self, board: int, values: Sequence[float], most: Sequence[int]) -> BoardCut:
        """Return a valuable way to cut one board, no part more often than `most`.

        Blank by blank, each time the one worth most for its length, until the best filling of
        what is left holds no more of a part than may be.
        """
        need, room = list(most), self.room[board]
        blanks: list[BlankCut] = []
        while True:
            prices = self.prices(values, need)
            marks, unripped = self._split(prices, room)
            rest = self._whole_board(prices, marks, unripped)
            if not marks or all(c <= n for c, n in zip(rest.counts, need, strict=True)):
                return self.board_cut([*blanks, *rest.blanks])
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
        for kind, often in self._held[pattern]:
            for _ in range(often):
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
        room = min(max(self.room.values()), self.longest)
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

    def blank_loss(self, prices: Prices, pattern: int, room: int) -> float:
        """How much less a board is worth with this blank than it could be, its strips at best."""
        mark, board = self.ruler.below(room), max(self.room.values())
        worth = sum(often * prices.strips[kind].value[mark] for kind, often in self._held[pattern])
        rest = prices.board[self.ruler.below(board - room)] if room <= board else 0.0
        return float(prices.board[self.ruler.below(board)] - worth - rest)

    def strip_loss(self, prices: Prices, strip: StripCut, values: Sequence[float]) -> float:
        """How much less than the best of its length a strip is worth."""
        mark = self.ruler.below(self.strip_room(strip))
        worth = sum(values[i] * n for i, n in strip.pieces)
        return float(prices.strips[strip.kind].value[mark] - worth)

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


class Places(NamedTuple):
    """Which of the strips (`kind`, so `often`) each section pattern holds, as ones and zeros.

    No pattern holds more than `enough` of a kind.
    """

    kind: Ints
    often: Floats
    enough: int
    chosen: Floats


def _places(patterns: NDArray[np.int32]) -> Places:
    kinds = range(patterns.shape[1])
    strips = [(k, int(n)) for k in kinds for n in np.unique(patterns[:, k]) if n]
    columns = [patterns[:, k] == n for k, n in strips]
    shape = (len(strips), len(patterns))
    return Places(
        np.array([k for k, _ in strips], dtype=np.int64),
        np.array([[n] for _, n in strips], dtype=np.float64).reshape(-1, 1),
        max((n for _, n in strips), default=1),
        np.array(columns, dtype=np.float64).reshape(shape).T,
    )


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
