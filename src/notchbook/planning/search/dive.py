"""Diving: settle the whole boards of a fractional plan, then its fullest fraction, price anew.

At every level first fit makes a whole plan of it, so there is one from the start and the better
ones come early. Where what remains must cost more than the goal leaves, which is sure only where
patterns are priced exactly, the dive goes back and settles another fraction instead.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from notchbook.planning.model.outcome import Cut
from notchbook.planning.search.bound import payable
from notchbook.planning.search.first_fit import FirstFit
from notchbook.planning.search.partial_plan import PartialPlan
from notchbook.planning.search.relaxation import Relaxation, Relaxed

_WIDTH = 3
_NODES = 150


def dive(
    relaxation: Relaxation,
    first_fit: FirstFit,
    demand: Sequence[int],
    hand: Sequence[int],
    goal: int,
) -> Iterator[tuple[Cut, ...]]:
    """Plans that make the demand; a dive goes back where the goal is surely out of reach."""
    diver = _Diver(relaxation, first_fit, goal)
    for loose in (0, 1):
        diver.nodes = _NODES
        yield from diver.go(PartialPlan.of(relaxation, demand, hand), loose)


class _Diver:
    """Dives towards plans that cost `goal` money steps at most."""

    def __init__(self, relaxation: Relaxation, first_fit: FirstFit, goal: int) -> None:
        self.relaxation, self.first_fit, self.goal = relaxation, first_fit, goal
        self.nodes = _NODES
        self._exact = all(supply.exact for supply in relaxation.supplies)

    def go(self, partial: PartialPlan, loose: int) -> Iterator[tuple[Cut, ...]]:
        """Settle, complete, go on; `loose` of every pattern's whole boards are left open."""
        self.nodes -= 1
        relaxed = self.relaxation.solve(partial.need, partial.hand)
        sure = self._exact and relaxed.converged
        if sure and partial.spent + self._least(relaxed) > self.goal:
            return
        partial.settle_whole(relaxed, loose)
        yield partial.cuts + self.first_fit.best(partial.need, partial.hand).cuts
        fractions = sorted(relaxed.uses, key=lambda use: -(use.amount % 1))
        for use in fractions[: _WIDTH if self._exact else 1]:
            if self.nodes <= 0 or not self.relaxation.budget.left:
                return
            further = partial.copy()
            further.settle(use.pattern, 1, from_hand=use.from_hand)
            if len(further.cuts) > len(partial.cuts):
                yield from self.go(further, 0)

    def _least(self, relaxed: Relaxed) -> int:
        boards = self.relaxation.grid.boards
        bought = [use for use in relaxed.uses if not use.from_hand]
        money = sum(use.amount * boards[use.pattern.board].price for use in bought)
        least = Fraction(max(0.0, money * (1 - 1e-9) - 1e-6))
        return payable(self.relaxation.grid, self.first_fit.boards, least)
