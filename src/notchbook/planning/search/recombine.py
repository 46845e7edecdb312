"""The last boards: blanks and strips of many known patterns recombined in one whole-number program.

A blank is a section pattern and a length; a strip is a filling of some length. A strip goes into
any blank of its wood that is long enough and whose pattern has a place for its kind. Places are
nested by length, so it is enough to count: for every length, the strips that need at least as
much are no more than the places in blanks at least as long (Hall's condition for nested sets).
"""

from __future__ import annotations

import random
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

from notchbook.planning.model.budget import Budget
from notchbook.planning.search.integer import Effort, IntegerProgram
from notchbook.planning.search.wood import UNRIPPED, BlankCut, BoardCut, StripCut, Wood

_OVER = 10.0  # what a board as much too long as it is long counts: a way in for the search
_KIND, _BLANK = 1e-2, 1e-4  # a kind of blank more, a blank more, where neatness counts
_SHORT = 1e4  # what a piece that is not made counts; no board weighs more than 2


@dataclass(slots=True)
class Makings:
    """The blanks (pattern, room) and strips of one wood that boards may be put together from."""

    wood: Wood
    blanks: dict[tuple[int, int], None] = field(default_factory=dict)
    strips: dict[StripCut, None] = field(default_factory=dict)

    def take(self, cut: BoardCut) -> None:
        """Keep the blanks and strips of a board."""
        for blank in cut.blanks:
            if blank.pattern != UNRIPPED:
                self.blanks[blank.pattern, blank.room] = None
                for strip in blank.strips:
                    self.strips[strip] = None

    def widened(
        self, need: Sequence[int], most_blanks: int, most_strips: int, rng: random.Random
    ) -> Makings:
        """With every strip there can be too, and every pattern at every strip's length.

        All strips of a kind where they are not more than `most_strips`, and of the blanks so many.
        """
        strips = dict(self.strips)
        for kind in range(len(self.wood.kinds)):
            strips |= dict.fromkeys(self.wood.all_strips(kind, need, most_strips))
        rooms = {max(self.wood.strip_room(strip), self.wood.shortest) for strip in strips}
        every = [(p, room) for p in range(len(self.wood.patterns)) for room in sorted(rooms)]
        some = rng.sample(every, min(len(every), most_blanks))
        return Makings(self.wood, self.blanks | dict.fromkeys(some), strips)

    def promising(
        self, values: Sequence[float], need: Sequence[int], most_blanks: int, most_strips: int
    ) -> Makings:
        """Those that lose least of what a board is worth, by the values of a relaxation."""
        wood = self.wood
        prices = wood.prices(values, need)
        blanks = sorted(self.blanks, key=lambda blank: (wood.blank_loss(prices, *blank), blank))
        strips = sorted(self.strips, key=lambda each: (wood.strip_loss(prices, each, values), each))
        return Makings(
            wood, dict.fromkeys(blanks[:most_blanks]), dict.fromkeys(strips[:most_strips])
        )

    def within(self, need: Sequence[int]) -> Makings:
        """The makings for a smaller demand: strips without the pieces beyond it."""
        strips: dict[StripCut, None] = {}
        for strip in self.strips:
            kept = tuple((i, min(n, need[i])) for i, n in strip.pieces if need[i])
            if kept:
                strips[StripCut(strip.kind, kept)] = None
        return Makings(self.wood, self.blanks, strips)


@dataclass(slots=True)
class _Columns:
    """Where the program keeps what: by seat and blank, by seat and part, by strip."""

    blank: dict[tuple[int, int], int] = field(default_factory=dict)
    whole: dict[tuple[int, int], int] = field(default_factory=dict)
    strip: dict[tuple[int, StripCut], int] = field(default_factory=dict)
    over: list[int] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Seat:
    """One board that may be used."""

    wood: int
    board: int
    cost: float
    from_hand: bool


