"""What a compile leaves for the next one on the hidden sheet, written and read."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from openpyxl.workbook import Workbook

from notchbook.language.functions import from_serial
from notchbook.language.value_kinds import Kind
from notchbook.merging.cells import Cells, Value
from notchbook.merging.state import MergeMemory, from_plain
from notchbook.sheets.kit.declare import Book
from notchbook.workbook.file.snapshot import FORMAT, DamagedError, read_snapshot
from notchbook.workbook.layout.anchor_names import Place, identifier
from notchbook.workbook.memory.book_copy import BookCopy
from notchbook.workbook.memory.contents import Content, words_of
from notchbook.workbook.memory.older import copy_of_older
from notchbook.workbook.memory.packing import copy_from, pack, plain_copy, unpack


@dataclass
class Remembered:
    """The book as the last compile wrote it, and both sides of the merge as they stood then."""

    copy: BookCopy
    merge: MergeMemory


def memory_text(copy: BookCopy, files: Mapping[str, Any]) -> str:
    """Return what the hidden sheet holds; `files` is the files' side of the merge."""
    return pack({"book": plain_copy(copy), "files": files})


def read_memory(workbook: Workbook, book: Book, anchors: Mapping[str, Place]) -> Remembered:
    """Return what the last compile left.

    Raises RefusedError for a workbook of a newer notchbook, DamagedError where the hidden sheet is
    gone or was changed.
    """
    version, text = read_snapshot(workbook)
    days = days_of(book)
    try:
        if version != FORMAT:
            stored = json.loads(text)
            copy, files = copy_of_older(stored, workbook, anchors, days), stored["merge"]["tables"]
            tables = {name: [each["columns"], each["definitions"]] for name, each in files.items()}
            plain: dict[str, Any] = {"tables": tables, "renamed": stored["merge"]["renamed"]}
        else:
            stored = unpack(text)
            copy, plain = copy_from(stored["book"]), stored["files"]
        here = {
            name: given_rows(copy, name, columns, days.get(name, frozenset()))
            for name, (columns, _) in plain["tables"].items()
        }
        return Remembered(copy, from_plain(plain, here, days))
    except (KeyError, TypeError, ValueError, IndexError):
        raise DamagedError("the hidden sheet of the last compile was changed") from None


def days_of(book: Book) -> dict[str, frozenset[str]]:
    """Return the columns of each table that hold dates, Settings among them."""
    days = {
        name: frozenset(each.name for each in table.columns if each.look.kind is Kind.DATE)
        for name, table in book.tables.items()
    }
    lines = {
        name: frozenset(each.name for each in lines.cells.values() if each.look.kind is Kind.DATE)
        for name, lines in book.lines.items()
    }
    return days | lines


def given_rows(
    copy: BookCopy, table: str, columns: Sequence[str], days: frozenset[str]
) -> list[Cells]:
    """Return the given cells of a table as they were written; of lines as one row."""
    anchor = f"nb_{identifier(table)}_"
    if anchor + "head" not in copy.names:
        cells = {name: copy.cell(anchor + name) for name in columns}
        return [{name: _value(each, name in days) for name, each in cells.items()}]
    contents: dict[str, list[Content]] = {}
    for name in columns:
        found = copy.column(anchor + name)
        contents[name] = [] if found is None else found[0].below(found[1])
    count = max(map(len, contents.values()), default=0)
    rows: list[Cells] = [
        {
            name: _value(each[n] if n < len(each) else None, name in days)
            for name, each in contents.items()
        }
        for n in range(count)
    ]
    while rows and all(value is None for value in rows[-1].values()):
        rows.pop()
    return rows


def _value(content: Content, day: bool) -> Value:
    if isinstance(content, float):
        return from_serial(content) if day else content
    return words_of(content)
