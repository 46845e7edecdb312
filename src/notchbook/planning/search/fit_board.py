"""First fit on one board or sheet, by a habit.

Lumber is crosscut into blanks, ripped into strips and crosscut into pieces; sheets are cut right
across. Room for things in a row is counted with one kerf added to the room and to each thing, so
that a last remainder thinner than a kerf needs no cut of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from notchbook.planning.geometry.rectangles import Blade, Rectangle, Way, place
from notchbook.planning.model.filled import FilledBoard, PlacedBlank, PlacedPiece, PlacedStrip
from notchbook.planning.model.grid import GridBoard, GridPart, GridSaw

BlankLength = Literal["snug", "run", "whole"]


class Habit(NamedTuple):
    """Parts in this order; how long a blank to be ripped is; which rest of a cut stays whole.

    A blank is snug (its piece, or the shortest rip), a run (the fewest pieces end to end that
    reach the shortest rip) or whole (all that is left of the board). The parts in `turned` are
    tried the other way round first.
    """

    order: tuple[int, ...]
    blanks: BlankLength = "snug"
    split: int | None = None
    turned: frozenset[int] = frozenset()


def fill_board(
    board: GridBoard,
    saw: GridSaw,
    parts: Sequence[GridPart],
    demand: Sequence[int],
    habit: Habit,
) -> FilledBoard:
    """Lay as much of the demand as goes on one board, the parts in the order of the habit."""
    bench = _Bench(board, saw, habit)
    counts = [0] * len(parts)
    for i in habit.order:
        if demand[i]:
            counts[i] = bench.lay(i, parts[i], demand[i])
    volume = sum(count * part.volume for count, part in zip(counts, parts, strict=True))
    placed = tuple(blank.placed() for blank in bench.blanks)
    return FilledBoard(tuple(counts), volume, placed, ())


@dataclass(slots=True)
class _OpenStrip:
    thickness: int
    width: int
    at: tuple[int, int]
    turned: bool
    room: int
    pieces: list[tuple[int, int]] = field(default_factory=list)

    def take(self, number: int, part: GridPart, wanted: int, kerf: int) -> int:
        """Crosscut as many pieces as go, at most `wanted`."""
        often = min(wanted, self.room // (part.length + kerf))
        if often:
            self.room -= often * (part.length + kerf)
            self.pieces.append((number, often))
        return often


@dataclass(slots=True)
class _OpenBlank:
    length: int
    free: list[Rectangle]
    strips: list[_OpenStrip]

    def rip(
        self, part: GridPart, wanted: int, saw: GridSaw, split: int | None
    ) -> _OpenStrip | None:
        """A new strip of the part's section, where the blank still has one."""
        ways = ((part.width, part.thickness), (part.thickness, part.width))
        if not self.free:
            return None
        found = place(self.free, ways, Blade(saw.kerf, saw.deepest_cut, split), wanted)
        if found is None:
            return None
        taken = self.free.pop(found.free)
        self.free.extend(found.left)
        strip = _OpenStrip(
            part.thickness,
            part.width,
            (taken.x, taken.y),
            found.way == 1,
            self.length + saw.kerf,
        )
        self.strips.append(strip)
        return strip

    def copy(self) -> _OpenBlank:
        """Another blank ripped in the same way."""
        strips = [
            _OpenStrip(s.thickness, s.width, s.at, s.turned, s.room, list(s.pieces))
            for s in self.strips
        ]
        return _OpenBlank(self.length, list(self.free), strips)

    def placed(self) -> PlacedBlank:
        """The blank as it stays."""
        strips = (
            PlacedStrip(s.thickness, s.width, s.at, s.turned, tuple(s.pieces)) for s in self.strips
        )
        return PlacedBlank(self.length, tuple(strips))