def recombine(
    makings: Sequence[Makings],
    need: Sequence[int],
    seats: Sequence[Seat],
    scarce: Collection[int],
    effort: Effort,
    budget: Budget,
    most_cost: int | None = None,
    *,
    neat: bool = False,
) -> list[tuple[Seat, BoardCut]] | None:
    """Find the boards that make the whole demand at least cost; None where none were found.

    `seats` lists every single board that may be used, those alike one after the other. Pieces of
    the parts in `scarce` may stay short, which is dearer than any board. `neat` asks for few
    different blanks too, then for few blanks. With `most_cost`, the boards that are bought cost
    no more money steps than that.
    """
    makings = [making.within(need) for making in makings]
    program, columns = IntegerProgram(), _Columns()
    open_ = _seat_rows(program, columns, makings, need, seats)
    if most_cost is not None:
        grid = makings[0].wood.grid
        bought = {c: grid.boards[s.board].price for c, s in open_.items() if not s.from_hand}
        program.row(None, most_cost, bought)
    _demand_rows(program, columns, makings, need, scarce)
    _nesting_rows(program, columns, makings, seats)
    if neat:
        _neatness_rows(program, columns, makings, seats)
    found = program.solve(effort, budget)
    if found is None or any(found[column] for column in columns.over):
        return None
    return _boards(found, columns, makings, need, seats)


