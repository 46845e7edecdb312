"""A whole-number program for HiGHS, built row by row and checked in whole numbers afterwards."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

import highspy
import numpy as np

from notchbook.planning.model.budget import RUNAWAY, Budget

_TURN, _TERMS = 500, 2  # steps that a turn of HiGHS counts, and terms of the rows for one more
_HEURISTICS = 0.2  # share of the work that HiGHS spends on guessing; solutions matter most here


class Effort(NamedTuple):
    """How long a search may take: steps at most, nodes of its tree, and which way it goes."""

    steps: int
    nodes: int
    luck: int = 1


@dataclass(slots=True)
class IntegerProgram:
    """Columns with cost and bounds, rows `low <= sum <= high`; every column a whole number."""

    cost: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    rows: list[tuple[float | None, float | None, dict[int, int]]] = field(default_factory=list)

    def column(self, cost: float, upper: float) -> int:
        """A new column's number."""
        self.cost.append(cost)
        self.upper.append(upper)
        return len(self.cost) - 1

    def row(self, low: float | None, high: float | None, terms: Mapping[int, int]) -> None:
        """A new row; None: no limit."""
        self.rows.append((low, high, dict(terms)))

    def solve(self, effort: Effort, budget: Budget) -> list[int] | None:
        """Return the best solution found within the effort, proved feasible here; None without one.

        A fresh solver every time: a used one was seen to give wrong answers. It looks at the
        clock for its own limit only, so its turns are counted here and it is interrupted.
        """
        highs = highspy.Highs()
        highs.setOptionValue("output_flag", False)
        highs.setOptionValue("threads", 1)
        highs.setOptionValue("random_seed", effort.luck)
        highs.setOptionValue("mip_heuristic_effort", _HEURISTICS)
        highs.setOptionValue("mip_max_nodes", effort.nodes)
        highs.setOptionValue("time_limit", RUNAWAY)
        highs.passModel(self._model())
        turn = _TURN + sum(len(terms) for _, _, terms in self.rows) // _TERMS
        most, turns = max(min(effort.steps, budget.left) // turn, 1), 0

        def count(event: highspy.HighsCallbackEvent) -> None:
            nonlocal turns
            turns += 1
            if turns > most:
                event.interrupt()

        highs.cbMipInterrupt.subscribe(count)
        highs.run()
        budget.spend(turns * turn)
        if highs.getModelStatus() == highspy.HighsModelStatus.kTimeLimit:
            budget.stop()
        found = highs.getSolution().col_value
        if len(found) != len(self.cost):
            return None
        whole = [round(value) for value in found]
        return whole if self._holds(whole) else None

    def _holds(self, whole: list[int]) -> bool:
        if any(not 0 <= x <= upper for x, upper in zip(whole, self.upper, strict=True)):
            return False
        for low, high, terms in self.rows:
            total = sum(whole[column] * times for column, times in terms.items())
            if (low is not None and total < low) or (high is not None and total > high):
                return False
        return True

    def _model(self) -> highspy.HighsLp:
        infinite = highspy.kHighsInf
        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = len(self.cost), len(self.rows)
        model.col_cost_ = np.array(self.cost)
        model.col_lower_ = np.zeros(len(self.cost))
        model.col_upper_ = np.array(self.upper, dtype=np.float64)
        lows = [-infinite if low is None else float(low) for low, _, _ in self.rows]
        highs = [infinite if high is None else float(high) for _, high, _ in self.rows]
        model.row_lower_, model.row_upper_ = np.array(lows), np.array(highs)
        starts, places, values = [0], [], []
        for _, _, terms in self.rows:
            for column in sorted(terms):
                places.append(column)
                values.append(float(terms[column]))
            starts.append(len(places))
        model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        model.a_matrix_.start_ = np.array(starts, dtype=np.int32)
        model.a_matrix_.index_ = np.array(places, dtype=np.int32)
        model.a_matrix_.value_ = np.array(values, dtype=np.float64)
        model.integrality_ = [highspy.HighsVarType.kInteger] * len(self.cost)
        return model
