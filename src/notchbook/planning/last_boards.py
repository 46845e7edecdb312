"""The last boards of a plan: blanks and strips gathered at many values, then recombined."""

from __future__ import annotations

import random
from collections.abc import Collection, Iterator, Sequence

from notchbook.planning.master import FROM_HAND
from notchbook.planning.outcome import Cut
from notchbook.planning.recombine import Makings, Seat, recombine
from notchbook.planning.relaxation import Relaxation
from notchbook.planning.wood import BoardCut, Wood

_SHAKES = (10, 30, 30)  # fillings at shaken values before each attempt
_GLIMPSES = 3  # blanks looked at besides
_NODES = 300
_MOST_BLANKS, _MOST_STRIPS = 500, 1_000
_MOST_SEATS = 12


class LastBoards:
    """Recombines what the relaxation of some woods has found, and more of the kind."""

    def __init__(
        self, relaxation: Relaxation, woods: Sequence[Wood], scarce: Collection[int]
    ) -> None:
        self.relaxation, self.grid, self.woods = relaxation, relaxation.grid, woods
        self.scarce = scarce

    def attempts(
        self,
        demand: Sequence[int],
        hand: Sequence[int],
        values: Sequence[float],
        goal: int,
        most_cost: int,
    ) -> Iterator[tuple[Cut, ...]]:
        """Boards for the demand, found with more and more effort.

        No plan costs less than `goal`; one that costs more than `most_cost` is of no use.
        """
        makings = [Makings(wood) for wood in self.woods]
        for pattern in self.relaxation.pool.values():
            if isinstance(pattern.cut, BoardCut):
                makings[pattern.supply].take(pattern.cut)
        rng = random.Random(1)
        for effort, shakes in enumerate(_SHAKES):
            for _ in range(shakes):
                self._shake(makings, values, demand, rng)
            last = effort == len(_SHAKES) - 1
            if last:
                for making in makings:
                    making.widen(demand, _MOST_BLANKS, _MOST_STRIPS, rng)
            seats = self._seats(demand, hand, most_cost if last else goal)
            left = self.relaxation.budget.left()
            made = recombine(makings, demand, seats, self.scarce, left, _NODES)
            if made is not None:
                yield tuple(self._cuts(made))

    def _shake(
        self,
        makings: Sequence[Makings],
        values: Sequence[float],
        demand: Sequence[int],
        rng: random.Random,
    ) -> None:
        """Fill boards at other values; a little for length makes strips as full as they go."""
        shaken = [value * rng.uniform(0.6, 1.4) for value in values]
        little = max(shaken) * 1e-4
        for wood, making in zip(self.woods, makings, strict=True):
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
            filled = self.woods[seat.wood].filled(seat.board, cut, cut.counts)
            yield Cut(seat.board, filled, 1, int(seat.from_hand))
