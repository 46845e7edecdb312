"""Rows that moved, and formulas of the maker's over whole columns and large areas."""

from __future__ import annotations

import random

import pytest

from notchbook.workbook.carry.formula_moves import Moves, Region, SheetMove
from notchbook.workbook.carry.moved_rows import MovedRows


def grown(old_rows: int, new_rows: int) -> Moves:
    """A table below row 6 that had so many rows and has so many now, and a column more."""
    rows = {7 + n: 7 + n if n < new_rows else None for n in range(old_rows)}
    region = Region(6, 6, rows, 6 + old_rows, 6 + new_rows, {1: 1, 2: 3})
    return Moves({"Best": SheetMove("Best", [region], right=2, new_right=3)})


@pytest.mark.parametrize("new_rows", [2, 3, 5])
@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("=SUM(Best!B:B)", "=SUM(Best!C:C)"),
        ("=SUM(Best!$B$1:$B$1048576)", "=SUM(Best!$C$1:$C$1048576)"),
        ("=SUM(Best!B7:B1048576)", "=SUM(Best!C7:C1048576)"),
        ("=COUNTA(Best!1:1048576)", "=COUNTA(Best!1:1048576)"),
        ("=COUNTA(Best!A7:XFD1048576)", "=COUNTA(Best!A7:XFD1048576)"),
    ],
)
def test_whole_columns_stay_whole(text: str, said: str, new_rows: int) -> None:
    """Whether the table grew or shrank, no row falls off the end, and none is left out."""
    assert grown(3, new_rows).formula(text, "Mine") == (said, True)


def test_a_range_past_the_end_follows_the_end() -> None:
    """Rows of the maker's below a table keep their distance from it."""
    assert grown(3, 30).formula("=SUM(Best!B8:B40)", "Mine") == ("=SUM(Best!C8:C67)", True)
    assert grown(30, 3).formula("=SUM(Best!B8:B40)", "Mine") == ("=SUM(Best!C8:C13)", True)


def test_rows_in_the_middle_of_which_the_ends_are_gone() -> None:
    """A range of rows holds what is left of it, as a range of cells does."""
    region = Region(6, 6, {7: None, 8: 7, 9: None}, 9, 7, {1: 1})
    moves = Moves({"Best": SheetMove("Best", [region], right=1, new_right=1)})

    assert moves.formula("=SUM(Best!7:9)", "Mine") == ("=SUM(Best!7:7)", True)
    assert moves.formula("=SUM(Best!9:9)", "Mine") == ("=SUM(#REF!)", False)


@pytest.mark.parametrize("seed", range(100))
def test_a_span_is_what_its_rows_are(seed: int) -> None:
    """As found row by row, in tables that were sorted, cut and moved."""
    chance = random.Random(seed)
    head, count = chance.randrange(3, 9), chance.randrange(12)
    new = list(range(chance.randrange(20, 30), 60))
    if chance.random() < 0.5:
        chance.shuffle(new)
    rows = {
        head + 1 + n: (None if chance.random() < 0.3 else new[n])
        for n in range(count)
        if chance.random() < 0.9
    }
    moved = MovedRows(head, chance.randrange(3, 19), rows, head + count, 60)

    for top in range(1, 30):
        for bottom in range(top, 32):
            each = [row for old in range(top, bottom + 1) if (row := moved.row(old)) is not None]
            assert moved.span(top, bottom) == ((min(each), max(each)) if each else None)


@pytest.mark.parametrize("area", ["B7:B{}", "A1:B{}", "7:{}", "B{}:XFD9"])
def test_work_does_not_grow_with_rows(area: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A maker whose sheet refers to whole columns waits no longer than for a few rows."""
    asked = []
    row_of = MovedRows.row

    def row(moved: MovedRows, old: int) -> int | None:
        asked.append(old)
        return row_of(moved, old)

    monkeypatch.setattr(MovedRows, "row", row)
    counts = []
    for last in (40, 20_000, 1_048_576):
        asked.clear()
        assert grown(9, 12).formula(f"=SUM(Best!{area.format(last)})", "Mine")[1]
        counts.append(len(asked))
    assert 0 < counts[0] <= 12
    assert set(counts) == {counts[0]}
