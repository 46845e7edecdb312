"""Columns in words: who fills them, what they mean, how they are found."""

from __future__ import annotations

from collections.abc import Mapping

from notchbook.language.words import words
from notchbook.measure import CONVERSIONS, UNIT_WORDS, Units
from notchbook.sheets.kit.columns import Column, Role
from notchbook.sheets.kit.declare import Book, LineCell, Table
from notchbook.sheets.kit.faults import Fault


def is_header_note(text: str) -> bool:
    """Tell whether a note is one that the writer puts on a header: it begins with who fills it."""
    return text.startswith(tuple(f"{role.value}. " for role in Role))


class ColumnWords:
    """Sentences about the columns and lines of a book, in the words of its headers and labels."""

    def __init__(self, book: Book, units: Units) -> None:
        self.book = book
        self.unit_words = {name: by_unit[units] for name, by_unit in UNIT_WORDS.items()}
        self.conversions: Mapping[str, int] = {
            name: by_unit[units] for name, by_unit in CONVERSIONS.items()
        }
        self.table: Table | None = None  # the table whose own columns are spoken of
        self.labels = {
            (name, cell.name): row.label
            for name, block in book.lines.items()
            for row in block.rows
            for cell in row.cells
        }

    def note(self, table: Table, column: Column) -> str:
        """What a column's header says of it."""
        self.table = table
        said = f"{column.role.value}. "
        if column.note:
            said += column.note[:1].upper() + column.note[1:].rstrip(".") + ". "
        if column.role is Role.COMPUTED and column.rule is not None:
            said += f"{column.header} = {words(column.rule, self)}."
        return said.format(**self.unit_words).strip()

    def fault(self, table: Table, fault: Fault) -> str:
        """What may be wrong with a row, at which column, and what comes of it."""
        at = table.by_name[fault.column].header.split(" (")[0]
        said = f"{fault.words} ({at}); {fault.write}. {fault.strength.value.capitalize()}."
        return said.format(**self.unit_words)

    def line_note(self, cell: LineCell, note: str) -> str:
        """What a line says of itself."""
        said = f"{cell.role.value}. {note}".rstrip()
        return said if cell.rule is None else f"{said} = {words(cell.rule, self)}"

    def column(self, table: str | None, name: str) -> str:
        """A column by its header."""
        owner = self.table if table is None else self.book.tables[table]
        if owner is None:
            raise LookupError(f"no row to take {name!r} from")
        return owner.by_name[name].header.format(**self.unit_words)

    def line(self, sheet: str, name: str) -> str:
        """A line by its label."""
        return f"{self.labels[sheet, name]} ({sheet})"

    def unit(self, name: str) -> str:
        """A conversion as its number."""
        return str(self.conversions[name])
