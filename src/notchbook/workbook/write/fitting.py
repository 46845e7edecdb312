"""How wide the columns of a sheet are, and how high its headers and rows, to fit what they hold."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from notchbook.language.value_kinds import Kind
from notchbook.sheets.kit.calculate import Filled
from notchbook.sheets.kit.column_words import ColumnWords
from notchbook.sheets.kit.columns import Column
from notchbook.sheets.kit.show import LINE, Look
from notchbook.workbook.layout.layout import TableSpot
from notchbook.workbook.layout.style import Formats
from notchbook.workbook.write import widths

LINE_HEIGHT = 13.5  # points, of the letters in tables
LITTLE_AIR = 7.0  # points of a row that holds nothing, between things below one another
_CLOSE_HEIGHT = 13.0  # points of a line on a shop sheet, where every line counts
_FEW_ROWS = 8  # that nobody filters
_ARROW = 2.6  # units of width that a filter's arrow covers in the lower right of a header


@dataclass(frozen=True)
class Fitting:
    """What fits the tables of one sheet; `grid` holds the widths that split tables share.

    Headers with `filters` keep room for their arrows.
    """

    filled: Filled
    told: ColumnWords
    formats: Formats
    grid: tuple[float, ...]
    filters: bool = True
    _fitted: dict[tuple[str, str], tuple[float, bool]] = field(default_factory=dict)

    def header(self, column: Column) -> str:
        """A column's header, with the shop's units."""
        return column.header.format(**self.told.unit_words)

    def header_lines(self, spot: TableSpot, column: Column) -> int:
        """The lines that a header takes; a filter's arrow stands in the second."""
        if column.look is LINE:
            return 1
        words = column.look.kind is Kind.TEXT
        room = self.width_of(spot, column) - widths.PADDING - (widths.INDENT if words else 0)
        room -= _ARROW * self.keeps_off(spot, column)
        lines = widths.lines_of(self.header(column), room, bold=True)
        return max(lines, 1 + self.is_filtered(spot))

    def is_filtered(self, spot: TableSpot) -> bool:
        """Tell whether the headers have arrows to filter by: a few rows are seen without."""
        return self.filters and not spot.table.split and spot.filled > _FEW_ROWS

    def keeps_off(self, spot: TableSpot, column: Column) -> bool:
        """Tell whether a header of two lines stands right, where the filter's arrow would be."""
        if column.look.kind is Kind.TEXT or not self.is_filtered(spot):
            return False
        room = self.width_of(spot, column) - widths.PADDING
        return widths.lines_of(self.header(column), room, bold=True) > 1

    def row_heights(self, spot: TableSpot, shown: Iterable[int]) -> Iterator[tuple[int, float]]:
        """The rows that need another height than usual: where text wraps, and on shop sheets."""
        frame = self.filled.tables[spot.table.name]
        wrapped = [column for column in spot.columns if self.look_of(spot, column).wrap]
        for row, place in enumerate(shown, spot.first_row):
            lines = [
                widths.lines_of(
                    frame[column.name].iat[place],
                    self.width_of(spot, column) - widths.INDENT - widths.PADDING,
                )
                for column in wrapped
            ]
            if max(lines, default=1) > 1:
                yield row, max(lines) * LINE_HEIGHT + 1
            elif self.grid:
                yield row, _CLOSE_HEIGHT

    def width_of(self, spot: TableSpot, column: Column) -> float:
        """A column's width; tables below one another share the columns of their sheet's grid."""
        if not spot.table.split:
            return self.fitted(spot, column)[0]
        place = spot.places[spot.columns.index(column)]
        return self.grid[place - 1] if place <= len(self.grid) else column.look.width

    def look_of(self, spot: TableSpot, column: Column) -> Look:
        """How a column is shown: its words wrap where they are too long for one line.

        What is folded away makes no row higher.
        """
        if spot.table.is_folded(column):
            return replace(column.look, wrap=False)
        wraps = not spot.table.split and self.fitted(spot, column)[1]
        return replace(column.look, wrap=True) if wraps else column.look

    def fitted(self, spot: TableSpot, column: Column) -> tuple[float, bool]:
        """The width that fits what stands in a column, and whether that is too much for a line."""
        key = (spot.table.name, column.name)
        if key not in self._fitted:
            arrow = _ARROW if self.is_filtered(spot) else 0.0
            words = column.look.kind is Kind.TEXT
            header = widths.broken_once(self.header(column), arrow, bold=True, right=not words)
            wanted = header + widths.PADDING + (widths.INDENT if words else 0.0)
            shown = 0.0
            if not column.look.wrap:
                values = set(self.filled.tables[spot.table.name][column.name].tolist())
                shown = self.room(values, column.look)
            fits = max(column.look.width, wanted, min(shown, widths.MOST))
            self._fitted[key] = (fits, shown > widths.MOST)
        return self._fitted[key]

    def room(self, values: Iterable[float | str], look: Look) -> float:
        """The width that values take on one line."""
        if look.kind is Kind.TEXT:
            longest = max((widths.text_units(str(value)) for value in values), default=0.0)
            return longest + widths.INDENT + widths.PADDING
        if look.kind is Kind.DATE:
            return look.width
        numbers = map(float, values)
        return widths.number_units(numbers, self.formats.pattern(look.format)) + widths.PADDING
