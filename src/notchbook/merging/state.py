"""What a compile remembers for the next one: both sides as they stood, and standing renames."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from notchbook.merging.cells import Cells, MergedTable, Value, same_cells
from notchbook.merging.changes import Renamed
from notchbook.merging.merge import Before

_RENAMED = ("table", "column", "old", "new", "side", "project")


@dataclass
class MergeMemory:
    """Tables of given cells by name; Settings is a table of one row."""

    tables: dict[str, Before] = field(default_factory=dict)
    renamed: list[Renamed] = field(default_factory=list)

    def as_plain(self, grids: Mapping[str, MergedTable]) -> dict[str, Any]:
        """The state as JSON takes it; equal rows of both sides stand once."""
        tables = {}
        for name, before in self.tables.items():
            grid = grids[name]
            said, here = before.definitions, before.workbook
            equal = len(said) == len(here) and all(
                same_cells(one, other, grid.columns) for one, other in zip(said, here, strict=True)
            )
            tables[name] = {
                "columns": list(grid.columns),
                "workbook": _plain_rows(grid, here),
                "definitions": None if equal else _plain_rows(grid, said),
            }
        renamed = [[getattr(each, name) for name in _RENAMED] for each in self.renamed]
        return {"tables": tables, "renamed": renamed}


def from_plain(stored: Mapping[str, Any], days: Mapping[str, frozenset[str]]) -> MergeMemory:
    """The state that was stored; `days` names the columns of each table that hold dates.

    Raises KeyError, TypeError or ValueError for what no compile stored.
    """
    state = MergeMemory(renamed=[Renamed(*each) for each in stored["renamed"]])
    for name, table in stored["tables"].items():
        columns, its_days = table["columns"], days.get(name, frozenset())
        here = _rows(table["workbook"], columns, its_days)
        said = table["definitions"]
        definitions = here if said is None else _rows(said, columns, its_days)
        state.tables[name] = Before(definitions, here)
    return state


def _plain_rows(grid: MergedTable, rows: Sequence[Cells]) -> list[list[float | str | None]]:
    return [[_plain(row.get(name)) for name in grid.columns] for row in rows]


def _plain(value: Value) -> float | str | None:
    return value.isoformat() if isinstance(value, date) else value


def _rows(
    rows: Sequence[Sequence[Any]], columns: Sequence[str], days: frozenset[str]
) -> list[dict[str, Value]]:
    return [
        {name: _value(each, name in days) for name, each in zip(columns, row, strict=True)}
        for row in rows
    ]


def _value(stored: Any, day: bool) -> Value:
    if stored is None or (isinstance(stored, str) and not day):
        return stored
    if isinstance(stored, str):
        return date.fromisoformat(stored)
    return float(stored)
