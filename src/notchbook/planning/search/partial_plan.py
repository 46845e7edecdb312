"""A plan in part: boards that are settled, and the demand and the boards on hand that remain."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

from notchbook.planning.model.outcome import Cut
from notchbook.planning.model.supply import Pattern
from notchbook.planning.search.master import FROM_HAND
from notchbook.planning.search.relaxation import Relaxation, Relaxed


@dataclass(slots=True)
class PartialPlan:
    """Settled boards and what remains; copies do not disturb each other."""

    relaxation: Relaxation
    need: list[int]
    hand: list[int]
    cuts: tuple[Cut, ...] = ()
    spent: int = 0

    @classmethod
    def of(cls, relaxation: Relaxation, demand: Sequence[int], hand: Sequence[int]) -> Self:
        """Begin a plan with nothing settled."""
        return cls(relaxation, list(demand), list(hand))

    def copy(self) -> PartialPlan:
        """Return a plan as far as this one, to go on by itself."""
        return PartialPlan(self.relaxation, list(self.need), list(self.hand), self.cuts, self.spent)

    def settle(self, pattern: Pattern, count: int, *, from_hand: bool) -> None:
        """Cut `count` boards so, without pieces that are no longer needed."""
        supply = self.relaxation.supplies[pattern.supply]
        if from_hand:
            count = min(count, self.hand[pattern.board])
        while count > 0 and any(n and c for n, c in zip(self.need, pattern.counts, strict=True)):
            wanted = [min(n, c) for n, c in zip(self.need, pattern.counts, strict=True)]
            filled = supply.filled(pattern.cut, wanted)
            pairs = zip(self.need, filled.counts, strict=True)
            often = min(count, *(n // c for n, c in pairs if c))
            count -= often
            for i, c in enumerate(filled.counts):
                self.need[i] -= often * c
            self.cuts += (Cut(pattern.board, filled, often, often if from_hand else 0),)
            if from_hand:
                self.hand[pattern.board] -= often
            else:
                self.spent += often * self.relaxation.grid.boards[pattern.board].price

    def settle_whole(self, relaxed: Relaxed, except_for: int = 0) -> None:
        """Settle the whole boards of a fractional plan, but for so many of each pattern."""
        for use in relaxed.uses:
            if (count := int(use.amount + 1e-6) - except_for) > 0:
                self.settle(use.pattern, count, from_hand=use.from_hand)

    def find_fullest(self, values: Sequence[float], most_cost: float = math.inf) -> Pattern | None:
        """The next board: worth most for what it counts; None where none is worth anything."""
        best: Pattern | None = None
        most = 0.0
        for number, supply in enumerate(self.relaxation.supplies):
            for b in supply.boards:
                there, board = self.hand[b] > 0, self.relaxation.grid.boards[b]
                if not there and (not board.buyable or self.spent + board.price > most_cost):
                    continue
                cut = supply.cut(b, values, self.need)
                weight = self.relaxation.weight[b] * (FROM_HAND if there else 1.0)
                worth = sum(v * c for v, c in zip(values, cut.counts, strict=True)) / weight
                if worth > most:
                    best, most = Pattern(number, b, cut), worth
        return best
