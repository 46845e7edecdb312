"""Whole boards chosen among known patterns by one whole-number program."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from notchbook.planning.model.outcome import Cut
from notchbook.planning.model.supply import Pattern
from notchbook.planning.search.integer import Effort, IntegerProgram
from notchbook.planning.search.master import FROM_HAND
from notchbook.planning.search.partial_plan import PartialPlan
from notchbook.planning.search.relaxation import Relaxation

_SHORT = 1e4  # what a piece that is not made counts; no board weighs more than 2
_COLUMNS = 4_000


def choose(
    relaxation: Relaxation,
    demand: Sequence[int],
    hand: Sequence[int],
    scarce: Collection[int],
    effort: Effort,
) -> tuple[Cut, ...] | None:
    """Choose the cheapest boards cut by the patterns of the pool; None where none were found.

    Pieces of the parts in `scarce` may stay short.
    """
    program = IntegerProgram()
    columns: dict[int, tuple[Pattern, bool]] = {}
    for pattern in relaxation.pool.values():
        often = [-(-n // c) for n, c in zip(demand, pattern.counts, strict=True) if n and c]
        weight = relaxation.weight[pattern.board]
        if often and relaxation.grid.boards[pattern.board].buyable:
            columns[program.column(weight, max(often))] = pattern, False
        if often and hand[pattern.board]:
            columns[program.column(weight * FROM_HAND, max(often))] = pattern, True
    if len(columns) > _COLUMNS:
        return None
    _rows(program, columns, demand, hand, scarce)
    found = program.solve(effort, relaxation.budget)
    if found is None:
        return None
    partial = PartialPlan.of(relaxation, demand, hand)
    for column, (pattern, from_hand) in columns.items():
        if found[column]:
            partial.settle(pattern, found[column], from_hand=from_hand)
    return partial.cuts


def _rows(
    program: IntegerProgram,
    columns: Mapping[int, tuple[Pattern, bool]],
    demand: Sequence[int],
    hand: Sequence[int],
    scarce: Collection[int],
) -> None:
    for i, wanted in enumerate(demand):
        if wanted:
            terms = {c: p.counts[i] for c, (p, _) in columns.items() if p.counts[i]}
            if i in scarce:
                terms[program.column(_SHORT, wanted)] = 1
            program.row(wanted, None, terms)
    for board, there in enumerate(hand):
        taken = {c: 1 for c, (p, from_hand) in columns.items() if from_hand and p.board == board}
        if taken:
            program.row(None, there, taken)
