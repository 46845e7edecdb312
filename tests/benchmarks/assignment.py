"""The plain assignment model in HiGHS, for comparison: how many of each length on each board.

A whole number x[i, j] of pieces of length i on board j, a 0-1 number y[j] whether board j is
used, as few boards as possible out of those that first fit takes. No symmetry is broken.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any


def fewest_boards(
    stock: int, pieces: Sequence[tuple[int, int]], boards: int, seconds: float
) -> int | None:
    """The fewest boards found in the time, counted from the rounded answer; None where none was.

    Raises RuntimeError where the solver fails, ValueError where its answer is no plan.
    """
    import highspy

    fresh: Any = highspy.Highs
    solver = fresh()
    options = {"output_flag": False, "threads": 1, "random_seed": 0, "time_limit": seconds}
    for name, value in options.items():
        solver.setOptionValue(name, value)
    solver.passModel(_model(stock, pieces, boards))
    if solver.run() == highspy.HighsStatus.kError:
        raise RuntimeError("HiGHS could not solve the model")
    if solver.getInfo().primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None
    found = [round(value) for value in solver.getSolution().col_value]
    return _counted(found, stock, pieces, boards)


def _model(stock: int, pieces: Sequence[tuple[int, int]], boards: int) -> Any:
    """Columns: x[i, j] with j slowest, then y[j]. Rows: demand of i, then room on j."""
    import highspy
    import numpy as np

    kinds = len(pieces)
    lengths = np.array([length for length, _ in pieces], dtype=float)
    demand = np.array([often for _, often in pieces], dtype=float)
    rows_of_x = np.stack(
        [np.tile(np.arange(kinds), boards), kinds + np.repeat(np.arange(boards), kinds)], axis=1
    )
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = kinds * boards + boards, kinds + boards
    model.col_cost_ = np.concatenate([np.zeros(kinds * boards), np.ones(boards)])
    model.col_lower_ = np.zeros(model.num_col_)
    model.col_upper_ = np.concatenate([np.tile(demand, boards), np.ones(boards)])
    model.row_lower_ = np.concatenate([demand, np.full(boards, -highspy.kHighsInf)])
    model.row_upper_ = np.concatenate([demand, np.zeros(boards)])
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    starts = [np.arange(kinds * boards + 1) * 2, 2 * kinds * boards + 1 + np.arange(boards)]
    model.a_matrix_.start_ = np.concatenate(starts)
    model.a_matrix_.index_ = np.concatenate([rows_of_x.ravel(), kinds + np.arange(boards)])
    ones_and_lengths = np.stack([np.ones(kinds * boards), np.tile(lengths, boards)], axis=1)
    model.a_matrix_.value_ = np.concatenate(
        [ones_and_lengths.ravel(), np.full(boards, -float(stock))]
    )
    model.integrality_ = [highspy.HighsVarType.kInteger] * model.num_col_
    return model


def _counted(
    found: Sequence[int], stock: int, pieces: Sequence[tuple[int, int]], boards: int
) -> int:
    """The boards that hold any piece, once demand and room have been checked in whole numbers."""
    kinds = len(pieces)
    held = [found[j * kinds : (j + 1) * kinds] for j in range(boards)]
    for i, (_, often) in enumerate(pieces):
        if sum(board[i] for board in held) != often:
            raise ValueError("the answer makes another number of pieces")
    lengths = [length for length, _ in pieces]
    if any(
        sum(a * b for a, b in zip(board, lengths, strict=True)) > stock or min(board) < 0
        for board in held
    ):
        raise ValueError("the answer overfills a board")
    return sum(any(board) for board in held)
