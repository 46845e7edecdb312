"""Rows that were named anew and changed besides: the entries they were, found by their cells."""

from __future__ import annotations

from collections.abc import Sequence

from notchbook.definitions.editing.entries_of import list_of
from notchbook.merging.cells import Cells, same
from notchbook.sheets.kit.declare import Table

Pair = tuple[Cells | None, Cells | None]
"""A row as the files say it, and as it is now."""
Placed = tuple[Pair, int | None]
"""With its number in the files."""

_ALIKE = 0.5  # of the cells that are filled in and name nothing
_EVERY = ("project", "kind")  # alike in all rows of a list


def paired(table: Table, rows: Sequence[Placed]) -> list[Placed]:
    """The rows, where one that is gone and a new one that is much like it have become one.

    Its entry is changed where it stands, and keeps its place and its comment.
    """
    result = list(rows)
    for number, ((said, cells), place) in enumerate(rows):
        if said is None or cells is not None or place is None:
            continue
        new = [each for each in result if each[0][0] is None and each[0][1] is not None]
        best = max(new, key=lambda each: _likeness(table, said, each[0][1] or {}), default=None)
        if best is None or _likeness(table, said, best[0][1] or {}) < _ALIKE:
            continue
        result[number] = (said, best[0][1]), place
        result[_at(result, best)] = (None, None), None
    return [each for each in result if each != ((None, None), None)]


def _at(rows: Sequence[Placed], row: Placed) -> int:
    return next(n for n, each in enumerate(rows) if each is row)


def _likeness(table: Table, said: Cells, cells: Cells) -> float:
    """How many of the cells of both rows are equal, as a share."""
    if list_of(table.name, said) != list_of(table.name, cells):
        return 0.0
    assert table.row is not None
    columns = [
        name
        for name in table.row.model_fields
        if name not in (*table.row.key, *_EVERY)
        and not (said.get(name) is None and cells.get(name) is None)
    ]
    alike = sum(same(said.get(name), cells.get(name)) for name in columns)
    return alike / len(columns) if columns else 0.0
