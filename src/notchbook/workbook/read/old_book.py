"""An existing workbook opened for a compile: its given cells, and what the last compile left."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from notchbook.base.refusals import RefusedError
from notchbook.language.expressions import Kind
from notchbook.measure import Units
from notchbook.merging.state import MergeMemory, from_plain
from notchbook.sheets.kit.declare import Book
from notchbook.workbook.file.book import properties_of
from notchbook.workbook.file.snapshot import DamagedError, read_plans, read_snapshot
from notchbook.workbook.file.stored_values import HANDED_OVER
from notchbook.workbook.read.safety import not_carried, read_package
from notchbook.workbook.read.typed import TypedBook, read_typed
from notchbook.workbook.read.typed_over import typed_over


@dataclass
class OldBook:
    """A workbook as it was found; `state` is None where the last compile's memory is lost."""

    path: Path
    data: bytes
    typed: TypedBook
    stored: dict[str, Any] = field(default_factory=dict)
    state: MergeMemory | None = None
    trouble: str = ""
    plans: str = ""  # that the last compile kept, packed
    typed_over: list[str] = field(default_factory=list)  # cells where formulas of ours were
    noted: int = 0  # those, and the ones that a note tells of

    def losses(self) -> list[str]:
        """What a compile cannot carry into the new file."""
        gone = [f"the rows of {name}, whose sheet was deleted" for name in self.typed.gone]
        return [*not_carried(self.data), *gone]


def open_old(path: Path, book: Book, units: Units) -> OldBook:
    """Reads a workbook.

    Raises RefusedError for what cannot be read safely, or was written by a newer notchbook.
    """
    data = read_package(path)
    try:
        typed = read_typed(data, book, units)
    except RefusedError as error:
        raise RefusedError(f"{path.name}: {error}") from None
    if properties_of(typed.book).category == HANDED_OVER:
        raise RefusedError(
            f"{path.name} is a copy that was handed over, and no shop's workbook; name another file"
        )
    old = OldBook(path, data, typed)
    try:
        old.stored = read_snapshot(typed.book)
        old.state = from_plain(old.stored["merge"], _days(book))
    except DamagedError as error:
        old.trouble = str(error)
    except (KeyError, TypeError, ValueError):
        old.trouble = "the hidden sheet of the last compile was changed"
    old.plans = read_plans(typed.book)
    planned = old.stored.get("planned", {})
    old.typed_over, old.noted = typed_over(typed, book, planned)
    return old


def _days(book: Book) -> dict[str, frozenset[str]]:
    """The columns of each table that hold dates, Settings among them."""
    days = {
        name: frozenset(each.name for each in table.columns if each.look.kind is Kind.DATE)
        for name, table in book.tables.items()
    }
    lines = {
        name: frozenset(each.name for each in lines.cells.values() if each.look.kind is Kind.DATE)
        for name, lines in book.lines.items()
    }
    return days | lines
