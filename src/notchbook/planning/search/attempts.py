"""Attempts at whole boards, by the kind of boards there are."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction

from notchbook.planning.model.outcome import Cut, Outcome
from notchbook.planning.model.supply import Pattern
from notchbook.planning.search.bound import payable
from notchbook.planning.search.choose import choose
from notchbook.planning.search.dive import Dive
from notchbook.planning.search.first_fit import FirstFit
from notchbook.planning.search.last_boards import LastBoards
from notchbook.planning.search.partial_plan import PartialPlan
from notchbook.planning.search.relaxation import Relaxation, Relaxed
from notchbook.planning.search.sheet import SheetSupply
from notchbook.planning.search.wood import Wood

_FEW = 9  # boards that are recombined as a whole
_LISTED = 1_500  # sets of pieces of a sheet that are all offered to the choice
_NODES = 2_000


class Attempts:
    """Ways to make a demand from boards of a relaxation; `scarce` parts may stay short."""

    def __init__(
        self,
        relaxation: Relaxation,
        first_fit: FirstFit,
        scarce: Collection[int],
        *,
        thorough: bool,
    ) -> None:
        self.relaxation, self.first_fit, self.scarce = relaxation, first_fit, scarce
        woods = [supply for supply in relaxation.supplies if isinstance(supply, Wood)]
        ripped = any(wood.kinds for wood in woods) and len(woods) == len(relaxation.supplies)
        last = LastBoards(relaxation, woods, scarce, thorough=thorough)
        self.last = last if ripped else None

    def forget(self) -> None:
        """Begin anew, as if no demand had been seen before."""
        self.relaxation.pool.clear()
        if self.last:
            self.last.forget()

    def cuts(
        self, demand: Sequence[int], hand: Sequence[int], relaxed: Relaxed, found: Outcome
    ) -> Iterator[tuple[Cut, ...]]:
        """Cuts that may be better than what was found, the most promising first."""
        if self.last:
            yield from self._recombined(self.last, demand, hand, relaxed, found)
            return
        sheets = any(isinstance(supply, SheetSupply) for supply in self.relaxation.supplies)
        if sheets:
            self._list_sheets()
        if sheets or found.cost == found.bound:
            yield from self._chosen(demand, hand)
        dive = Dive(self.relaxation, self.first_fit)
        goal = found.bound
        while goal < found.cost:
            if (cuts := dive.cuts(demand, hand, goal)) is not None:
                yield cuts
                return
            yield from self._chosen(demand, hand)
            goal = payable(self.relaxation.grid, self.first_fit.boards, Fraction(goal + 1))

    def neat(
        self, demand: Sequence[int], values: Sequence[float], found: Outcome
    ) -> tuple[Cut, ...] | None:
        """The same boards cut at fewer settings, where they are few enough to look."""
        if self.last is None or found.short or found.boards > _FEW:
            return None
        return self.last.neat(demand, values, found.cuts)

    def _recombined(
        self,
        last: LastBoards,
        demand: Sequence[int],
        hand: Sequence[int],
        relaxed: Relaxed,
        found: Outcome,
    ) -> Iterator[tuple[Cut, ...]]:
        """Settle boards until few are left, and recombine those."""
        partial = PartialPlan.of(self.relaxation, demand, hand)
        while relaxed.boards > _FEW:
            settled = len(partial.cuts)
            partial.settle_whole(relaxed)
            if len(partial.cuts) == settled:
                use = max(relaxed.uses, key=lambda use: use.amount)
                partial.settle(use.pattern, 1, from_hand=use.from_hand)
            if len(partial.cuts) == settled:
                break
            relaxed = self.relaxation.solve(partial.need, partial.hand, proper=False)
        if not any(partial.need):
            yield partial.cuts
            return
        goal, most = found.bound - partial.spent, found.cost - partial.spent - 1
        for cuts in last.attempts(partial.need, partial.hand, relaxed.values, goal, most):
            yield partial.cuts + cuts

    def _chosen(self, demand: Sequence[int], hand: Sequence[int]) -> Iterator[tuple[Cut, ...]]:
        cuts = choose(self.relaxation, demand, hand, self.scarce, _NODES)
        if cuts is not None:
            yield cuts

    def _list_sheets(self) -> None:
        """Add every set of pieces that a sheet can hold, where there are not too many."""
        for number, sheet in enumerate(self.relaxation.supplies):
            if isinstance(sheet, SheetSupply) and len(sheet.nodes) <= _LISTED:
                for cut in sheet.listed():
                    self.relaxation.add(Pattern(number, sheet.boards[0], cut))
