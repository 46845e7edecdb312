"""What a merge did, one record a thing, to be told in words or as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from notchbook.merging.cells import Value

LISTS = ("kept", "taken", "conflicts", "added", "deleted", "renamed")


@dataclass(frozen=True)
class CellChange:
    """A cell whose two sides differ: by table, row and column.

    Not `in_files`: no file states the row, and the other value is the one that the workbook had.
    `header` is what the column is called on its sheet.
    """

    table: str
    row: str
    column: str
    workbook: Value
    definitions: Value
    in_files: bool = True
    header: str = ""

    def as_json(self) -> dict[str, object]:
        """The record as reports print it."""
        return {
            "sheet": self.table,
            "row": self.row,
            "column": self.column,
            "workbook": plain(self.workbook),
            "definitions": plain(self.definitions) if self.in_files else None,
        }

    def __str__(self) -> str:
        words = self.table, self.row, self.header or self.column
        place = ", ".join(word for word in words if word)
        here, said = shown(self.workbook), shown(self.definitions)
        other = f"{said} in the files" if self.in_files else f"{said} before"
        return f"{place}: {here} in the workbook, {other}"


@dataclass(frozen=True)
class RowChange:
    """A row that came or went, and on which side."""

    table: str
    row: str
    side: str  # workbook, or definitions

    def as_json(self) -> dict[str, object]:
        """The record as reports print it."""
        return {"sheet": self.table, "row": self.row, "in": self.side}

    def __str__(self) -> str:
        where = "workbook" if self.side == "workbook" else "files"
        return f"{self.table}, {self.row} (in the {where})"


@dataclass(frozen=True)
class Renamed:
    """A row that goes by another name, recognised by its other cells."""

    table: str
    column: str
    old: str
    new: str
    side: str  # workbook, definitions, both, or conflict: the files' new name, and the workbook's
    project: str = ""  # for parts and surfaces, which are named within a project

    def as_json(self) -> dict[str, object]:
        """The record as reports print it."""
        return {"sheet": self.table, "old": self.old, "new": self.new, "in": self.side}

    def __str__(self) -> str:
        return f"{self.table}: {self.old} is now {self.new}"


@dataclass
class Changes:
    """Everything that a merge did."""

    kept: list[CellChange] = field(default_factory=list)
    taken: list[CellChange] = field(default_factory=list)
    conflicts: list[CellChange] = field(default_factory=list)
    added: list[RowChange] = field(default_factory=list)
    deleted: list[RowChange] = field(default_factory=list)
    renamed: list[Renamed] = field(default_factory=list)

    def extend(self, other: Changes) -> None:
        """Takes in what another merge did."""
        for name in LISTS:
            getattr(self, name).extend(getattr(other, name))

    def __iter__(self) -> Iterator[tuple[str, CellChange | RowChange | Renamed]]:
        for name in LISTS:
            for each in getattr(self, name):
                yield name, each


def plain(value: Value) -> float | str | None:
    """A value as JSON holds it."""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return int(value)
    return value


def shown(value: Value) -> str:
    """A value in a sentence."""
    match value:
        case None:
            return "nothing"
        case float():
            return f"{value:.12g}"
        case date():
            return value.isoformat()
    return f"'{value}'"
