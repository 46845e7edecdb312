"""Worked examples as small workbooks: built once, recalculated together by LibreOffice."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.utils import get_column_letter

from notchbook.language.order import Name
from notchbook.measure import CONVERSIONS
from notchbook.sheets import book_for
from notchbook.sheets.kit.calculate import Filled
from notchbook.sheets.kit.declare import Book, LineCell, LineRow, Lines, Sheet, Table
from notchbook.workbook.layout.layout import BookLayout, arrange
from notchbook.workbook.layout.subject import Subject
from notchbook.workbook.write.compose import compose

from .engines import serial, without_values
from .office import convert
from .worked import SETTINGS, Rows, worked

Place = tuple[str, str, int] | tuple[str, str]  # (table, column, row) or (sheet, line)


def needed(book: Book, places: Iterable[Place]) -> Book:
    """The same rules, but only those that the places need, over short ranges without blank rows.

    A workbook of these few formulas takes LibreOffice a moment, where all of them take seconds.
    """
    # the verdict stands on every sheet, and would need all of them
    wanted, ahead = {("Checks", "verdict")}, [(place[0], place[1]) for place in places]
    while ahead:
        name = ahead.pop()
        if name not in wanted:
            wanted.add(name)
            ahead += book.needs.get(name, ())
    sheets = (
        replace(sheet, blocks=_blocks(sheet, wanted), charts=(), prints="") for sheet in book.sheets
    )
    return Book(tuple(sheet for sheet in sheets if sheet.blocks))


def _blocks(sheet: Sheet, wanted: set[Name]) -> tuple[Table | Lines, ...]:
    blocks: list[Table | Lines] = []
    for block in sheet.blocks:
        if isinstance(block, Table):
            kept = tuple(
                replace(column, choices=())
                for column in block.columns
                if (block.name, column.name) in wanted
            )
            if kept:
                bare = replace(block, columns=kept, spare=0, capacity=200, prints_to=None)
                blocks.append(bare)
        elif isinstance(block, Lines):
            rows = (
                replace(row, cells=_cells_of(block, row, wanted), link=None) for row in block.rows
            )
            shown = tuple(row for row in rows if row.cells)
            if shown:
                marked = any(row.mark for row in shown)
                columns = max(len(row.cells) for row in shown) + marked + 2  # label and note
                blocks.append(replace(block, heads=("",) * columns, rows=shown))
    return tuple(blocks)


def _cells_of(block: Lines, row: LineRow, wanted: set[Name]) -> tuple[LineCell, ...]:
    return tuple(
        replace(cell, choices=(), rule=None if cell.name == "verdict" else cell.rule)
        for cell in row.cells
        if (block.name, cell.name) in wanted
    )


@dataclass(frozen=True)
class Example:
    """Rows of a shop, and what a publication says comes out."""

    source: str
    rows: Rows
    expected: Mapping[Place, float | str]
    within: float = 0.005
    settings: Mapping[str, Any] = field(default_factory=dict)

    @cached_property
    def filled(self) -> Filled:
        """All sheets worked out by pandas."""
        return worked(self.rows, **self.settings)

    @cached_property
    def layout(self) -> BookLayout:
        """Where everything stands in the example's workbook."""
        tax, year = (self.settings.get(name, SETTINGS[name]) for name in ("tax", "year"))
        units = {name: by_unit["inch"] for name, by_unit in CONVERSIONS.items()}
        return arrange(needed(book_for(tax, year), self.expected), self.filled, units)

    def write(self, path: Path) -> None:
        """The example as a workbook."""
        subject = Subject("Example", 2026, "USD", 2, "inch", "letter")
        path.write_bytes(compose(self.layout.book, self.filled, self.layout.units, subject))


def by_pandas(example: Example) -> dict[Place, Any]:
    """What pandas finds at each expected place."""
    filled = example.filled
    return {
        place: filled.tables[place[0]][place[1]].tolist()[place[2]]
        if len(place) == 3
        else filled.lines[place]
        for place in example.expected
    }


class Examples(dict[str, Example]):
    """Examples by name, all recalculated by LibreOffice in one go when the first is asked for."""

    @cached_property
    def recalculated(self) -> dict[str, Path]:
        """The workbooks as LibreOffice calculates them from formulas without stored values."""
        folder, calculated = Path(tempfile.mkdtemp(prefix="notchbook-examples-")), {}
        for n, (name, example) in enumerate(self.items()):
            written, bare = folder / f"written-{n}.xlsx", folder / f"bare-{n}.xlsx"
            example.write(written)
            without_values(written, bare)
            calculated[name] = convert(bare, folder / f"calculated-{n}.xlsx")
        return calculated

    def by_libreoffice(self, name: str) -> dict[Place, Any]:
        """What LibreOffice calculates at each expected place of one example."""
        book = load_workbook(self.recalculated[name], data_only=True)
        layout = self[name].layout
        return {place: serial(_cell(book, layout, place)) for place in self[name].expected}


def _cell(book: Any, layout: BookLayout, place: Place) -> Any:
    if len(place) == 2:
        row, column = layout.lines[place[0]].addresses[place[1]]
        return book[layout.lines[place[0]].sheet][f"{get_column_letter(column)}{row}"].value
    spot = layout.tables[place[0]]
    return book[spot.sheet][f"{spot.letters[place[1]]}{spot.first_row + place[2]}"].value
