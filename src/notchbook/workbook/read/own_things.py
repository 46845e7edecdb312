"""What a workbook holds that is the maker's own: named, for where it cannot go along."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from openpyxl.utils import get_column_letter

from notchbook.sheets.kit.declare import Book
from notchbook.workbook.file.raw_cells import cells_by_place
from notchbook.workbook.file.snapshot import SHEET
from notchbook.workbook.layout.anchor_names import SHEET_ANCHOR, identifier
from notchbook.workbook.layout.layout import HEAD_ROW
from notchbook.workbook.read.anchors import Place
from notchbook.workbook.read.old_book import OldBook


def own_things(old: OldBook, book: Book) -> Iterator[str]:
    """Own sheets, own columns of each sheet of ours, and notes, a line each."""
    workbook, anchors = old.typed.book, old.typed.anchors
    ours, headers = _columns(anchors), _headers(anchors, book)
    own = [name for name in workbook.sheetnames if name not in ours and name != SHEET]
    if own:
        yield f"your sheets {', '.join(own)}" if len(own) > 1 else f"your sheet {own[0]}"
    notes = 0
    for name, columns in ours.items():
        right = max(columns, default=_right(old, name))
        found: dict[int, str] = {}
        for (row, column), cell in sorted(cells_by_place(workbook[name]).items()):
            # shop sheets have headers, and our notes on them, further down
            own_note = cell.comment is not None and (name, row, column) not in headers
            notes += own_note and row > HEAD_ROW and bool(columns)
            if cell.value is not None and column > right:
                head = isinstance(cell.value, str) and row == HEAD_ROW
                found.setdefault(column, f" ({cell.value})" if head else "")
        if found:
            listed = ", ".join(f"{get_column_letter(at)}{found[at]}" for at in sorted(found))
            yield f"{name}: what you put beside the table in {listed}"
    if notes:
        yield "your note on a cell" if notes == 1 else f"your notes on {notes} cells"


def _columns(anchors: Mapping[str, Place]) -> dict[str, set[int]]:
    """By sheet of ours, the columns that our anchors name; beside lines stands their note."""
    found: dict[str, set[int]] = {}
    for name, (sheet, row, column) in anchors.items():
        columns = found.setdefault(sheet, set())
        if not name.startswith(SHEET_ANCHOR):
            columns |= {column} if row <= HEAD_ROW else {column, column + 1}
    return found


def _headers(anchors: Mapping[str, Place], book: Book) -> set[Place]:
    """The headers of tables, which bear notes of ours."""
    tables = tuple(f"nb_{identifier(name)}_" for name in book.tables)
    return {place for name, place in anchors.items() if name.startswith(tables)}


def _right(old: OldBook, sheet: str) -> int:
    """The last column of a sheet without anchors."""
    written = old.copy.sheets.get(sheet) if old.copy is not None else None
    return max(written.columns, default=1) if written is not None else 1
