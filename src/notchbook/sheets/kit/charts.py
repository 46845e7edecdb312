"""What is drawn on a sheet: which columns of which table, and what stands around them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from notchbook.base.problems import nearest
from notchbook.language.kinds import RuleError

if TYPE_CHECKING:
    from notchbook.sheets.kit.declare import Table


class ChartShape(Enum):
    """How the numbers of a chart are drawn."""

    BARS = "bars lying, the first row on top, one beside the other for each column"
    COLUMNS_AND_LINE = "the first column standing, the second a line over it"
    CURVES = "a curve for each name, over steps"


@dataclass(frozen=True)
class Chart:
    """A chart of a table's columns, redrawn at each compile.

    `along` is the column of its rows' names or steps, `drawn` the columns of its numbers. `only`
    picks the rows with a word in a column. BARS draws the first `most` rows, CURVES the rows of
    the first `most` names in `each`; where that leaves some out, the title says how many. Texts
    may hold {currency} and {year}.
    """

    title: str
    shape: ChartShape
    table: str
    along: str
    drawn: tuple[str, ...]
    along_title: str
    drawn_title: str
    says: str  # for who cannot see it; without numbers, which change under it
    only: tuple[str, str] | None = None
    each: str | None = None
    most: int | None = None

    @property
    def columns(self) -> tuple[str, ...]:
        """Every column of its table that it needs."""
        more = (self.each, self.only and self.only[0])
        return (self.along, *self.drawn, *(name for name in more if name))

    def check(self, tables: dict[str, Table]) -> None:
        """Every column that it names is there.

        Raises RuleError.
        """
        there = tables[self.table].by_name if self.table in tables else {}
        for name in self.columns:
            if name not in there:
                raise RuleError(
                    f"the chart {self.title!r} draws {self.table}.{name}, not there"
                    f"{nearest(name, there) or nearest(self.table, tables)}"
                )