def _seat_rows(
    program: IntegerProgram,
    columns: _Columns,
    makings: Sequence[Makings],
    need: Sequence[int],
    seats: Sequence[Seat],
) -> dict[int, Seat]:
    """The boards' lengths, and the columns that say which are used; one before the next alike."""
    used: list[int] = []
    for number, seat in enumerate(seats):
        making, wood = makings[seat.wood], makings[seat.wood].wood
        open_ = program.column(seat.cost, 1)
        room = wood.room[seat.board]
        columns.over.append(program.column(_OVER / room, room))
        terms = {open_: -room, columns.over[-1]: -1}
        for b, (_, length) in enumerate(making.blanks):
            if length <= room:
                column = program.column(1e-7 * length / room, room // length)
                columns.blank[number, b] = column
                terms[column] = length
        for i in wood.unripped:
            if need[i] and wood.length[i] <= room:
                column = program.column(1e-7, min(need[i], room // wood.length[i]))
                columns.whole[number, i] = column
                terms[column] = wood.length[i]
        program.row(None, 0, terms)
        if number and seats[number - 1] == seat:
            program.row(0, None, {used[-1]: 1, open_: -1})
        used.append(open_)
    return dict(zip(used, seats, strict=True))


def _demand_rows(
    program: IntegerProgram,
    columns: _Columns,
    makings: Sequence[Makings],
    need: Sequence[int],
    scarce: Collection[int],
) -> None:
    making_of: dict[int, dict[int, int]] = {i: {} for i, n in enumerate(need) if n}
    for w, making in enumerate(makings):
        for strip in making.strips:
            most = max(-(-need[i] // n) for i, n in strip.pieces)
            column = columns.strip[w, strip] = program.column(0.0, most)
            for i, n in strip.pieces:
                making_of[i][column] = n
    for (_, i), column in columns.whole.items():
        making_of[i][column] = 1
    for i, terms in making_of.items():
        if i in scarce:
            terms[program.column(_SHORT, need[i])] = 1
        program.row(need[i], None, terms)


def _nesting_rows(
    program: IntegerProgram, columns: _Columns, makings: Sequence[Makings], seats: Sequence[Seat]
) -> None:
    for w, making in enumerate(makings):
        blanks = list(making.blanks)
        rooms = sorted({room for _, room in blanks}, reverse=True)
        for kind in range(len(making.wood.kinds)):
            strips = [
                (making.wood.strip_room(strip), columns.strip[w, strip])
                for strip in making.strips
                if strip.kind == kind
            ]
            for number, room in enumerate(rooms):
                shorter = rooms[number + 1] if number + 1 < len(rooms) else 0
                if not any(shorter < length <= room for length, _ in strips):
                    continue
                terms = {column: -1 for length, column in strips if length > shorter}
                for (seat, b), column in columns.blank.items():
                    if seats[seat].wood != w or blanks[b][1] < room:
                        continue
                    if places := int(making.wood.patterns[blanks[b][0]][kind]):
                        terms[column] = places
                program.row(0, None, terms)
            longest = rooms[0] if rooms else 0
            for length, column in strips:
                if length > longest:
                    program.row(None, 0, {column: 1})


def _neatness_rows(
    program: IntegerProgram, columns: _Columns, makings: Sequence[Makings], seats: Sequence[Seat]
) -> None:
    """Every kind of blank used counts: it is a length and a way to rip of its own."""
    kinds: dict[tuple[int, int], list[int]] = {}
    for (seat, b), column in columns.blank.items():
        kinds.setdefault((seats[seat].wood, b), []).append(column)
        program.cost[column] += _BLANK
    for alike in kinds.values():
        most = sum(int(program.upper[column]) for column in alike)
        used = program.column(_KIND, 1)
        program.row(0, None, {used: most, **dict.fromkeys(alike, -1)})


def _boards(
    found: Sequence[int],
    columns: _Columns,
    makings: Sequence[Makings],
    need: Sequence[int],
    seats: Sequence[Seat],
) -> list[tuple[Seat, BoardCut]]:
    left = list(need)
    wholes: dict[int, list[BlankCut]] = {number: [] for number in range(len(seats))}
    for (seat, i), column in columns.whole.items():
        count = min(found[column], left[i])
        left[i] -= count
        wholes[seat] += [makings[seats[seat].wood].wood.whole(i)] * count
    ripped: dict[int, list[BlankCut]] = {}
    for w, making in enumerate(makings):
        strips = [strip for strip in making.strips for _ in range(found[columns.strip[w, strip]])]
        blanks = list(making.blanks)
        chosen = [
            (seat, *blanks[b])
            for (seat, b), column in columns.blank.items()
            if seats[seat].wood == w
            for _ in range(found[column])
        ]
        for seat, blank in _seated(making.wood, chosen, _trimmed(strips, left)):
            ripped.setdefault(seat, []).append(blank)
    return [
        (seat, makings[seat.wood].wood.board_cut([*ripped.get(number, ()), *wholes[number]]))
        for number, seat in enumerate(seats)
        if wholes[number] or ripped.get(number)
    ]


def _trimmed(strips: Sequence[StripCut], left: list[int]) -> list[StripCut]:
    """The strips without pieces beyond the demand, which is used up."""
    kept = []
    for strip in strips:
        pieces = []
        for i, n in strip.pieces:
            count = min(n, left[i])
            left[i] -= count
            if count:
                pieces.append((i, count))
        if pieces:
            kept.append(StripCut(strip.kind, tuple(pieces)))
    return kept


def _seated(
    wood: Wood, blanks: Sequence[tuple[int, int, int]], strips: Sequence[StripCut]
) -> list[tuple[int, BlankCut]]:
    """Every strip in the shortest blank that still has a place for it, the longest strips first."""
    ordered = sorted(range(len(blanks)), key=lambda b: (blanks[b][2], b))
    places = {b: list(wood.patterns[blanks[b][1]]) for b in ordered}
    held: dict[int, list[StripCut]] = {b: [] for b in ordered}
    for strip in sorted(strips, key=lambda s: (-wood.strip_room(s), s)):
        room = wood.strip_room(strip)
        b = next(b for b in ordered if blanks[b][2] >= room and places[b][strip.kind] > 0)
        places[b][strip.kind] -= 1
        held[b].append(strip)
    cuts = []
    for b in ordered:
        if held[b]:
            room = max([wood.shortest, *(wood.strip_room(strip) for strip in held[b])])
            cuts.append((blanks[b][0], BlankCut(blanks[b][1], room, tuple(sorted(held[b])))))
    return cuts
