"""The printed page: what of a sheet is printed, how large, what each page repeats and says below.

*Decisions.* A page reads by itself: the row of headers, or beside lines the title, stands on each;
the instruction is never cut. Blank rows are printed for writing by hand, and for rows typed since
the compile, but only where the page has room: they never make a page of their own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import ceil
from typing import NamedTuple

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.sheets.kit.declare import Sheet
from notchbook.workbook.file.book import printed_page
from notchbook.workbook.file.raw_cells import cell_at, cells_by_place
from notchbook.workbook.file.written import PRINTED
from notchbook.workbook.layout.layout import HEAD_ROW, SAYS_ROW, TITLE_ROW, TableSpot
from notchbook.workbook.layout.subject import Subject
from notchbook.workbook.write.chart_places import list_rows
from notchbook.workbook.write.page_breaks import (
    Paper,
    break_beside_charts,
    break_pages,
    break_rows,
    count_rows_left,
    scale_to_fit,
)
from notchbook.workbook.write.widths import text_units

_PAPERS = {"letter": 1, "a4": 9}
_READABLE_WIDTH = 235.0  # digits across a page, as small as can be read (6 points)
_SQUEEZED = 0.2  # of a page; rather so much smaller than one more page across
_BLANK_COLUMN = 8.43  # units, as programs make a column without a width
_MOST_BLANK = 15  # rows
_DRAWN = 1.04  # of the measured width that words may take: programs space letters unlike


class Extent(NamedTuple):
    """The widths of the columns in sight, by letter, and the last row of lines, 0 for none."""

    widths: Mapping[str, float]
    last_line: int


class _Area(NamedTuple):
    left: int
    top: int
    right: int
    bottom: int


def is_one_table(spots: Sequence[TableSpot]) -> bool:
    """Tell whether a sheet holds one table that begins in its first column, and no lines."""
    return len(spots) == 1 and spots[0].first_column == 1 and not spots[0].table.split


def set_up_page(
    page: Worksheet, subject: Subject, sheet: Sheet, spots: Sequence[TableSpot], extent: Extent
) -> None:
    """Set paper, scale, the area that is printed, what each page repeats, and the footer."""
    split = any(spot.table.split for spot in spots)
    landscape = sheet.landscape and not split
    paper = _lay_paper(page, subject, landscape)
    if not sheet.charts and not split:
        beside_lines = extent.last_line > 0 and len(spots) > 0
        row = TITLE_ROW if beside_lines else HEAD_ROW
        printed_page(page).print_title_rows = f"{row}:{row}"
    if is_one_table(spots):  # what the row is about, on each page of a wide table
        printed_page(page).print_title_cols = "A:A"
    widths = list(extent.widths.values())
    area = None if split or sheet.charts else _find_area(page, sheet, spots, extent)
    if area is not None:
        widths = list(_widths_between(area.left, area.right, spots, extent.widths))
    readable = _READABLE_WIDTH if landscape else _READABLE_WIDTH * 0.75
    across = max(1, ceil(sum(widths) / readable - _SQUEEZED))
    page.page_setup.fitToWidth, page.page_setup.fitToHeight = across, 0
    page.sheet_properties.pageSetUpPr.fitToPage = True
    if area is not None:
        fitted = scale_to_fit(paper, widths, across, part=1.0)
        bottom = area.bottom + _count_blank_rows(page, spots, area, paper, fitted)
        _print_only(page, _Area(area.left, area.top, area.right, bottom))
        if subject.category == PRINTED:
            scale = scale_to_fit(paper, widths, across)
            _number(page, break_rows(page, spots, area.bottom, paper, scale))
    if sheet.prints:
        page.HeaderFooter.oddHeader.left.text = (
            f"{sheet.prints_says} Amounts in {subject.currency}."
        )
    if sheet.charts and spots:
        charts = list_rows(max(spots, key=lambda each: each.first_column), len(sheet.charts))
        last = max(extent.last_line, charts[-1].stop - 1)
        break_beside_charts(page, charts, last, paper, scale_to_fit(paper, widths))
    if sheet.grid:
        places = cells_by_place(page)
        last = max((row for row, column in places if column <= len(sheet.grid)), default=1)
        _print_only(page, _Area(1, 1, len(sheet.grid), last))
        _number(page, break_pages(page, spots, sheet.grid, last, paper))


def _lay_paper(page: Worksheet, subject: Subject, landscape: bool) -> Paper:
    """Set paper, margins and footer; return the paper with its blank margins."""
    page.page_setup.paperSize = _PAPERS[subject.paper]
    page.page_setup.orientation = "landscape" if landscape else "portrait"
    margins = page.page_margins
    margins.left = margins.right = 0.4
    margins.top, margins.bottom, margins.header, margins.footer = 0.5, 0.8, 0.25, 0.35
    footer = page.HeaderFooter.oddFooter
    footer.left.text = f"{subject.shop} {subject.year}".replace("&", "&&")
    footer.center.text = "&A"
    footer.right.text = "&P of &N"
    return Paper.named(
        subject.paper, landscape, margins.left + margins.right, margins.top + margins.bottom
    )


def _number(page: Worksheet, pages: int) -> None:
    """Number the pages of a sheet by themselves, whatever is printed with it."""
    page.page_setup.firstPageNumber, page.page_setup.useFirstPageNumber = 1, True
    page.HeaderFooter.oddFooter.right.text = f"page &P of {pages:,}"


def _print_only(page: Worksheet, area: _Area) -> None:
    left, right = get_column_letter(area.left), get_column_letter(area.right)
    printed_page(page).print_area = f"{left}{area.top}:{right}{area.bottom}"


def _find_area(
    page: Worksheet, sheet: Sheet, spots: Sequence[TableSpot], extent: Extent
) -> _Area | None:
    """Find what is printed of a sheet, down to its last row that is filled; None for all of it."""
    if not spots:
        return None
    if sheet.prints:
        (spot,) = (each for each in spots if each.table.name == sheet.prints)
        right = spot.first_column + len(spot.columns) - 1
        return _Area(spot.first_column, spot.above_row, right, spot.last_row)
    last = max(spots, key=lambda each: each.first_column)
    right = last.first_column + list(last.letters).index(last.table.printed[-1].name)
    filled = max(each.head_row + each.filled for each in spots)
    right = _make_room_for_words(page, right, spots, extent.widths)
    return _Area(1, 1, right, max(extent.last_line, filled))


def _make_room_for_words(
    page: Worksheet, right: int, spots: Sequence[TableSpot], widths: Mapping[str, float]
) -> int:
    """Find the last column that is printed, so that the instruction, which runs on, is not cut."""
    words = text_units(str(cell_at(page, SAYS_ROW, 1).value or "")) * _DRAWN
    while sum(_widths_between(1, right, spots, widths)) < words:
        right += 1
    return right


def _widths_between(
    left: int, right: int, spots: Sequence[TableSpot], widths: Mapping[str, float]
) -> Iterator[float]:
    """Give the width of each column; of those folded away none."""
    folded = {letter for spot in spots for letter in spot.folded}
    for column in range(left, right + 1):
        letter = get_column_letter(column)
        yield widths.get(letter, 0.0 if letter in folded else _BLANK_COLUMN)


def _count_blank_rows(
    page: Worksheet, spots: Sequence[TableSpot], area: _Area, paper: Paper, scale: int
) -> int:
    """Count the blank rows that are printed: as many as the last page has room for, and no more."""
    ready = max(min(each.filled + _MOST_BLANK + each.head_row, each.last_row) for each in spots)
    if area.top > 1 or ready <= area.bottom:
        return 0
    return min(ready - area.bottom, count_rows_left(page, area.bottom, paper, scale))
