"""The linear program over patterns: every part's demand met by boards in fractions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import highspy
import numpy as np

from notchbook.planning.model.budget import Budget
from notchbook.planning.model.grid import LengthGrid
from notchbook.planning.model.supply import Pattern

FROM_HAND = 1e-4  # what a board from hand weighs beside one that is bought
_RUN, _TURN = 100, 3  # steps of a run of the solver, and of each turn in it
_SHORT = 1e4  # a piece that is not made weighs more than any board


class Use(NamedTuple):
    """How much of a pattern is used, on boards from hand or on bought ones."""

    pattern: Pattern
    from_hand: bool
    amount: float


class Master:
    """Patterns are added one by one; no more boards come from hand than there are.

    `weight` is what a board of each number counts when it is bought.
    """

    def __init__(
        self,
        grid: LengthGrid,
        weight: Sequence[float],
        demand: Sequence[int],
        hand: Sequence[int],
        budget: Budget,
    ) -> None:
        self.budget = budget
        self.grid, self.weight, self.parts = grid, weight, len(demand)
        self.columns: list[tuple[Pattern, bool]] = []
        wanted = [i for i, n in enumerate(demand) if n]
        self.rows = {i: row for row, i in enumerate(wanted)}
        there = [board for board, n in enumerate(hand) if n]
        self.limits = {board: len(wanted) + n for n, board in enumerate(there)}
        self.lp = highspy.Highs()
        self.lp.setOptionValue("output_flag", False)
        self.lp.setOptionValue("threads", 1)
        nothing = np.array([], dtype=np.int32), np.array([], dtype=np.float64)
        for i in wanted:
            self.lp.addRow(float(demand[i]), highspy.kHighsInf, 0, *nothing)
        for board in there:
            self.lp.addRow(-highspy.kHighsInf, float(hand[board]), 0, *nothing)
        for row in self.rows.values():
            self._column(_SHORT, [row], [1.0])

    def _column(self, cost: float, rows: list[int], values: list[float]) -> None:
        places = np.array(rows, dtype=np.int32)
        self.lp.addCol(cost, 0.0, highspy.kHighsInf, len(rows), places, np.array(values))

    def add(self, pattern: Pattern) -> None:
        """The pattern on bought boards and on boards from hand, where there are such."""
        made = [
            (self.rows[i], float(c)) for i, c in enumerate(pattern.counts) if c and i in self.rows
        ]
        rows, counts = [row for row, _ in made], [count for _, count in made]
        weight = self.weight[pattern.board]
        if self.grid.boards[pattern.board].buyable:
            self.columns.append((pattern, False))
            self._column(weight, rows, counts)
        if pattern.board in self.limits:
            self.columns.append((pattern, True))
            limit = self.limits[pattern.board]
            self._column(FROM_HAND * weight, [*rows, limit], [*counts, 1.0])

    def solve(self) -> tuple[list[float], dict[int, float]]:
        """What one more piece of each part costs, and what one more board on hand would save."""
        if self.lp.run() != highspy.HighsStatus.kOk:
            raise RuntimeError("the linear program could not be solved")
        turns = self.lp.getInfo().simplex_iteration_count
        self.budget.spend(_RUN + max(turns, 0) * (_TURN + len(self.rows) // 5))
        dual = self.lp.getSolution().row_dual
        values = [0.0] * self.parts
        for i, row in self.rows.items():
            values[i] = max(0.0, dual[row])
        return values, {board: max(0.0, -dual[row]) for board, row in self.limits.items()}

    def uses(self) -> Iterator[Use]:
        """The patterns used in the last solution."""
        amounts = self.lp.getSolution().col_value[len(self.rows) :]
        for (pattern, from_hand), amount in zip(self.columns, amounts, strict=True):
            if amount > 1e-9:
                yield Use(pattern, from_hand, amount)
