"""The reference: every key of the definition files and every column of the workbook."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from notchbook.definitions.shape import SYNTAX
from notchbook.language.words import words
from notchbook.measure import UNIT_WORDS
from notchbook.sheets import BOOKS
from notchbook.sheets.declare import Book, Column, Lines, Role, Table

_WIDTH = 80
_INCH = {name: by_unit["inch"] for name, by_unit in UNIT_WORDS.items()}


def reference_text() -> str:
    """All keys and columns, in lines of at most 80 letters."""
    return "\n".join([*_keys(), "", *_columns(BOOKS["us"])])


def _keys() -> Iterator[str]:
    yield "DEFINITION FILES"
    for place, keys in SYNTAX.items():
        yield ""
        yield place
        for key in keys:
            needed = "" if key.required else "opt; "
            yield from _entry(key.key, f"{needed}{key.meaning}")


def _columns(book: Book) -> Iterator[str]:
    yield "SHEETS"
    names = _Names(book)
    for sheet in book.sheets:
        yield ""
        yield sheet.name
        for block in sheet.blocks:
            if isinstance(block, Table):
                names.table = block
                for column in block.columns:
                    yield from _entry(column.header.format(**_INCH), names.told(column))
            else:
                yield from _lines(block, names)


def _lines(block: Lines, names: _Names) -> Iterator[str]:
    for row in block.rows:
        for cell in row.cells[:1]:
            how = row.note if cell.rule is None else f"{row.note} = {words(cell.rule, names)}"
            yield from _entry(row.label, f"{cell.role.value}; {how}".strip("; "))


class _Names:
    """Columns and lines as their headers and labels say."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.table: Table | None = None

    def told(self, column: Column) -> str:
        parts = [column.role.value, column.note.rstrip(".")]
        if column.role is Role.COMPUTED and column.rule is not None:
            parts.append("= " + words(column.rule, self))
        return "; ".join(part for part in parts if part).format(**_INCH)

    def column(self, table: str | None, name: str) -> str:
        """A column by its header."""
        owner = self.table if table is None else self.book.tables[table]
        assert owner is not None
        return owner.by_name[name].header.format(**_INCH)

    def line(self, sheet: str, name: str) -> str:
        """A line by its name."""
        return f"{sheet} {name.replace('_', ' ')}"

    def unit(self, name: str) -> str:
        """A conversion by what it converts."""
        return f"[{name}]"


def _entry(name: str, text: str) -> list[str]:
    return textwrap.wrap(
        f"{name}: {text}", _WIDTH, initial_indent="  ", subsequent_indent="      "
    )
