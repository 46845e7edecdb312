"""The last boards of a plan: blanks and strips gathered at many values, then recombined."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Collection, Iterator, Sequence

from notchbook.planning.model.outcome import Cut
from notchbook.planning.model.supply import Pattern
from notchbook.planning.search.integer import Effort
from notchbook.planning.search.master import FROM_HAND
from notchbook.planning.search.partial_plan import PartialPlan
from notchbook.planning.search.recombine import Makings, Seat, recombine
from notchbook.planning.search.relaxation import Relaxation
from notchbook.planning.search.wood import BoardCut, Wood

_SHAKES = (10, 40)  # fillings at shaken values, in all, before each attempt
_TURNS = 60  # plans filled board by board before each further attempt
_GLIMPSES = 3  # blanks looked at besides
_NODES, _NEAT_NODES = 120, 60
_WIDE = 4  # attempts with other blanks and another way through the search
_MOST_BLANKS, _MOST_STRIPS = 600, 1_000
_MOST_SEATS = 12


class LastBoards:
    """Recombines what the relaxation of some woods has found, and more of the kind.

    Only a `thorough` search looks at blanks that no filling came up with.
    """

    def __init__(
        self,
        relaxation: Relaxation,
        woods: Sequence[Wood],
        scarce: Collection[int],
        *,
        thorough: bool,
    ) -> None:
        self.relaxation, self.grid, self.woods = relaxation, relaxation.grid, woods
        self.scarce, self.thorough = scarce, thorough
        self.forget()

    def forget(self) -> None:
        """Begin anew, as if nothing had been gathered."""
        self.makings = [Makings(wood) for wood in self.woods]
        self._rng = random.Random(1)
        self._shaken = 0

    def attempts(
        self,
        demand: Sequence[int],
        hand: Sequence[int],
        values: Sequence[float],
        goal: int,
        most_cost: int,
    ) -> Iterator[tuple[Cut, ...]]:
        """Yield boards for the demand, found with more and more effort.

        No plan costs less than `goal`; one that costs more than `most_cost` is of no use.
        """
        for shakes in _SHAKES:
            self._gather(values, demand, shakes)
            if shakes > _SHAKES[0]:
                yield from self._in_turn(demand, hand, values, goal)
            yield from self._recombined(self.makings, demand, self._seats(demand, hand, goal), 1)
        seats = self._seats(demand, hand, most_cost)
        for luck in range(1, _WIDE + 1 if self.thorough else 1):
            rng = random.Random(luck)
            most = _MOST_BLANKS // max(len(seats), 1)
            makings = [making.widened(demand, most, _MOST_STRIPS, rng) for making in self.makings]
            yield from self._recombined(makings, demand, seats, luck)

    def _recombined(
        self,
        makings: Sequence[Makings],
        demand: Sequence[int],
        seats: Sequence[Seat],
        luck: int,
    ) -> Iterator[tuple[Cut, ...]]:
        left = self.relaxation.budget.left()
        if seats and left:
            effort = Effort(left, _NODES, luck)
            made = recombine(makings, demand, seats, self.scarce, effort)
            if made is not None:
                yield tuple(self._cuts(made))

    def _in_turn(
        self, demand: Sequence[int], hand: Sequence[int], values: Sequence[float], goal: int
    ) -> Iterator[tuple[Cut, ...]]:
        """One board filled after the other at shaken values; what falls short is gathered too."""
        for _ in range(_TURNS):
            if not self.relaxation.budget.left():
                return
            least = self._rng.uniform(0.7, 1.0)
            shaken = [value * self._rng.uniform(least, 1 / least) for value in values]
            partial = PartialPlan.of(self.relaxation, demand, hand)
            while any(partial.need) and (pattern := self._fullest(partial, shaken, goal)):
                if isinstance(pattern.cut, BoardCut):
                    self.makings[pattern.supply].take(pattern.cut)
                partial.settle(pattern, 1, from_hand=partial.hand[pattern.board] > 0)
            if not any(partial.need):
                yield partial.cuts

    def _fullest(self, partial: PartialPlan, values: Sequence[float], goal: int) -> Pattern | None:
        """The next board: what is cut from it is worth most for what the board counts."""
        best: Pattern | None = None
        most = 0.0
        for w, wood in enumerate(self.woods):
            for b in wood.boards:
                there, board = partial.hand[b] > 0, self.grid.boards[b]
                if not there and (not board.buyable or partial.spent + board.price > goal):
                    continue
                cut = wood.cut(b, values, partial.need)
                weight = self.relaxation.weight[b] * (FROM_HAND if there else 1.0)
                worth = sum(v * c for v, c in zip(values, cut.counts, strict=True)) / weight
                if worth > most:
                    best, most = Pattern(w, b, cut), worth
        return best

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
        left = self.relaxation.budget.left()
        effort = Effort(left, _NEAT_NODES)
        made = recombine(self.makings, demand, seats, (), effort, neat=True)
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
                making.take(wood.relaxed(prices, board))
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
