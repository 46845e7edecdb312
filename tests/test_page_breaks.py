"""Where the pages of a printed shop sheet end."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st
from openpyxl.workbook import Workbook

from notchbook.workbook.write.page_breaks import (
    Paper,
    break_pages,
    count_rows_left,
    find_breaks,
)


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


def test_blank_rows_fill_a_page_and_begin_none() -> None:
    """By hand: 400 points hold 26 rows of 15; the header's 50 stand on the second page again."""
    page = Workbook().create_sheet()
    page.row_dimensions[6].height = 50.0

    left = {last: count_rows_left(page, last, Paper(540.0, 400.0), 100) for last in (10, 23, 30)}

    assert left == {10: 13, 23: 0, 30: 16}


def test_a_shop_sheet_little_longer_than_a_page_is_made_smaller() -> None:
    """By hand: a page counts on 0.96 of 500 points, so that 600 take 80 %, 700 a second page."""
    paper = Paper(540.0, 500.0)
    found = {}
    for rows in (40, 60, 70):
        page = Workbook().create_sheet()
        for row in range(1, rows + 1):
            page.row_dimensions[row].height = 10.0
        pages = break_pages(page, (), (20.0, 20.0), rows, paper)
        found[rows] = (pages, page.page_setup.scale)

    assert found == {40: (1, 100), 60: (1, 80), 70: (2, 100)}
