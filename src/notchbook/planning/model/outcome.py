"""What a search came to: boards cut, pieces short, money."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from notchbook.planning.model.filled import FilledBoard
from notchbook.planning.model.grid import LengthGrid


@dataclass(frozen=True, slots=True)
class Cut:
    """`count` boards cut alike, `on_hand` of them not bought."""

    board: int
    filled: FilledBoard
    count: int
    on_hand: int


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one search came to: the cuts, pieces not made (by part), money and a lower bound."""

    cuts: tuple[Cut, ...]
    short: Mapping[int, int]
    cost: int
    bound: int
    hand_value: int

    @property
    def boards(self) -> int:
        """Boards cut, bought and on hand."""
        return sum(cut.count for cut in self.cuts)

    def cannot_be_beaten(self, least_boards: int) -> bool:
        """Whether it meets the bound, and takes no more from stock than it must."""
        frugal = self.boards == least_boards or not any(cut.on_hand for cut in self.cuts)
        return not self.short and self.cost == self.bound and frugal

    @property
    def rank(self) -> tuple[int, int, int, int]:
        """The lower, the better: pieces short, money, value taken from stock, boards."""
        return sum(self.short.values()), self.cost, self.hand_value, self.boards


def sum_up(
    grid: LengthGrid, cuts: Iterable[Cut], demand: Sequence[int], members: Iterable[int], bound: int
) -> Outcome:
    """Sum up cuts: the money and what stays short are worked out from them."""
    cuts = tuple(cuts)
    made = [0] * len(demand)
    cost = value = 0
    for cut in cuts:
        for i, count in enumerate(cut.filled.counts):
            made[i] += count * cut.count
        price = grid.boards[cut.board].price
        cost += price * (cut.count - cut.on_hand)
        value += price * cut.on_hand
    short = {i: demand[i] - made[i] for i in members if made[i] < demand[i]}
    return Outcome(cuts, short, cost, bound, value)
