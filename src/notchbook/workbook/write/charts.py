"""Charts drawn natively, with the values they show stored beside the references to cells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from openpyxl.chart.axis import ChartLines
from openpyxl.chart.bar_chart import BarChart
from openpyxl.chart.data_source import (
    AxDataSource,
    NumData,
    NumDataSource,
    NumRef,
    NumVal,
    StrData,
    StrRef,
    StrVal,
)
from openpyxl.chart.label import DataLabelList
from openpyxl.chart.legend import Legend
from openpyxl.chart.line_chart import LineChart
from openpyxl.chart.marker import Marker
from openpyxl.chart.scatter_chart import ScatterChart
from openpyxl.chart.series import Series, SeriesLabel, XYSeries
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.chart.text import RichText, Text
from openpyxl.chart.title import Title
from openpyxl.drawing.line import LineProperties
from openpyxl.drawing.text import (
    CharacterProperties,
    Font,
    Paragraph,
    ParagraphProperties,
    RegularTextRun,
)

from notchbook.sheets.kit.calculate import Filled
from notchbook.sheets.kit.charts import Chart, ChartShape
from notchbook.workbook.layout.layout import TableSpot, quoted
from notchbook.workbook.layout.style import (
    CHART_CURVES,
    CHART_EDGE,
    CHART_FILL,
    CHART_FILLS,
    CHART_GRID,
    FONT,
    INK,
)

_MARKS = ("circle", "square", "triangle", "diamond", "x", "plus")
_DASHES = ("solid", "dash", "sysDot", "lgDash", "dashDot", "sysDash")
_POINT = 12_700  # EMU
_SMALL, _MIDDLE, _LARGE = 800, 900, 1_200  # hundredths of a point


@dataclass(frozen=True)
class ChartSource:
    """The cells that a chart draws, and what they hold."""

    chart: Chart
    spot: TableSpot
    headers: Mapping[str, str]
    filled: Filled
    texts: Mapping[str, str]

    def runs(self) -> list[tuple[int, int]]:
        """First and last row in the frame of what is drawn: one run, or one a curve."""
        frame, chart = self.filled.tables[self.spot.table.name], self.chart
        if chart.each is not None:
            names = frame[chart.each].tolist()
            starts = [n for n, name in enumerate(names) if n == 0 or names[n - 1] != name]
            ends = [start - 1 for start in starts[1:]] + [len(names) - 1]
            return list(zip(starts, ends, strict=True))[: chart.most]
        picked = range(len(frame))
        if chart.only is not None:
            column, word = chart.only
            rows = [n for n, found in enumerate(frame[column]) if found == word]
            picked = range(min(rows), max(rows) + 1)
        last = picked[: chart.most][-1] if picked else -1
        return [(picked[0], last)] if last >= 0 else []

    def title(self) -> str:
        """The chart's title, which says so where it leaves out projects."""
        frame, chart = self.filled.tables[self.spot.table.name], self.chart
        names = frame[chart.each or chart.along].nunique()
        few = chart.most is not None and names > chart.most
        return chart.title + (f": the first {chart.most} of {names}" if few else "")

    def words(self, text: str) -> str:
        """A text with the shop's currency and year."""
        return text.format(**self.texts)

    def cells(self, name: str, run: tuple[int, int]) -> str:
        """A column's cells in a run of rows."""
        letter, first = self.spot.letters[name], self.spot.first_row
        area = f"${letter}${first + run[0]}"
        if run[1] > run[0]:
            area += f":${letter}${first + run[1]}"
        return f"{quoted(self.spot.sheet)}!{area}"

    def numbers(self, name: str, run: tuple[int, int]) -> NumRef:
        """A column's numbers, with what they are now."""
        values = self._values(name, run)
        points = [NumVal(idx=n, v=float(value)) for n, value in enumerate(values)]
        data = NumData(formatCode="General", ptCount=len(points), pt=points)
        return NumRef(f=self.cells(name, run), numCache=data)

    def names(self, name: str, run: tuple[int, int]) -> StrRef:
        """A column's words, with what they are now."""
        return self._strings(self.cells(name, run), self._values(name, run))

    def header(self, name: str) -> SeriesLabel:
        """The header of a column, as the name of a series."""
        place = f"{quoted(self.spot.sheet)}!${self.spot.letters[name]}${self.spot.head_row}"
        return SeriesLabel(strRef=self._strings(place, [self.headers[name]]))

    def name(self, name: str, run: tuple[int, int]) -> SeriesLabel:
        """The word in the first row of a run, as the name of a series."""
        first = (run[0], run[0])
        return SeriesLabel(strRef=self.names(name, first))

    def most(self, name: str) -> float:
        """The greatest number drawn of a column."""
        return max((float(max(self._values(name, run))) for run in self.runs()), default=1.0)

    def _values(self, name: str, run: tuple[int, int]) -> list[float | str]:
        column = self.filled.tables[self.spot.table.name][name]
        return list(column.iloc[run[0] : run[1] + 1])

    @staticmethod
    def _strings(place: str, words: Sequence[object]) -> StrRef:
        points = [StrVal(idx=n, v=str(word)) for n, word in enumerate(words)]
        return StrRef(f=place, strCache=StrData(ptCount=len(points), pt=points))


