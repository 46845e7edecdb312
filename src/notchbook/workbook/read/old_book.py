"""An existing workbook opened for a compile: its given cells, and what the last compile left."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from openpyxl.utils import get_column_letter

from notchbook.base.refusals import RefusedError
from notchbook.measure import Units
from notchbook.merging.state import MergeMemory
from notchbook.sheets.kit.declare import Book
from notchbook.workbook.file.book import properties_of
from notchbook.workbook.file.snapshot import DamagedError, read_plans
from notchbook.workbook.file.written import COPIES
from notchbook.workbook.layout.anchor_names import identifier
from notchbook.workbook.memory.book_copy import BookCopy
from notchbook.workbook.memory.contents import Content, content_of, words_of
from notchbook.workbook.memory.remembered import read_memory
from notchbook.workbook.read.anchors import Place
from notchbook.workbook.read.safety import not_carried, read_package
from notchbook.workbook.read.typed import TypedBook, read_typed
from notchbook.workbook.read.typed_over import typed_over


@dataclass
class OldBook:
    """A workbook as it was found, and as it was written; without these where the memory is lost."""

    path: Path
    data: bytes
    typed: TypedBook
    copy: BookCopy | None = None
    state: MergeMemory | None = None
    trouble: str = ""
    plans: str = ""  # that the last compile kept, packed
    charts: frozenset[frozenset[str]] = frozenset()  # the columns that each of ours draws
    typed_over: list[str] = field(default_factory=list)  # cells where formulas of ours were
    noted: int = 0  # those, and the ones that a note tells of

    def said(self, sheet: str, names: Iterable[str]) -> list[str]:
        """Return the words that the last compile wrote into lines of a sheet, without blanks."""
        if self.copy is None:
            return []
        found = (self.copy.cell(f"nb_{identifier(sheet)}_{name}") for name in names)
        return [words for content in found if (words := words_of(content))]

    def rows_written(self, table: str, names: Sequence[str]) -> list[dict[str, Content]]:
        """Return planned columns of a table as the last compile wrote them.

        Where its memory is lost, as they stand in the sheet.
        """
        columns = {name: self._written(f"nb_{identifier(table)}_{name}") for name in names}
        count = max(map(len, columns.values()))
        return [
            {name: its[n] if n < len(its) else None for name, its in columns.items()}
            for n in range(count)
        ]

    def lines_written(self, sheet: str, ending: str) -> dict[str, Content]:
        """Return lines of a sheet whose names end so, as the last compile wrote them.

        Where its memory is lost, as they stand in the sheet.
        """
        before = f"nb_{identifier(sheet)}_"
        names = self.typed.anchors if self.copy is None else self.copy.names
        return {
            name.removeprefix(before): self._line_written(name)
            for name in names
            if name.startswith(before) and name.endswith(ending)
        }

    def _line_written(self, anchor: str) -> Content:
        if self.copy is not None:
            return self.copy.cell(anchor)
        sheet, row, column = self.typed.anchors[anchor]
        book: Any = self.typed.book
        return content_of(book[sheet].cell(row, column).value, False)

    def _written(self, anchor: str) -> list[Content]:
        if self.copy is not None:
            found = self.copy.column(anchor)
            return [] if found is None else found[0].below(found[1])
        place = self.typed.anchors.get(anchor)
        if place is None:
            return []
        book: Any = self.typed.book
        cells = book[place[0]].iter_rows(
            min_row=place[1] + 1, min_col=place[2], max_col=place[2], values_only=True
        )
        return [content_of(value, False) for (value,) in cells]

    def losses(self) -> list[str]:
        """Return what a compile cannot carry into the new file."""
        here = {title.casefold() for title in self.typed.book.sheetnames}
        gone = [
            f"the rows of {name}, whose {what} deleted (the newest in backups may have them)"
            for name in self.typed.gone
            for what in ["headers were" if name.casefold() in here else "sheet was"]
        ]
        return [*not_carried(self.data, self.charts), *gone]


def open_old(path: Path, book: Book, units: Units) -> OldBook:
    """Read a workbook.

    Raises RefusedError for what cannot be read safely, or was written by a newer notchbook.
    """
    data = read_package(path)
    try:
        typed = read_typed(data, book, units)
    except RefusedError as error:
        raise RefusedError(f"{path.name}: {error}") from None
    if properties_of(typed.book).category in COPIES:
        raise RefusedError(
            f"{path.name} is a copy or pages for paper, and no shop's workbook; name another file"
        )
    old = OldBook(path, data, typed)
    old.charts = frozenset(_charts(book, typed.anchors))
    try:
        kept = read_memory(typed.book, book, typed.anchors)
        old.copy, old.state = kept.copy, kept.merge
        _leave_out_new(typed, kept.copy)
    except DamagedError as error:
        old.trouble = str(error)
    old.plans = read_plans(typed.book)
    old.typed_over, old.noted = typed_over(typed, book, old.copy)
    return old


def _charts(book: Book, anchors: Mapping[str, Place]) -> Iterator[frozenset[str]]:
    """Yield the columns that each chart of ours draws, as `Start!J`."""
    for chart in (chart for sheet in book.sheets for chart in sheet.charts):
        names = {chart.along, *chart.drawn, *([chart.each] if chart.each else [])}
        anchored = (anchors.get(f"nb_{identifier(chart.table)}_{name}") for name in names)
        places = [place for place in anchored if place is not None]
        yield frozenset(f"{sheet}!{get_column_letter(column)}" for sheet, _, column in places)


def _leave_out_new(typed: TypedBook, copy: BookCopy) -> None:
    """Take nothing for deleted that the last compile did not write: it is new in this version."""
    typed.gone = [name for name in typed.gone if f"nb_{identifier(name)}_head" in copy.names]
    for name, table in typed.tables.items():
        anchor = f"nb_{identifier(name)}_"
        table.unknown = frozenset(
            column.name for column in table.table.columns if anchor + column.name not in copy.names
        )
