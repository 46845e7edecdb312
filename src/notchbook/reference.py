"""The reference: every key of the definition files and every column of the workbook."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from notchbook.definitions.shape import SYNTAX
from notchbook.sheets import BOOKS
from notchbook.sheets.declare import Book, Lines, Table
from notchbook.sheets.told import Told

_WIDTH = 80


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
    told = Told(book, "inch")
    for sheet in book.sheets:
        yield ""
        yield sheet.name
        for block in sheet.blocks:
            if isinstance(block, Table):
                for column in block.columns:
                    header = column.header.format(**told.unit_words)
                    yield from _entry(header, told.note(block, column))
            elif isinstance(block, Lines):
                for row in block.rows:
                    for cell in row.cells[:1]:
                        yield from _entry(row.label, told.line_note(cell, row.note))


def _entry(name: str, text: str) -> list[str]:
    return textwrap.wrap(f"{name}: {text}", _WIDTH, initial_indent="  ", subsequent_indent="      ")
