"""How wide the columns of lines are and how high their rows, and which notes run on.

A note wraps beside a table or a chart, and where nothing stands beside the lines at all; below the
tables beside them it runs on over empty cells, so that each line takes one row.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from notchbook.sheets.kit.declare import LineRow
from notchbook.sheets.kit.show import LINE
from notchbook.workbook.layout.layout import LinesSpot
from notchbook.workbook.write import widths
from notchbook.workbook.write.fitting import LINE_HEIGHT, Fitting

_NOTE_WIDTH = {"Start": 58.0, "Settings": 30.0, "Results": 19.0, "Next batches": 28.0}
_CONTENTS = 9  # points, of the list of sheets


@dataclass(frozen=True)
class LineFitting:
    """What fits the lines of one sheet; below row `beside` nothing stands beside their notes."""

    spot: LinesSpot
    fitting: Fitting
    beside: int | None

    def wraps(self, row_number: int) -> bool:
        """Tell whether a note keeps to its column."""
        return self.beside is None or row_number <= self.beside

    def widths(self) -> Iterator[tuple[int, float]]:
        """The columns with what fits them."""
        spot = self.spot
        labels = (widths.text_units(row.label) for row in spot.lines.rows if not row.heading)
        yield spot.label_column, max(labels) + widths.INDENT
        yield spot.note_column, self._note_width
        for n in range(spot.cell_columns):
            cells = [row.cells[n] for row in spot.lines.rows if len(row.cells) > n]
            wanted = [cell.look.width + 2 for cell in cells]
            wanted += [
                self.fitting.room([self._value(cell.name)], cell.look)
                for cell in cells
                if cell.look.format != LINE.format  # whose words run on over the cells beside it
            ]
            yield spot.label_column + 1 + n, min(max(wanted), widths.MOST)

    def heights(self) -> Iterator[tuple[int, float]]:
        """The rows with what fits them."""
        room = self._note_width - widths.INDENT - widths.PADDING
        for row_number, row in self.spot.placed():
            lines = 1
            if self.wraps(row_number):
                lines = widths.lines_of(row.note, room * 10 / size_of(row))
            for cell in row.cells:
                if cell.look.wrap:
                    said = str(self._value(cell.name))
                    lines = max(lines, widths.lines_of(said, widths.MOST - widths.INDENT))
            yield row_number, lines * LINE_HEIGHT + 1

    def folded(self) -> Iterator[list[int]]:
        """The runs of rows that are folded away, but for those that a table stands beside."""
        for is_folded, run in groupby(self.spot.placed(), key=lambda placed: placed[1].folded):
            rows = [row_number for row_number, _ in run]
            if is_folded and (self.beside is None or rows[0] > self.beside):
                yield rows

    @property
    def _note_width(self) -> float:
        return _NOTE_WIDTH.get(self.spot.sheet, 64.0)

    def _value(self, name: str) -> float | str:
        return self.fitting.filled.lines[self.spot.lines.name, name]


def size_of(row: LineRow) -> int:
    """The size of a line's letters, in points."""
    return _CONTENTS if row.link and not row.cells else 10
