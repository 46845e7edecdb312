"""Ledgers, which the workbook owns: carried whole, new names followed, unknown ones told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from notchbook.base.problems import nearest
from notchbook.definitions.reading.naming import NAMING
from notchbook.gathering.merging_sides import Merging
from notchbook.merging.renames import follow_in_ledger

if TYPE_CHECKING:
    from notchbook.workbook.read.typed import TypedTable

_MOST = 5  # unknown names told of a column; its rows say so too
Stray = dict[tuple[int, str], object]


class Ledgers:
    """What to tell of ledgers; `known` holds the merged planning tables, whose names they use."""

    def __init__(
        self, merging: Merging, known: Mapping[str, Sequence[Mapping[str, object]]]
    ) -> None:
        self.renamed, self.known = merging.renamed, known
        self.look: list[str] = []
        self.notices: list[str] = []

    def carried(self, table: TypedTable) -> tuple[list[Mapping[str, object]], Stray]:
        """The rows of a ledger, gaps and all, and the cells that nobody understands."""
        name = table.table.name
        rows = [dict(row) for row in table.rows]
        self.notices += map(str, follow_in_ledger(self.renamed, name, rows, NAMING, table.formulas))
        for stray in table.stray.values():
            self.look.append(
                f"{stray.address}: '{str(stray.raw)[:40]}' is not understood and counts for"
                f" nothing; {stray.why}"
            )
        for refers in NAMING:
            for ledger, column in refers.in_ledgers:
                if ledger == name:
                    self._unknown(table, rows, column, refers.table, refers.column)
        return list(rows), {at: each.raw for at, each in table.stray.items()}

    def _unknown(
        self,
        table: TypedTable,
        rows: Sequence[Mapping[str, object]],
        column: str,
        of: str,
        key: str,
    ) -> None:
        """Names that no row of the table `of` bears; capitals do not matter."""
        from notchbook.workbook.read.anchors import address

        names = [str(row[key]) for row in self.known[of]]
        there = {each.casefold() for each in names}
        unknown = [
            (n, str(row[column]))
            for n, row in enumerate(rows)
            if row[column] is not None and str(row[column]).casefold() not in there
        ]
        for n, word in unknown[:_MOST]:
            place = address(table.place(n, column))
            self.look.append(f"{place}: there is no {key} '{word[:40]}'{nearest(word, names)}")
        if len(unknown) > _MOST:
            more = len(unknown) - _MOST
            self.look.append(f"{table.sheet}: {more} more rows name no {key} that is there")
