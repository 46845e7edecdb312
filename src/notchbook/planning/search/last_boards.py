"""The last boards of a plan: blanks and strips gathered at many values, then recombined."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Collection, Iterator, Sequence

from notchbook.planning.model.outcome import Cut
from notchbook.planning.search.blank_list import BlankList, keep_often
from notchbook.planning.search.integer import Effort
from notchbook.planning.search.master import FROM_HAND
from notchbook.planning.search.partial_plan import PartialPlan
from notchbook.planning.search.recombine import Makings, Seat, recombine
from notchbook.planning.search.relaxation import Relaxation
from notchbook.planning.search.whole_blanks import WholeBlanks
from notchbook.planning.search.wood import BoardCut, Wood

_SHAKES = (10, 40)  # fillings at shaken values, in all, before each attempt
_TURNS = 60  # plans filled board by board before each further attempt
_GLIMPSES = 3  # blanks looked at besides
_NODES, _NEAT_NODES = 120, 20
_STEPS, _NEAT_STEPS = 1_500_000, 150_000
_WIDE = 4  # attempts with other blanks and another way through the search
_MOST_BLANKS, _MOST_STRIPS = 600, 400
_MOST_SEATS = 12
_LISTED = 20_000  # blanks that waste least
# so many of them for each part, and the steps for a choice among them
_OFTEN = [(often, 800_000) for often in (30, 45, 60, 80, 100, 120, 160, 200)]
_PATIENT = [(60, 6_000_000)]
_WHOLE_NODES = 20_000


class LastBoards:
    """Recombines what the relaxation of some woods has found, and more of the kind."""

    def __init__(
        self, relaxation: Relaxation, woods: Sequence[Wood], scarce: Collection[int]
    ) -> None:
        self.relaxation, self.grid, self.woods = relaxation, relaxation.grid, woods
        self.scarce = scarce
        self.makings = [Makings(wood) for wood in woods]
        self._rng = random.Random(1)
        self._shaken = 0

    def attempts(
        self,
        demand: Sequence[int],
        hand: Sequence[int],
        values: Sequence[float],
        goal: int,
        sums: Sequence[int],
    ) -> Iterator[tuple[Cut, ...] | None]:
        """Boards for the demand, found with more and more effort.

        No plan costs less than `goal`; `sums` are those that are asked for, each by itself.
        """
        for shakes in _SHAKES:
            self._gather(values, demand, shakes)
            if shakes > _SHAKES[0]:
                yield from self._in_turn(demand, hand, values, goal)
            yield self._recombined(
                self.makings, demand, values, 1, self._seats(demand, hand, goal), goal
            )
        for luck in range(1, _WIDE + 1):
            for most in sums:
                seats = self._seats(demand, hand, most)
                rng = random.Random(luck)
                blanks = _MOST_BLANKS // max(len(seats), 1)
                makings = [each.widened(demand, blanks, _MOST_STRIPS, rng) for each in self.makings]
                yield self._recombined(makings, demand, values, luck, seats, most)

    def whole(
        self,
        demand: Sequence[int],
        hand: Sequence[int],
        values: Sequence[float],
        most: int,
        *,
        patient: bool = False,
    ) -> Iterator[tuple[Cut, ...] | None]:
        """Boards for `most` money steps of blanks that waste least, among more and more of them.

        `patient`: among a few of them once, for as long as it takes.
        """
        budget = self.relaxation.budget
        lists = [BlankList(wood, values, demand).find(_LISTED) for wood in self.woods]
        seats, before = self._seats(demand, hand, most), -1
        for often, steps in _PATIENT if patient else _OFTEN:
            kept = [keep_often(each, often) for each in lists]
            number = sum(map(len, kept))
            if not seats or not budget.left or number == before:
                return
            before = number
            program = WholeBlanks(self.woods, kept, demand, seats, most)
            made = program.choose(Effort(steps, _WHOLE_NODES), budget)
            yield None if made is None else tuple(self._cuts(made))

    def together(
        self, demand: Sequence[int], hand: Sequence[int], values: Sequence[float], most: int
    ) -> tuple[Cut, ...] | None:
        """Boards for a small demand from all that was gathered so far, for `most` money steps."""
        self._gather(values, demand, _SHAKES[0])
        return self._recombined(
            self.makings, demand, values, 1, self._seats(demand, hand, most), most
        )

    def _recombined(
        self,
        makings: Sequence[Makings],
        demand: Sequence[int],
        values: Sequence[float],
        luck: int,
        seats: Sequence[Seat],
        most: int,
    ) -> tuple[Cut, ...] | None:
        budget = self.relaxation.budget
        if not seats or not budget.left:
            return None
        blanks = _MOST_BLANKS // len(seats)
        makings = [
            each.within(demand).promising(values, demand, blanks, _MOST_STRIPS) for each in makings
        ]
        effort = Effort(_STEPS, _NODES, luck)
        made = recombine(makings, demand, seats, self.scarce, effort, budget, most)
        return None if made is None else tuple(self._cuts(made))

    def _in_turn(
        self, demand: Sequence[int], hand: Sequence[int], values: Sequence[float], goal: int
    ) -> Iterator[tuple[Cut, ...] | None]:
        """One board filled after the other at shaken values; what falls short is gathered too."""
        for _ in range(_TURNS):
            if not self.relaxation.budget.left:
                return
            least = self._rng.uniform(0.7, 1.0)
            shaken = [value * self._rng.uniform(least, 1 / least) for value in values]
            partial = PartialPlan.of(self.relaxation, demand, hand)
            while any(partial.need) and (pattern := partial.find_fullest(shaken, goal)):
                if isinstance(pattern.cut, BoardCut):
                    self.makings[pattern.supply].take(pattern.cut)
                partial.settle(pattern, 1, from_hand=partial.hand[pattern.board] > 0)
            yield None if any(partial.need) else partial.cuts

    def neat(
        self, demand: Sequence[int], values: Sequence[float], used: Sequence[Cut]
    ) -> tuple[Cut, ...] | None:
        """The demand from the boards used so far, cut into few kinds of blanks."""
        self._gather(values, demand, _SHAKES[0])
        counts: Counter[tuple[int, bool]] = Counter()
        for cut in used:
            counts[cut.board, True] += cut.on_hand
            counts[cut.board, False] += cut.count - cut.on_hand
        wood_of = {b: w for w, wood in enumerate(self.woods) for b in wood.boards}
        seats: list[Seat] = []
        for (b, from_hand), count in sorted(counts.items()):
            seats += [Seat(wood_of[b], b, self.relaxation.weight[b], from_hand)] * count
        effort, budget = Effort(_NEAT_STEPS, _NEAT_NODES), self.relaxation.budget
        made = recombine(self.makings, demand, seats, (), effort, budget, neat=True)
        return None if made is None else tuple(self._cuts(made))

    def _gather(self, values: Sequence[float], demand: Sequence[int], shakes: int) -> None:
        """Take what the pool holds, and fill boards until that was done `shakes` times in all."""
        for pattern in self.relaxation.pool.values():
            if isinstance(pattern.cut, BoardCut):
                self.makings[pattern.supply].take(pattern.cut)
        while self._shaken < shakes:
            self._shaken += 1
            self._shake(values, demand)

    def _shake(self, values: Sequence[float], demand: Sequence[int]) -> None:
        """Fill boards at other values; a little for length makes strips as full as they go."""
        rng = self._rng
        shaken = [value * rng.uniform(0.6, 1.4) for value in values]
        little = max(shaken) * 1e-4
        for wood, making in zip(self.woods, self.makings, strict=True):
            for i, length in wood.length.items():
                shaken[i] += little * length / wood.ruler.room
            prices = wood.prices(shaken, demand)
            for board in wood.boards:
                for cut in wood.relaxed(prices, board):
                    making.take(cut)
            for mark in rng.sample(
                range(len(wood.ruler.marks)), min(_GLIMPSES, len(wood.ruler.marks))
            ):
                if blank := wood.blank(prices, mark):
                    making.take(wood.board_cut([blank]))

    def _seats(self, demand: Sequence[int], hand: Sequence[int], most_cost: int) -> list[Seat]:
        """Every board that may be of use, those alike one after the other."""
        seats: list[Seat] = []
        for w, wood in enumerate(self.woods):
            for b in wood.boards:
                board, weight = self.grid.boards[b], self.relaxation.weight[b]
                enough = min(sum(demand), _MOST_SEATS)
                seats += [Seat(w, b, FROM_HAND * weight, True)] * min(hand[b], enough)
                if board.buyable:
                    most = most_cost // board.price if board.price else enough
                    seats += [Seat(w, b, weight, False)] * min(most, enough)
        return seats

    def _cuts(self, made: Sequence[tuple[Seat, BoardCut]]) -> Iterator[Cut]:
        for seat, cut in made:
            filled = self.woods[seat.wood].filled(cut, cut.counts)
            yield Cut(seat.board, filled, 1, int(seat.from_hand))
