"""The notes on headers: who fills the column, what it means, how it is found."""

from __future__ import annotations

from collections.abc import Mapping

from notchbook.language.words import words
from notchbook.sheets.declare import Column, Role, Table
from notchbook.workbook.layout import Layout


class Notes:
    """Sentences about columns, in the words of the headers."""

    def __init__(self, layout: Layout, unit_words: Mapping[str, str]) -> None:
        self.book, self.units, self.unit_words = layout.book, layout.units, unit_words

    def of(self, table: Table, column: Column) -> str:
        """The note of a column's header."""
        parts = [column.role.value + "."]
        if column.note:
            parts.append(column.note[:1].upper() + column.note[1:].rstrip(".") + ".")
        if column.role is Role.COMPUTED and column.rule is not None:
            self.table = table
            told = words(column.rule, self).strip()
            parts.append(f"{column.header} = {told}.")
        return " ".join(parts).format(**self.unit_words)

    def column(self, table: str | None, name: str) -> str:
        """A column by its header."""
        owner = self.table if table is None else self.book.tables[table]
        return owner.by_name[name].header

    def line(self, sheet: str, name: str) -> str:
        """A line by its label."""
        for row in self.book.lines[sheet].rows:
            if any(cell.name == name for cell in row.cells):
                return f"{row.label} ({sheet})"
        raise LookupError(f"{sheet}.{name}")

    def unit(self, name: str) -> str:
        """A conversion as its number."""
        return str(self.units[name])
