"""What a compile remembers for the next one: both sides as they stood, and standing renames."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import astuple, dataclass, field
from datetime import date
from typing import Any

from notchbook.merging.cells import Cells, MergedTable, Value, same_cells
from notchbook.merging.changes import Renamed
from notchbook.merging.merge import Before


@dataclass
class MergeMemory:
    """Tables of given cells by name; Settings is a table of one row.

    `deleted` are the projects whose rows the maker took out, as long as they are not back.
    """

    tables: dict[str, Before] = field(default_factory=dict)
    renamed: list[Renamed] = field(default_factory=list)
    deleted: list[str] = field(default_factory=list)

    def files_as_plain(self, grids: Mapping[str, MergedTable]) -> dict[str, Any]:
        """Return the files' side as JSON takes it; rows that the workbook has, too, are left out.

        The workbook's side stands in the copy of the book.
        """
        tables = {}
        for name, before in self.tables.items():
            grid = grids[name]
            said, here = before.definitions, before.workbook
            equal = len(said) == len(here) and all(
                same_cells(one, other, grid.columns) for one, other in zip(said, here, strict=True)
            )
            rows = [[_plain(row.get(column)) for column in grid.columns] for row in said]
            tables[name] = [list(grid.columns), None if equal else rows]
        renamed = [astuple(each) for each in self.renamed]
        return {"tables": tables, "renamed": renamed, "deleted": self.deleted}


def from_plain(
    stored: Mapping[str, Any],
    workbook: Mapping[str, Sequence[Cells]],
    days: Mapping[str, frozenset[str]],
) -> MergeMemory:
    """Return the memory of files and workbook; `days` names the columns that hold dates, by table.

    Raises KeyError, TypeError or ValueError for what no compile stored.
    """
    renamed = [Renamed(*each) for each in stored["renamed"]]
    state = MergeMemory(renamed=renamed, deleted=[*stored.get("deleted", ())])
    for name, (columns, said) in stored["tables"].items():
        here = workbook[name]
        rows = here if said is None else cells_from(said, columns, days.get(name, frozenset()))
        state.tables[name] = Before(rows, here)
    return state


def cells_from(
    rows: Sequence[Sequence[Any]], columns: Sequence[str], days: frozenset[str]
) -> list[dict[str, Value]]:
    """Return rows of plain values as cells."""
    return [
        {name: _value(each, name in days) for name, each in zip(columns, row, strict=True)}
        for row in rows
    ]


def _plain(value: Value) -> float | str | None:
    return value.isoformat() if isinstance(value, date) else value


def _value(stored: Any, day: bool) -> Value:
    if stored is None or (isinstance(stored, str) and not day):
        return stored
    if isinstance(stored, str):
        return date.fromisoformat(stored)
    return float(stored)
