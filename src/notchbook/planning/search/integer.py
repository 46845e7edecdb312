"""A whole-number program for HiGHS, built row by row and checked in whole numbers afterwards."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

import highspy
import numpy as np

from notchbook.planning.model.budget import RUNAWAY, Budget

_TURN, _TERMS = 500, 2  # steps that a turn of HiGHS counts, and terms of the rows for one more
_FEWEST = 20  # turns; with less it does not come beyond its first program, nor stops before
_HEURISTICS = 0.2  # share of the work that HiGHS spends on guessing; solutions matter most here


class Effort(NamedTuple):
    """How long a search may take: steps at most, nodes of its tree, and which way it goes."""

    steps: int
    nodes: int
    luck: int = 1


class Answer(NamedTuple):
    """The best whole numbers found, and whether the solver says that it looked at everything."""

    values: list[int] | None
    ended: bool


_FINE = 1e-9  # tolerance where rows hold numbers in the millions


@dataclass(slots=True)
class IntegerProgram:
    """Columns with cost and bounds, rows `low <= sum <= high`; every column a whole number.

    An `exact` one is searched until nothing better is left, not until little is.
    """

    cost: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    rows: list[tuple[float | None, float | None, dict[int, int]]] = field(default_factory=list)
    exact: bool = False

    def column(self, cost: float, upper: float) -> int:
        """A new column's number."""
        self.cost.append(cost)
        self.upper.append(upper)
        return len(self.cost) - 1

    def row(self, low: float | None, high: float | None, terms: Mapping[int, int]) -> None:
        """A new row; None: no limit."""
        self.rows.append((low, high, dict(terms)))

    def relax(self) -> list[float]:
        """Return what a step more would be worth in each row, were columns no whole numbers."""
        highs = self._solver()
        model = self._model()
        model.integrality_ = []
        highs.passModel(model)
        highs.run()
        return list(highs.getSolution().row_dual)

    def solve(self, effort: Effort, budget: Budget) -> list[int] | None:
        """Return the best solution found within the effort, proved feasible here; None without one.

        A fresh solver every time: a used one was seen to give wrong answers. It looks at the
        clock for its own limit only, so its turns are counted here and it is interrupted.
        """
        return self.answer(effort, budget).values

    def answer(self, effort: Effort, budget: Budget) -> Answer:
        """Do as `solve` does, and say whether anything better may be left."""
        turn = _TURN + sum(len(terms) for _, _, terms in self.rows) // _TERMS
        steps = min(effort.steps, budget.left)
        if steps < _FEWEST * turn:
            budget.spend(steps)
            return Answer(None, ended=False)
        highs = self._solver()
        highs.setOptionValue("random_seed", effort.luck)
        if self.exact:
            highs.setOptionValue("mip_rel_gap", 0.0)
            highs.setOptionValue("mip_feasibility_tolerance", _FINE)
            highs.setOptionValue("primal_feasibility_tolerance", _FINE)
        highs.setOptionValue("mip_heuristic_effort", _HEURISTICS)
        # both begin the search anew on a smaller program: twice the time for the same plans
        highs.setOptionValue("mip_allow_restart", False)
        highs.setOptionValue("mip_heuristic_run_root_reduced_cost", False)
        highs.setOptionValue("mip_max_nodes", effort.nodes)
        highs.setOptionValue("time_limit", RUNAWAY)
        highs.passModel(self._model())
        most, turns = steps // turn, 0

        def count(event: highspy.HighsCallbackEvent) -> None:
            nonlocal turns
            turns += 1
            if turns > most:
                event.interrupt()

        highs.cbMipInterrupt.subscribe(count)
        highs.run()
        budget.spend(turns * turn)
        status = highs.getModelStatus()
        if status == highspy.HighsModelStatus.kTimeLimit:
            budget.stop()
        found = highs.getSolution().col_value
        if status == highspy.HighsModelStatus.kInfeasible or len(found) != len(self.cost):
            return Answer(None, status == highspy.HighsModelStatus.kInfeasible)
        whole = [round(value) for value in found]
        ended = status == highspy.HighsModelStatus.kOptimal
        return Answer(whole, ended) if self._holds(whole) else Answer(None, ended=False)

    def _solver(self) -> highspy.Highs:
        highs = highspy.Highs()
        highs.setOptionValue("output_flag", False)
        highs.setOptionValue("threads", 1)
        return highs

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
