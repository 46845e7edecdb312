"""Where the rows of an area of the old workbook stand in the new one, a row or a span at a time."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from operator import attrgetter
from typing import NamedTuple

from notchbook.workbook.read.anchors import LAST_ROW


class _Run(NamedTuple):
    """Rows one below the other that stay so."""

    first: int
    last: int
    new_first: int

    def row(self, old: int) -> int:
        return old - self.first + self.new_first


@dataclass
class MovedRows:
    """The rows of an area, old to new.

    `rows` maps old rows below the head to new ones, to None where the row is gone. What lies above
    the head keeps its distance from it, what lies past the last old row that from the end; the last
    row of a sheet stays the last one, so that whole columns stay whole.
    """

    head: int
    new_head: int
    rows: Mapping[int, int | None]
    last: int
    new_last: int

    def row(self, old: int) -> int | None:
        """The new row; None where it is gone."""
        if old <= self.head:
            return max(self.new_head - (self.head - old), 1)
        if old == LAST_ROW:
            return LAST_ROW
        if old > self.last:
            return min(old - self.last + self.new_last, LAST_ROW)
        return self.rows.get(old)

    def span(self, top: int, bottom: int) -> tuple[int, int] | None:
        """The first and last new row of the old ones from top to bottom; None where all are gone.

        The work grows with the runs of rows that were torn apart, not with the rows.
        """
        ends = [row for each in self._ends(top, bottom) if (row := self.row(each)) is not None]
        if top == 1 and bottom == LAST_ROW:
            return 1, LAST_ROW
        return (min(ends), max(ends)) if ends else None

    def _ends(self, top: int, bottom: int) -> Iterator[int]:
        """Old rows between which the new ones rise evenly."""
        if top <= self.head:
            yield from (top, min(bottom, self.head))
        runs = self._runs
        for run in runs[bisect_left(runs, top, key=attrgetter("last")) :]:
            if run.first > bottom:
                break
            yield from (max(run.first, top), min(run.last, bottom))
        if bottom > self.last:
            yield from (max(top, self.last + 1), bottom)

    @cached_property
    def _runs(self) -> list[_Run]:
        found: list[_Run] = []
        for old in sorted(self.rows):
            new = self.rows[old]
            if new is None or not self.head < old <= self.last:
                continue
            if found and found[-1].last == old - 1 and found[-1].row(old) == new:
                found[-1] = _Run(found[-1].first, old, found[-1].new_first)
            else:
                found.append(_Run(old, old, new))
        return found
