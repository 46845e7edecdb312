"""Blanks end to end and beside unripped pieces, against every way of cutting a short board."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from notchbook.planning.model.budget import Budget
from notchbook.planning.search import knapsack
from notchbook.planning.search.knapsack import LengthScale
from notchbook.planning.search.lengths import put_beside, put_end_to_end

lengths = st.lists(st.integers(3, 60), min_size=1, max_size=5, unique=True)
worths = st.sampled_from([0.0, 0.1, 0.3, 1.0, 1.7, 2.5])


@st.composite
def priced(draw: st.DrawFn) -> tuple[LengthScale, list[float], list[float]]:
    """A ruler, what a blank of each mark's length is worth, and what unripped pieces are."""
    ruler = LengthScale(draw(lengths), draw(st.integers(60, 240)))
    marks = len(ruler.marks)
    blank = [0.0, *(draw(worths) * draw(worths) for _ in range(marks - 1))]
    rises = [0.0, *(draw(worths) for _ in range(marks - 1))]
    scale = draw(st.sampled_from([0.02, 0.2, 1.0]))
    return ruler, blank, [float(each) for each in np.cumsum(rises) * scale]


@given(priced())
def test_every_mark_is_worth_its_best_way(
    made: tuple[LengthScale, list[float], list[float]],
) -> None:
    ruler, blank, unripped = made
    marks = [int(mark) for mark in ruler.marks]

    @cache
    def ripped(room: int) -> float:
        """The best blanks in a room, by trying each as the last one."""
        return max(
            [0.0]
            + [blank[n] + ripped(room - mark) for n, mark in enumerate(marks) if 0 < mark <= room]
        )

    row, last = put_end_to_end(ruler, np.array(blank), Budget())
    board, taken = put_beside(ruler, row, np.array(unripped), Budget())
    for n, mark in enumerate(marks):
        assert row[n] == pytest.approx(ripped(mark))
        best = max(unripped[k] + ripped(mark - other) for k, other in enumerate(marks[: n + 1]))
        assert board[n] == pytest.approx(best)
        assert board[n] == pytest.approx(unripped[taken[n]] + row[ruler.take(n, marks[taken[n]])])
        if last[n] >= 0:
            rest = ruler.take(n, marks[last[n]])
            assert row[n] == pytest.approx(blank[last[n]] + row[rest])


@given(lengths, st.integers(60, 240), st.data())
def test_what_marks_leave(of: list[int], room: int, data: st.DataObject) -> None:
    """Rows kept from earlier questions say what the marks themselves do."""
    ruler = LengthScale(of, room)
    marks = [int(mark) for mark in ruler.marks]
    numbers = st.integers(0, len(marks) - 1)
    for _ in range(3):
        taken = data.draw(st.lists(numbers, min_size=1, max_size=6, unique=True).map(sorted))
        start, end = sorted((data.draw(numbers), data.draw(numbers)))
        left = ruler.rests(np.array(taken), start, end + 1)
        expected = [
            [
                sum(mark <= whole - marks[t] for mark in marks) - 1
                for whole in marks[start : end + 1]
            ]
            for t in taken
        ]
        assert left.tolist() == expected


def test_long_rulers_keep_no_rows(monkeypatch: pytest.MonkeyPatch) -> None:
    """Beyond so many marks what they leave is worked out each time, to the same."""
    taken = np.array([0, 3, 20])
    kept = LengthScale([7, 11], 200).rests(taken, 5, 60)
    monkeypatch.setattr(knapsack, "_TABLED", 10)
    assert LengthScale([7, 11], 200).rests(taken, 5, 60).tolist() == kept.tolist()
