"""Printed shop sheets: where pages end, and what stands at their feet."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook

from notchbook.workbook.write.page_breaks import find_breaks

from .examples import SHOPS, priced, workbook

ROOM = {"letter": 792 - 72 * 1.3, "a4": 841.9 - 72 * 1.3}  # points between the margins


@given(st.lists(st.integers(5, 60), min_size=1, max_size=60), st.sets(st.integers(1, 60)))
def test_pages_hold_what_they_may(heights: list[int], together: set[int]) -> None:
    """No page is fuller than one, and rows are parted from the next where nothing else fits."""
    room = 200.0
    breaks = list(find_breaks(heights, together, room))
    pages = list(pairwise([0, *breaks, len(heights)]))

    assert [row for first, last in pages for row in range(first, last)] == list(range(len(heights)))
    for first, last in pages:
        assert sum(heights[first:last]) <= room
    for first, last in pages[:-1]:
        assert last not in together or set(range(first + 1, last + 1)) <= together


def test_a_header_goes_with_its_rows() -> None:
    """By hand: two rows of 40 and a header fill a page of 100; the header opens the next one."""
    assert list(find_breaks([40, 40, 15, 40], {3}, 100)) == [2]
    assert list(find_breaks([40, 40, 15, 40], set(), 100)) == [3]


@pytest.mark.parametrize("shop", SHOPS)
def test_no_header_alone_at_a_foot(shop: str) -> None:
    """Pages are within the paper at their scale, and end neither below a header nor in a step."""
    found, book = priced(shop), load_workbook(workbook(shop))
    broken = 0
    for project in found.definitions.projects:
        ws: Any = book[project]
        heads = [row for row in range(2, ws.max_row) if ws.cell(row=row, column=2).font.b]
        assert len(heads) > 4
        ends = [each.id for each in ws.row_breaks.brk]
        pages = list(pairwise([0, *ends, ws.max_row]))
        room = ROOM[found.definitions.settings.paper] * 100 / ws.page_setup.scale
        for first, last in pages:
            rows = range(first + 1, last + 1)
            assert sum(ws.row_dimensions[row].height or 13 for row in rows) <= room
        for end in ends:
            assert end not in heads and end - 1 not in heads
            assert not str(ws.cell(row=end + 1, column=2).value or "").startswith(" ")
            broken += 1
        assert len(pages) <= 2
        assert not ws.sheet_properties.pageSetUpPr.fitToPage
    assert broken
