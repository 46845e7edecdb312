"""Ledgers, which the workbook owns: carried whole, new names followed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from notchbook.base.sentences import counted
from notchbook.definitions.reading.naming import NAMING
from notchbook.definitions.reading.rows import Candidate
from notchbook.gathering.merging_sides import Merging
from notchbook.gathering.sides import MODELS
from notchbook.merging.cells import Value
from notchbook.merging.renames import follow_in_ledger

if TYPE_CHECKING:
    from notchbook.workbook.read.old_book import OldBook
    from notchbook.workbook.read.typed import TypedTable

Strays = dict[tuple[int, str], object]


class Ledgers:
    """What to tell of ledgers."""

    def __init__(self, merging: Merging) -> None:
        self.renamed = merging.renamed
        self.look: list[str] = []
        self.notices: list[str] = []

    def carried(self, table: TypedTable) -> tuple[list[Mapping[str, object]], Strays]:
        """The rows of a ledger, gaps and all, and the cells that nobody understands."""
        name = table.table.name
        rows = [dict(row) for row in table.rows]
        followed = follow_in_ledger(self.renamed, name, rows, NAMING, table.formulas)
        if not MODELS[name].a_row_for:  # those rows follow by themselves
            self.notices += map(str, followed)
        stray = dict(self._strays(table, rows))
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
            now = "" if each.waits or text == as_text(each.raw) else f"; it is kept as text, {text}"
            if not each.waits and table.formulas.pop((row, name), None) is not None:
                now = "; the formula is kept as text"
            self.look.append(
                f"{each.address}: '{as_text(each.raw)[:40]}' is not understood and counts for"
                f" nothing; {each.why}{now}"
            )
            if each.is_word and not each.waits:
                rows[row][name] = text
            else:
                yield (row, name), text


def tell_gone_rows(old: OldBook) -> Iterator[str]:
    """Say of which ledgers of days fewer rows stand than at the last compile."""
    for name, model in MODELS.items():
        table = old.typed.tables.get(name)
        if old.copy is None or table is None or "date" not in model.model_fields:
            continue
        typed = [key for key, info in model.model_fields.items() if info.is_required()]
        written = old.rows_written(name, typed)
        gone = sum(any(row.values()) for row in written) - sum(
            any(row.get(key) for key in typed) for row in table.rows
        )
        if gone > 0:
            yield (
                f"{name}: {counted(gone, 'row')} fewer than at the last compile; if that was a"
                " slip, an older copy in backups has them"
            )


def ledger_rows(table: TypedTable, rows: Sequence[Mapping[str, object]]) -> list[Candidate]:
    """Return the rows of a ledger that are not blank, to be looked through."""
    headers = {column.name: column.header.split(" (")[0] for column in table.table.columns}

    model = MODELS[table.table.name]

    def row(n: int, cells: Mapping[str, object]) -> Candidate:
        def where(column: str) -> tuple[str, int]:
            from notchbook.workbook.read.anchors import address

            if model.a_row_for:  # the row moves with those of the other table
                return f"{table.sheet}, {cells.get(model.key[0])}", 0
            return address(table.place(n, column)), 0

        values = {name: value for name, value in cells.items() if value is not None}
        unread = frozenset(column for at, column in table.stray if at == n)
        return Candidate(values, where, headers.__getitem__, unread)

    return [row(n, cells) for n, cells in enumerate(rows) if not table.is_blank(n)]
