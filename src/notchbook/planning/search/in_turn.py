"""One board filled after the other: which comes next, at given values of the pieces."""

from __future__ import annotations

from collections.abc import Sequence

from notchbook.planning.model.supply import Pattern
from notchbook.planning.search.master import FROM_HAND
from notchbook.planning.search.partial_plan import PartialPlan
from notchbook.planning.search.relaxation import Relaxation


def fullest(
    relaxation: Relaxation, partial: PartialPlan, values: Sequence[float], most_cost: int
) -> Pattern | None:
    """The board that is worth most for what it counts; None where none is worth anything."""
    best: Pattern | None = None
    most = 0.0
    for number, supply in enumerate(relaxation.supplies):
        for b in supply.boards:
            there, board = partial.hand[b] > 0, relaxation.grid.boards[b]
            if not there and (not board.buyable or partial.spent + board.price > most_cost):
                continue
            cut = supply.cut(b, values, partial.need)
            weight = relaxation.weight[b] * (FROM_HAND if there else 1.0)
            worth = sum(v * c for v, c in zip(values, cut.counts, strict=True)) / weight
            if worth > most:
                best, most = Pattern(number, b, cut), worth
    return best
