"""Where charts stand: below one another under a sheet's last table, each under its own name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from openpyxl.chart.bar_chart import BarChart
from openpyxl.chart.scatter_chart import ScatterChart
from openpyxl.drawing.spreadsheet_drawing import AnchorMarker, TwoCellAnchor
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.workbook.layout.layout import TableSpot

_PIXEL = 9_525  # EMU
_LETTER_PIXELS = 7  # the widest digit of the workbook's default font, at full size
_ROWS, _BETWEEN = 17, 1  # of a chart, and from chart to chart
_ROW_HEIGHT = 15.0  # points, written down so that no program picks another


class NamedAnchor(TwoCellAnchor):  # type: ignore[misc]  # the stubs know no drawings
    """A place between two cells that gives its chart our name and the text for who cannot see it.

    openpyxl makes the frame around a chart while it writes, with a name of its own.
    """

    __elements__ = TwoCellAnchor.__elements__
    __attrs__ = TwoCellAnchor.__attrs__

    def __init__(self, name: str, says: str, corners: tuple[AnchorMarker, AnchorMarker]) -> None:
        super().__init__(editAs="oneCell", _from=corners[0], to=corners[1])
        self.__dict__["named"] = (name, says)

    def __setattr__(self, name: str, value: Any) -> None:
        if name == "graphicFrame" and value is not None:
            properties = value.nvGraphicFramePr.cNvPr
            properties.name, properties.descr = self.__dict__["named"]
        super().__setattr__(name, value)


def place(
    ws: Worksheet,
    charts: Sequence[tuple[BarChart | ScatterChart, str, str]],
    widths: Mapping[str, float],
    above: TableSpot,
) -> None:
    """Place charts, each with its name and its words, as wide as the table that they stand under.

    No row is put below that table after a compile, so that they cover nothing.
    """
    columns = range(above.first_column, above.first_column + len(above.columns))
    left = sum(widths.get(get_column_letter(n), 0.0) for n in range(1, columns[0]))
    across = sum(widths[get_column_letter(n)] for n in columns)
    for (chart, name, says), rows in zip(charts, list_rows(above, len(charts)), strict=True):
        top = rows.start
        for row in rows:
            size = ws.row_dimensions[row]
            size.height = size.height or _ROW_HEIGHT
        top_left = _marker(widths, int(left * _LETTER_PIXELS), top)
        bottom_right = _marker(widths, int((left + across) * _LETTER_PIXELS), top + _ROWS)
        chart.anchor = NamedAnchor(name, says, (top_left, bottom_right))
        ws.add_chart(chart)


def list_rows(above: TableSpot, charts: int) -> list[range]:
    """List the rows that each of so many charts covers."""
    tops = (above.last_row + 2 + n * (_ROWS + _BETWEEN) for n in range(charts))
    return [range(top, top + _ROWS + 1) for top in tops]


def _marker(widths: Mapping[str, float], pixels: float, row: int) -> AnchorMarker:
    """The column in which so many pixels from the left lie, and how far into it."""
    column = 1
    while pixels > (here := widths.get(get_column_letter(column), 0.0) * _LETTER_PIXELS):
        pixels -= here
        column += 1
    return AnchorMarker(col=column - 1, colOff=round(pixels * _PIXEL), row=row - 1, rowOff=0)