class _Bench:
    """One board being cut up."""

    def __init__(self, board: GridBoard, saw: GridSaw, habit: Habit) -> None:
        self.board, self.saw, self.habit = board, saw, habit
        self.room = board.length - 2 * saw.end_trim + saw.kerf
        self.blanks: list[_OpenBlank] = []

    def lay(self, number: int, part: GridPart, wanted: int) -> int:
        """Put up to `wanted` pieces of a part on the board; return how many went on."""
        if self.board.full_section(part):
            return self._crosscut(number, part, wanted)
        placed = 0
        for blank in self.blanks:
            placed += self._use(blank, number, part, wanted - placed)
        while placed < wanted and (length := self._blank_length(part, wanted - placed)) is not None:
            fresh = self._new_blank(length)
            filled = self._use(fresh, number, part, wanted - placed)
            placed += filled
            while placed + filled <= wanted and self._blank_length(part, wanted - placed) == length:
                self._new_blank(length, like=fresh)
                placed += filled
        return placed

    def _use(self, blank: _OpenBlank, number: int, part: GridPart, wanted: int) -> int:
        """Fill what the blank has left of strips of the section, then of room for new ones."""
        if blank.length < part.length:
            return 0
        placed = 0
        for open_strip in blank.strips:
            if (open_strip.thickness, open_strip.width) == (part.thickness, part.width):
                placed += open_strip.take(number, part, wanted - placed, self.saw.kerf)
        while (
            placed < wanted
            and (strip := blank.rip(part, wanted - placed, self.saw, self.habit.split)) is not None
        ):
            placed += strip.take(number, part, wanted - placed, self.saw.kerf)
        return placed

    def _crosscut(self, number: int, part: GridPart, wanted: int) -> int:
        often = min(wanted, self.room // (part.length + self.saw.kerf))
        self.room -= often * (part.length + self.saw.kerf)
        turned = part.width != self.board.width
        for _ in range(often):
            strip = _OpenStrip(part.thickness, part.width, (0, 0), turned, 0, [(number, 1)])
            self.blanks.append(_OpenBlank(part.length, [], [strip]))
        return often

    def _new_blank(self, length: int, like: _OpenBlank | None = None) -> _OpenBlank:
        self.room -= length + self.saw.kerf
        across = self.board.width - 2 * self.saw.squaring
        section = Rectangle(self.saw.squaring, 0, across, self.board.thickness)
        self.blanks.append(like.copy() if like else _OpenBlank(length, [section], []))
        return self.blanks[-1]

    def _blank_length(self, part: GridPart, wanted: int) -> int | None:
        kerf, shortest = self.saw.kerf, self.saw.shortest_rip
        left = self.room - kerf
        least = max(part.length, shortest)
        most = min(left, self.saw.longest_rip)
        if least > most:
            return None
        if self.habit.blanks == "whole":
            return most
        if self.habit.blanks == "run" and part.length < shortest:
            pieces = -(-(shortest + kerf) // (part.length + kerf))
            run = pieces * (part.length + kerf) - kerf
            return run if pieces <= wanted and run <= most else least
        return least


def fill_sheet(
    board: GridBoard, saw: GridSaw, parts: Sequence[GridPart], demand: Sequence[int], habit: Habit
) -> FilledBoard:
    """Lay as much of the demand as goes on one sheet, the parts in the order of the habit."""
    blade = Blade(saw.kerf, max(board.length, board.width), habit.split)
    free = [Rectangle(0, 0, board.length, board.width)]
    counts = [0] * len(parts)
    pieces: list[PlacedPiece] = []
    for i in habit.order:
        if not demand[i]:
            continue
        ways = _ways(board, parts[i])
        tried = ways[::-1] if i in habit.turned else ways
        while counts[i] < demand[i]:
            found = place(free, tried, blade, demand[i] - counts[i])
            if found is None:
                break
            taken = free.pop(found.free)
            free.extend(found.left)
            along, across = tried[found.way]
            turned = (along, across) != ways[0]
            pieces.append(PlacedPiece(i, taken.x, taken.y, along, across, turned))
            counts[i] += 1
    volume = sum(count * part.volume for count, part in zip(counts, parts, strict=True))
    return FilledBoard(tuple(counts), volume, (), tuple(pieces))


def _ways(board: GridBoard, part: GridPart) -> tuple[Way, ...]:
    """The ways the part may lie: with grain, along it, unless the part may be turned."""
    along = (part.length, part.width)
    if (board.grain and not part.turn) or part.length == part.width:
        return (along,)
    return (along, (part.width, part.length))
