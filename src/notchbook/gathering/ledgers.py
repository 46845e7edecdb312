"""Ledgers, which the workbook owns: carried whole, new names followed, unknown ones told."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from notchbook.base.problems import nearest
from notchbook.definitions.reading.naming import NAMING
from notchbook.gathering.merging_sides import Merging
from notchbook.merging.cells import Value
from notchbook.merging.renames import follow_in_ledger

if TYPE_CHECKING:
    from notchbook.workbook.read.typed import TypedTable

_MOST = 5  # unknown names told of a column; its rows say so too
Strays = dict[tuple[int, str], object]


class Ledgers:
    """What to tell of ledgers; `known` holds the merged planning tables, whose names they use."""

    def __init__(
        self, merging: Merging, known: Mapping[str, Sequence[Mapping[str, object]]]
    ) -> None:
        self.renamed, self.known = merging.renamed, known
        self.look: list[str] = []
        self.notices: list[str] = []

    def carried(self, table: TypedTable) -> tuple[list[Mapping[str, object]], Strays]:
        """The rows of a ledger, gaps and all, and the cells that nobody understands."""
        name = table.table.name
        rows = [dict(row) for row in table.rows]
        self.notices += map(str, follow_in_ledger(self.renamed, name, rows, NAMING, table.formulas))
        stray = dict(self._strays(table, rows))
        for refers in NAMING:
            for ledger, column in refers.in_ledgers:
                if ledger == name:
                    self._unknown(table, rows, column, refers.table, refers.column)
        return list(rows), stray

    def _strays(
        self, table: TypedTable, rows: Sequence[dict[str, Value]]
    ) -> Iterator[tuple[tuple[int, str], object]]:
        """Tell of the cells that nobody understands, and give them as words.

        A spreadsheet would reckon with a day or a huge number where another one belongs, and an
        error would stand wherever the cell is used. As text they are still there to be seen, and
        count for nothing here and there. A formula that waits for its value stays one.
        """
        from notchbook.workbook.read.understand import as_text, as_words

        for (row, name), each in table.stray.items():
            text = as_text(each.raw) if each.waits or each.is_word else as_words(each.raw)
            now = "" if each.waits or text == each.raw else f"; it stands there as text now, {text}"
            if not each.waits and table.formulas.pop((row, name), None) is not None:
                now = "; the formula stands there as text now"
            self.look.append(
                f"{each.address}: '{as_text(each.raw)[:40]}' is not understood and counts for"
                f" nothing; {each.why}{now}"
            )
            if each.is_word and not each.waits:
                rows[row][name] = text
            else:
                yield (row, name), text

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
