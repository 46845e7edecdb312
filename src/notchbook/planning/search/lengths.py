"""The best of every length: blanks one after the other, and those beside unripped pieces."""

from __future__ import annotations

import numpy as np

from notchbook.planning.model.budget import Budget
from notchbook.planning.search.knapsack import Floats, Ints, LengthScale

_BLOCK = 64  # marks of unripped pieces that are looked at together
_ROUNDING = 1e-9  # sums of values within so little are as good as equal


def put_end_to_end(ruler: LengthScale, blank: Floats, budget: Budget) -> tuple[Floats, Ints]:
    """Put blanks one after the other, best for every mark; and the last of them.

    No blank is shorter than the first that is worth anything, so all lengths within as much
    are looked at together; a blank that is worth no more than shorter ones is passed over.
    """
    marks = ruler.marks
    best, last = np.zeros(len(marks)), np.full(len(marks), -1, dtype=np.int64)
    rises = list_rises(blank)
    useful = rises[:0]
    start = int(rises[0]) if len(rises) else len(marks)
    while start < len(marks):
        end = ruler.first(int(marks[start] + marks[rises[0]]))
        width = end - start
        if len(useful):  # all of them are shorter than what is looked at
            offered = best.take(ruler.rests(useful, start, end)) + blank[useful][:, None]
            best[start:end] = offered.max(axis=0)
            last[start:end] = useful[offered.argmax(axis=0)]
            budget.spend(len(useful) * width / 200)
        fresh = rises[rises.searchsorted(start) : rises.searchsorted(end)]
        fresh = fresh[blank[fresh] > best[fresh]]
        useful = np.concatenate([useful, fresh])
        if len(fresh):  # nothing goes beside one of these
            reached = np.arange(start, end) >= fresh[:, None]
            offered = np.where(reached, blank[fresh][:, None], 0.0)
            _improve(best[start:end], last[start:end], offered, fresh)
        if len(useful):
            budget.spend(len(useful) * width / 200)
        start = end
    return best, last


def put_beside(
    ruler: LengthScale, ripped: Floats, unripped: Floats, budget: Budget
) -> tuple[Floats, Ints]:
    """Blanks beside unripped pieces, best for every mark; and the mark that these take up.

    There are only so many of the pieces, so nothing may be passed over for them before. Pieces that
    are worth less than the best so far of their length, blanks with others, are passed over: any
    room beside them takes the same blanks beside those others.
    """
    marks = ruler.marks
    if not ripped.any():
        return unripped, np.arange(len(marks))
    board, taken = ripped.copy(), np.zeros(len(marks), dtype=np.int64)
    rises = list_rises(unripped)
    for at in range(0, len(rises), _BLOCK):
        some = rises[at : at + _BLOCK]
        some = some[board[some] <= unripped[some] + _ROUNDING]
        if not len(some):
            continue
        rest = ruler.rests(some, 0, len(marks))
        offered = np.where(rest >= 0, ripped.take(rest) + unripped[some][:, None], 0.0)
        _improve(board, taken, offered, some)
    budget.spend(int(((len(marks) - rises) // 100).sum()))
    return board, taken


def list_rises(values: Floats) -> Ints:
    """The marks that are worth more than the one before; the first one, of no length, never is."""
    return np.flatnonzero(values[1:] > values[:-1]) + 1


def _improve(best: Floats, choice: Ints, offered: Floats, by: Ints) -> None:
    """Take what is offered `by` each row where it is better; the first of equals."""
    worth = offered.max(axis=0)
    better = worth > best
    np.copyto(best, worth, where=better)
    np.copyto(choice, by[offered.argmax(axis=0)], where=better)
