"""Where pages end: never below a header, nor within a step of a shop sheet.

Pages are told by a scale and by breaks, since breaks count for nothing where a sheet is fitted to
pages by the program that prints it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import NamedTuple

from openpyxl.worksheet.pagebreak import Break, RowBreak
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.workbook.file.raw_cells import cells_by_place
from notchbook.workbook.layout.layout import HEAD_ROW, TITLE_ROW, TableSpot

_ROW_POINTS = 13.0  # of a row without a height of its own
_ROWS_DRAWN = (12.8, 15.0)  # points that programs give such a row, as seen
_TITLE_POINTS = 20.0
_AIR = 0.96  # of a page that is counted on: no two programs draw rows alike
_LEAST_SCALES = {1: 76, 2: 70}  # percent, for so many pages, so that letters keep 7 points
_PAPERS = {"letter": (612.0, 792.0), "a4": (595.3, 841.9)}  # points across and down
_BELOW_HEAD = 2  # rows that a page shows of a table at least
_WHOLE = 10  # rows up to which a table is never parted
_SCREEN = 0.75  # points to a pixel
_DIGIT, _PADDING = 7, 5  # pixels of a digit, and of a cell's edges


class Paper(NamedTuple):
    """The room that a page has within its margins, in points."""

    across: float
    down: float

    @staticmethod
    def named(name: str, landscape: bool, beside: float, above: float) -> Paper:
        """Return a paper's room; `beside` and `above` are both margins together, in inches."""
        across, down = reversed(_PAPERS[name]) if landscape else _PAPERS[name]
        return Paper(across - 72 * beside, down - 72 * above)


def scale_to_fit(paper: Paper, widths: Iterable[float], pages: int = 1, part: float = _AIR) -> int:
    """Return the scale, in percent, at which columns of such widths fit so many pages across.

    They take that `part` of the pages: all of them where the program that prints fits them.
    """
    wide = sum(int(width * _DIGIT + _PADDING) * _SCREEN for width in widths if width)
    return min(100, int(100 * part * pages * paper.across / wide))


def break_pages(
    page: Worksheet, spots: Sequence[TableSpot], widths: Sequence[float], last: int, paper: Paper
) -> int:
    """Scale a shop sheet to one page across, if it stays readable to one or two down; break it.

    Returns how many pages there are.
    """
    heights = list_heights(page, last)
    widest = scale_to_fit(paper, widths)
    together = list_rows_kept_together(page, spots)
    room = _AIR * paper.down
    for pages, least in _LEAST_SCALES.items():
        for scale in range(widest, least - 1, -1):
            breaks = list(find_breaks(heights, together, room * 100 / scale))
            if len(breaks) < pages:
                return _set_breaks(page, scale, breaks)
    return _set_breaks(page, widest, list(find_breaks(heights, together, room * 100 / widest)))


def break_rows(
    page: Worksheet, spots: Sequence[TableSpot], last: int, paper: Paper, scale: int
) -> int:
    """Set the breaks of a table whose header stands on each page; return how many pages there are.

    Its rows get their height, so that every program breaks them alike.
    """
    page.sheet_format.defaultRowHeight, page.sheet_format.customHeight = _ROW_POINTS, True
    page.row_dimensions[TITLE_ROW].height = _TITLE_POINTS
    header = max(page.row_dimensions[spot.head_row].height or _ROW_POINTS for spot in spots)
    heights = list_heights(page, last)
    room = _AIR * paper.down * 100 / scale - header
    return _set_breaks(page, scale, list(find_breaks(heights, (), room)))


def break_beside_charts(
    page: Worksheet, charts: Sequence[range], last: int, paper: Paper, scale: int
) -> int:
    """Set breaks of a sheet that go through no chart; return how many pages there are."""
    together = {row for rows in charts for row in rows[:-1]}
    heights = list_heights(page, last, max(_ROWS_DRAWN))
    breaks = list(find_breaks(heights, together, _AIR * paper.down * 100 / scale))
    return _set_breaks(page, scale, breaks)


def count_rows_left(page: Worksheet, last: int, paper: Paper, scale: int) -> int:
    """Count the rows that still fit on the page on which row `last` stands.

    A row without a height of its own is drawn higher by some programs than by others; what fits
    in all of them is counted.
    """
    header = page.row_dimensions[HEAD_ROW].height or _ROW_POINTS
    found = []
    for points in _ROWS_DRAWN:
        heights = list_heights(page, last, points)
        room = paper.down * 100 / scale - header
        rows = [sum(heights[:HEAD_ROW]) - header, *heights[HEAD_ROW:]]
        breaks = [0, *find_breaks(rows, (), room)]
        used = sum(rows[breaks[-1] :])
        found.append(int((_AIR * room - used) / points))
    return max(0, min(found))


def list_heights(page: Worksheet, last: int, usual: float = _ROW_POINTS) -> list[float]:
    """List the heights of the rows down to the last, in points."""
    return [page.row_dimensions[row].height or usual for row in range(1, last + 1)]


def _set_breaks(page: Worksheet, scale: int, breaks: Sequence[int]) -> int:
    page.sheet_properties.pageSetUpPr.fitToPage = False
    page.page_setup.scale = scale
    page.row_breaks = RowBreak(brk=[Break(id=row) for row in breaks])
    return len(breaks) + 1


def find_breaks(heights: Sequence[float], together: Collection[int], room: float) -> Iterator[int]:
    """Find the rows, counted from 1, behind which a page ends.

    Rows `together` stand on one page with the next; a run of them longer than a page is cut.
    """
    first, used = 1, 0.0
    for row, height in enumerate(heights, 1):
        if used + height > room and row > first:
            end = row - 1
            while end >= first and end in together:
                end -= 1
            if end < first:
                end = row - 1
            yield end
            first, used = end + 1, sum(heights[end : row - 1])
        used += height


def list_rows_kept_together(page: Worksheet, spots: Sequence[TableSpot]) -> set[int]:
    """List the rows that stand on a page with the next: headers, phases, lines that run on."""
    places = cells_by_place(page)
    found: set[int] = set()
    for spot in spots:
        shown = spot.filled if spot.filled <= _WHOLE else _BELOW_HEAD
        found |= set(range(spot.head_row, spot.first_row + shown - 1))
        if "box" not in spot.letters:
            continue
        box, text = spot.places[:2]
        rows = range(spot.first_row, spot.first_row + spot.filled)
        ticked = {row for row in rows if (row, box) in places and places[row, box].value}
        words = {row: str(places[row, text].value or "") for row in rows if (row, text) in places}
        for row in rows[:-1]:
            goes_on = row + 1 not in ticked and words.get(row + 1, "").startswith(" ")
            heads = row not in ticked and not words.get(row, "").startswith(" ")
            if goes_on or (heads and row + 1 in ticked):
                found.add(row)
    return found
