"""Where charts stand: side by side in the band above a sheet's tables, each under its own name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from openpyxl.chart.bar_chart import BarChart
from openpyxl.chart.scatter_chart import ScatterChart
from openpyxl.drawing.spreadsheet_drawing import AnchorMarker, TwoCellAnchor
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.workbook.layout.layout import CHART_ROW, CHART_ROWS

_PIXEL = 9_525  # EMU
_LETTER_PIXELS = 7  # the widest digit of the workbook's default font, at full size
_BETWEEN = 10  # pixels from chart to chart
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
) -> None:
    """Charts, each with its name and its words, in equal shares of the width of the sheet."""
    across = sum(widths.values()) * _LETTER_PIXELS
    share = int((across - _BETWEEN * (len(charts) - 1)) / len(charts))
    rows = range(CHART_ROW, CHART_ROW + CHART_ROWS - 1)
    for row in rows:
        ws.row_dimensions[row].height = _ROW_HEIGHT
    for n, (chart, name, says) in enumerate(charts):
        left = n * (share + _BETWEEN)
        top_left = _marker(widths, left, rows[0])
        bottom_right = _marker(widths, left + share, rows[-1])
        chart.anchor = NamedAnchor(name, says, (top_left, bottom_right))
        ws.add_chart(chart)


def _marker(widths: Mapping[str, float], pixels: float, row: int) -> AnchorMarker:
    """The column in which so many pixels from the left lie, and how far into it."""
    column = 1
    while pixels > (here := widths.get(get_column_letter(column), 0.0) * _LETTER_PIXELS):
        pixels -= here
        column += 1
    return AnchorMarker(col=column - 1, colOff=round(pixels * _PIXEL), row=row - 1, rowOff=0)
