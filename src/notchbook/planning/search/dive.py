"""Diving: settle the whole boards of a fractional plan, then its fullest fraction, price anew.

Where what remains must cost more than the goal leaves, the dive goes back and settles another
fraction instead.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from notchbook.planning.model.outcome import Cut
from notchbook.planning.search.bound import payable
from notchbook.planning.search.first_fit import FirstFit
from notchbook.planning.search.partial_plan import PartialPlan
from notchbook.planning.search.relaxation import Relaxation, Relaxed

_WIDTH = 3
_NODES = 150
_ROUNDS = 120


class Dive:
    """Dives for parts that share boards; `goal` is what they may cost, in money steps."""

    def __init__(self, relaxation: Relaxation, first_fit: FirstFit) -> None:
        self.relaxation, self.first_fit = relaxation, first_fit
        self.nodes = _NODES

    def cuts(self, demand: Sequence[int], hand: Sequence[int], goal: int) -> tuple[Cut, ...] | None:
        """Boards that make all of the demand for at most the goal; None where none were found."""
        for loose in (0, 1):
            self.nodes = _NODES
            partial = PartialPlan.of(self.relaxation, demand, hand)
            if (cuts := self._dive(partial, goal, loose)) is not None:
                return cuts
        return None

    def _dive(self, partial: PartialPlan, goal: int, loose: int) -> tuple[Cut, ...] | None:
        """`loose` of every pattern's whole boards are left open at first."""
        self.nodes -= 1
        relaxed = self.relaxation.solve(partial.need, partial.hand, proper=True, rounds=_ROUNDS)
        if partial.spent + self._least(relaxed) > goal:
            return None
        partial.settle_whole(relaxed, loose)
        rest = self.first_fit.best(partial.need, partial.hand)
        if not rest.short and partial.spent + rest.cost <= goal:
            return partial.cuts + rest.cuts
        fractions = sorted(relaxed.uses, key=lambda use: -(use.amount % 1))
        for use in fractions[:_WIDTH]:
            if self.nodes <= 0 or self.relaxation.budget.left() <= 0:
                return None
            further = partial.copy()
            further.settle(use.pattern, 1, from_hand=use.from_hand)
            if len(further.cuts) == len(partial.cuts) or further.spent > goal:
                continue
            if (cuts := self._dive(further, goal, 0)) is not None:
                return cuts
        return None

    def _least(self, relaxed: Relaxed) -> int:
        boards = self.relaxation.grid.boards
        bought = [use for use in relaxed.uses if not use.from_hand]
        money = sum(use.amount * boards[use.pattern.board].price for use in bought)
        least = Fraction(max(0.0, money * (1 - 1e-9) - 1e-6))
        return payable(self.relaxation.grid, self.first_fit.boards, least)
