"""Formulas of ours that a value was typed over: found, noted on their cell, put back."""

from __future__ import annotations

from collections.abc import Iterator

from openpyxl.comments import Comment

from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import Book
from notchbook.workbook.file.raw_cells import Cell, cells_by_place
from notchbook.workbook.layout.anchor_names import identifier
from notchbook.workbook.memory.book_copy import BookCopy
from notchbook.workbook.memory.contents import is_rule
from notchbook.workbook.read.anchors import Place, addresses, heads_of
from notchbook.workbook.read.typed import TypedBook

_NOTE = "Typed over this formula: "
_NOTE_END = ". The formula was put back; delete this note once you have seen to it."
_OWN_FORMULA = "Your formula here was "


def typed_over(typed: TypedBook, book: Book, copy: BookCopy | None) -> tuple[list[str], int]:
    """Return the cells typed over since the last compile, and how many there are with those noted.

    Cells below one another are told as one range.
    """
    new, noted = set(), set()
    for place, cell in _worked_out(typed, book, copy or BookCopy()):
        if cell.value is not None and cell.data_type != "f":
            new.add(place)
        if is_noted(cell):
            noted.add(place)
    return addresses(new), len(new | noted)


def is_noted(cell: Cell) -> bool:
    """Tell whether a note of ours on a cell tells of what was typed over its formula."""
    return cell.comment is not None and _NOTE in cell.comment.text


def note_value(cell: Cell, raw: object) -> None:
    """Keep a typed value as a note on the formula that was put back."""
    shown = f"{raw:.15g}" if isinstance(raw, float) else str(raw)
    _add(cell, f"{_NOTE}{shown}{_NOTE_END}")


def note_formula(cell: Cell, text: str) -> None:
    """Keep a formula of the maker's as a note on the one that was put back."""
    _add(cell, f"{_OWN_FORMULA}{text}; put it into a column of your own.")


def note_planned(cell: Cell, raw: object) -> None:
    """Keep a value that was typed where compile plans as a note."""
    _add(cell, f"You typed {raw} here, where compile plans; it was planned anew.")


def _add(cell: Cell, said: str) -> None:
    """Add a note of ours below what a note says there already."""
    before = cell.comment
    if before is not None and said in before.text:
        return
    if before is None:
        cell.comment = Comment(said, "notchbook", height=90, width=240)
    else:
        higher = (before.height or 90) + 60
        cell.comment = Comment(f"{before.text}\n{said}", before.author, higher, before.width)


def _worked_out(typed: TypedBook, book: Book, copy: BookCopy) -> Iterator[tuple[Place, Cell]]:
    """Yield all cells where a formula of ours belonged at the last compile."""
    anchors = typed.anchors
    columns: dict[str, dict[int, int]] = {}
    for table in book.tables.values():
        roles = {each.name: each.role for each in table.columns}
        for name, place in heads_of(table.name, anchors).items():
            # a column that this book has no more, such as a year of a tool, was worked out too
            now = roles.get(name, Role.COMPUTED) is Role.COMPUTED
            written = copy.column(f"nb_{identifier(table.name)}_{name}")
            contents = [] if written is None else written[0].below(written[1])
            first = next((each for each in contents if each is not None), None)
            if now if first is None else is_rule(first):
                columns.setdefault(place[0], {})[place[2]] = place[1]
    for sheet, heads in columns.items():
        for (row, at), cell in cells_by_place(typed.book[sheet]).items():
            if at in heads and row > heads[at]:
                yield (sheet, row, at), cell
    for name, lines in book.lines.items():
        for each in lines.cells.values():
            at_line = anchors.get(f"nb_{identifier(name)}_{each.name}")
            if at_line is not None and each.role is Role.COMPUTED:
                found = cells_by_place(typed.book[at_line[0]]).get(at_line[1:])
                if found is not None:
                    yield at_line, found
