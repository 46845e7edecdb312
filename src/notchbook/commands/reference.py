"""The reference: every key of the definition files, the cautions, every column of the workbook."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from notchbook.definitions.syntax.keys import Key
from notchbook.definitions.syntax.places import SYNTAX
from notchbook.plan_views.cautions import read_cautions
from notchbook.sheets import BOOKS
from notchbook.sheets.kit.column_words import ColumnWords
from notchbook.sheets.kit.declare import Book, Lines, Table
from notchbook.sheets.kit.written import Reads

_WIDTH = 80


def reference_text() -> str:
    """All keys, cautions and columns, in lines of at most 80 letters."""
    return "\n".join([*_keys(), "", *_cautions(), "", *_columns(BOOKS["us"])])


def _keys() -> Iterator[str]:
    yield "DEFINITION FILES"
    for place, keys in SYNTAX.items():
        yield ""
        yield place
        for key in keys:
            needed = "" if key.required else "optional; "
            yield from _entry(key.key, f"{needed}{key.meaning}; {_written(key)}")


def _written(key: Key) -> str:
    """How a value is written: the words to choose from, or what it is with an example."""
    if key.choices:
        return " | ".join(key.choices)
    if key.reads in (Reads.PLACE, Reads.PLACES, Reads.YES) or "such as" in key.reads.value:
        return str(key.reads.value)
    return f"{key.reads.value}, such as {key.example}"


def _cautions() -> Iterator[str]:
    yield "CAUTIONS that a project may name; others are printed as written"
    yield ""
    for name, sentence in read_cautions().items():
        yield from _entry(name, sentence)


def _columns(book: Book) -> Iterator[str]:
    yield "SHEETS"
    told = ColumnWords(book, "inch")
    for sheet in book.sheets:
        yield ""
        yield sheet.name
        for block in sheet.blocks:
            if isinstance(block, Table):
                for column in block.columns:
                    header = column.header.format(**told.unit_words)
                    yield from _entry(header, told.note(block, column))
                    for fault in column.faults:
                        yield from _entry("  fault", told.fault(block, fault))
            elif isinstance(block, Lines):
                for row in block.rows:
                    for cell in row.cells[:1]:
                        yield from _entry(row.label, told.line_note(cell, row.note))


def _entry(name: str, text: str) -> list[str]:
    return textwrap.wrap(f"{name}: {text}", _WIDTH, initial_indent="  ", subsequent_indent="      ")
