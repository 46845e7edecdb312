"""A maker's desk: a small shop, its workbook opened and saved, compiled again and again."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from openpyxl import load_workbook

from notchbook.commands.compile import Report, compile_shop
from notchbook.sheets.kit.declare import Table
from notchbook.workbook.layout import layout
from notchbook.workbook.read.anchors import Place, find_anchors

from .every_book import BOOKS
from .shops import write_shop

AS_OF = date(2026, 6, 1)


@contextmanager
def few_blank_rows(few: int = 4) -> Iterator[None]:
    """Tables with so few blank rows ready that makers outgrow them; written in half the time."""
    every = layout.count_ready_rows

    def a_few(block: Table, rows: int) -> int:
        return min(every(block, rows), max(rows + few, 1))

    layout.count_ready_rows = a_few
    try:
        yield
    finally:
        layout.count_ready_rows = every


def compiled(write: Callable[[Path], Path] = write_shop) -> Path:
    """A shop in a folder, compiled once for all, with as many blank rows as there are now."""
    return _compiled(write, layout.count_ready_rows(BOOKS["us"].tables["Sales ledger"], 0))


@cache
def _compiled(write: Callable[[Path], Path], _: int) -> Path:
    folder = Path(tempfile.mkdtemp(prefix="notchbook-desk-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    compile_shop(write(folder), None, AS_OF)
    return folder


class Desk:
    """A shop in a folder, with what a person does to its files and its workbook.

    Without another it is the small shop.
    """

    def __init__(self, folder: Path, shop: Path | None = None) -> None:
        self.folder, self.path = folder, folder / "Bench and Burr 2026.xlsx"
        shutil.copytree(shop or compiled(), folder, dirs_exist_ok=True)

    def compile(self, as_of: date | None = None, **options: Any) -> Report:
        return compile_shop(self.folder, None, as_of, **options)

    def replace(self, file: str, old: str, new: str) -> None:
        """Edits a definition file."""
        text = (self.folder / file).read_text(encoding="utf-8")
        assert old in text
        (self.folder / file).write_text(text.replace(old, new), encoding="utf-8")

    @contextmanager
    def open(self) -> Iterator[Sheets]:
        """The workbook, saved at the end."""
        sheets = self.look()
        yield sheets
        sheets.book.save(self.path)

    def look(self) -> Sheets:
        """The workbook, to look at.

        Without what we drew: openpyxl names it anew, as no spreadsheet program does, and saves a
        picture only once.
        """
        book = load_workbook(self.path)
        for ws in book.worksheets:
            ws._charts.clear()
            ws._images.clear()
        return Sheets(book)


def freed(cell: Any) -> Any:
    """The cell, parted first from those that it is merged with, as sorting and typing need it."""
    sheet, at = cell.parent, cell.coordinate
    for area in [each for each in sheet.merged_cells.ranges if at in each]:
        sheet.unmerge_cells(area.coord)
    return sheet[at]


class Sheets:
    """An open workbook, its cells found by table, row and column."""

    def __init__(self, book: Any) -> None:
        self.book = book
        self.anchors = find_anchors(book)

    def head(self, table: str, column: str) -> Place:
        return self.anchors[f"nb_{table.replace(' ', '_').replace('-', '_')}_{column}"]

    def cell(self, table: str, column: str, row: int) -> Any:
        """A cell of a table, rows counted from 0."""
        sheet, head, number = self.head(table, column)
        return self.book[sheet].cell(row=head + 1 + row, column=number)

    def line(self, sheet: str, name: str) -> Any:
        place = self.head(sheet, name)
        return self.book[place[0]].cell(row=place[1], column=place[2])

    def column(self, table: str, column: str) -> list[Any]:
        """The values of a column, down to the last that is not blank."""
        sheet, head, number = self.head(table, column)
        ws = self.book[sheet]
        values = [ws.cell(row=row, column=number).value for row in range(head + 1, ws.max_row + 1)]
        while values and values[-1] is None:
            values.pop()
        return values

    def row_of(self, table: str, column: str, value: Any) -> int:
        return self.column(table, column).index(value)

    def put(self, table: str, row: int, **cells: Any) -> None:
        """Types into a row."""
        for column, value in cells.items():
            freed(self.cell(table, column, row)).value = value

    def add(self, table: str, **cells: Any) -> int:
        """Types a row below the last; gives its number."""
        column = next(iter(cells))
        row = len(self.column(table, column))
        self.put(table, row, **cells)
        return row

    def delete(self, table: str, row: int) -> None:
        """Deletes a sheet's row, as a person does, with all that stands on it."""
        sheet, head, _ = self.head(table, next(iter(self.columns(table))))
        self.book[sheet].delete_rows(head + 1 + row)

    def columns(self, table: str) -> dict[str, Place]:
        prefix = f"nb_{table.replace(' ', '_')}_"
        return {
            name.removeprefix(prefix): place
            for name, place in self.anchors.items()
            if name.startswith(prefix) and name != prefix + "head"
        }