def draw(source: ChartSource) -> BarChart | ScatterChart:
    """The chart as openpyxl has it."""
    shapes = {
        ChartShape.BARS: _bars,
        ChartShape.COLUMNS_AND_LINE: _columns_and_line,
        ChartShape.CURVES: _curves,
    }
    made = shapes[source.chart.shape](source)
    made.title = _title(source.title(), _LARGE, bold=True)
    made.title.overlay = False
    made.visible_cells_only = False  # a filter on the table does not thin out the chart
    made.roundedCorners = False
    made.graphical_properties = GraphicalProperties(
        solidFill="FFFFFF", ln=LineProperties(solidFill=CHART_GRID, w=_POINT // 2)
    )
    return made


def _bars(source: ChartSource) -> BarChart:
    chart, ours = BarChart(), source.chart
    chart.type, chart.gapWidth = "bar", 45
    chart.legend = _legend("b") if len(ours.drawn) > 1 else None
    for n, (run, column) in enumerate(product(source.runs(), ours.drawn)):
        values = NumDataSource(numRef=source.numbers(column, run))
        series = Series(idx=n, order=n, tx=source.header(column), val=values)
        series.cat = AxDataSource(strRef=source.names(ours.along, run))
        series.spPr = _filled(CHART_FILLS[n])
        series.invertIfNegative = False
        series.dLbls = DataLabelList(showVal=True, dLblPos="outEnd", txPr=_letters())
        for other in ("showSerName", "showCatName", "showLegendKey", "showPercent"):
            setattr(series.dLbls, other, False)
        chart.series.append(series)
    _axis(chart.x_axis, source.words(ours.along_title), None)
    _axis(chart.y_axis, source.words(ours.drawn_title), "General")
    chart.x_axis.scaling.orientation = "maxMin"  # the first row on top
    chart.x_axis.tickLblPos = "low"  # beside a loss, too, the names stand at the edge
    chart.y_axis.crosses = "max"  # and so the scale below
    return chart


def _columns_and_line(source: ChartSource) -> BarChart:
    chart, line, ours = BarChart(), LineChart(), source.chart
    chart.type, chart.gapWidth = "col", 60
    standing, over = ours.drawn
    for run in source.runs():
        for n, (made, column) in enumerate(((chart, standing), (line, over))):
            values = NumDataSource(numRef=source.numbers(column, run))
            series = Series(idx=n, order=n, tx=source.header(column), val=values)
            series.cat = AxDataSource(strRef=source.names(ours.along, run))
            made.series.append(series)
        chart.series[0].spPr = _filled()
        chart.series[0].invertIfNegative = False
        line.series[0].spPr = _line(CHART_EDGE, "solid", 2.25)
        line.series[0].marker = _marker("diamond", CHART_EDGE, CHART_EDGE)
        line.series[0].smooth = False
    _axis(chart.x_axis, source.words(ours.along_title), None)
    _axis(chart.y_axis, source.words(ours.drawn_title), "General")
    chart.x_axis.tickLblPos = "low"
    chart.legend = _legend("b")
    chart += line
    return chart


def _curves(source: ChartSource) -> ScatterChart:
    chart, ours = ScatterChart(), source.chart
    chart.scatterStyle = "lineMarker"
    (column,) = ours.drawn
    looks = zip(source.runs(), CHART_CURVES, _MARKS, _DASHES, strict=False)
    for n, (run, colour, mark, dash) in enumerate(looks):
        series = XYSeries(idx=n, order=n, tx=source.name(str(ours.each), run))
        series.xVal = AxDataSource(numRef=source.numbers(ours.along, run))
        series.yVal = NumDataSource(numRef=source.numbers(column, run))
        series.spPr = _line(colour, dash, 1.75)
        series.marker = _marker(mark, "FFFFFF" if n % 2 else colour, colour)
        series.smooth = False
        chart.series.append(series)
    _axis(chart.x_axis, source.words(ours.along_title), "General")
    _axis(chart.y_axis, source.words(ours.drawn_title), "General")
    most = source.most(ours.along)
    chart.x_axis.scaling.min, chart.x_axis.scaling.max = 0, most
    chart.x_axis.majorUnit = 4 if most <= 24 else None
    chart.legend = _legend("b")
    return chart


def _axis(axis: Any, title: str, numbers: str | None) -> None:
    axis.title = _title(title, _MIDDLE)
    axis.title.overlay = False
    axis.delete = False
    axis.txPr = _letters()
    axis.majorTickMark = "out"
    axis.spPr = _line(CHART_EDGE, "solid", 0.75)
    axis.majorGridlines = None
    if numbers is not None:
        axis.majorGridlines = ChartLines(spPr=_line(CHART_GRID, "solid", 0.5))
        axis.number_format = numbers


def _legend(place: str) -> Legend:
    legend = Legend()
    legend.position, legend.overlay, legend.txPr = place, False, _letters()
    return legend


def _filled(colour: str = CHART_FILL) -> GraphicalProperties:
    edge = LineProperties(solidFill=CHART_EDGE, w=_POINT * 3 // 4)
    return GraphicalProperties(solidFill=colour, ln=edge)


def _line(colour: str, dash: str, points: float) -> GraphicalProperties:
    line = LineProperties(solidFill=colour, w=int(points * _POINT), prstDash=dash)
    return GraphicalProperties(ln=line)


def _marker(sign: str, fill: str, colour: str) -> Marker:
    edge = LineProperties(solidFill=colour, w=_POINT)
    look = GraphicalProperties(solidFill=fill, ln=edge)
    return Marker(symbol=sign, size=7, spPr=look)


def _properties(size: int, bold: bool = False) -> CharacterProperties:
    return CharacterProperties(sz=size, b=bold, solidFill=INK, latin=Font(typeface=FONT))


def _letters() -> RichText:
    paragraph = Paragraph(pPr=ParagraphProperties(defRPr=_properties(_SMALL)))
    paragraph.endParaRPr = CharacterProperties(lang="en-US")
    return RichText(p=[paragraph])


def _title(words: str, size: int, bold: bool = False) -> Title:
    look = _properties(size, bold)
    run = RegularTextRun(rPr=look, t=words)
    paragraph = Paragraph(pPr=ParagraphProperties(defRPr=look), r=[run])
    return Title(tx=Text(rich=RichText(p=[paragraph])))
