"""A project typed in as made from another: it gets the other's rows, where it has none itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from notchbook.base.sentences import counted
from notchbook.definitions.syntax.columns import LISTED
from notchbook.merging.cells import Value
from notchbook.sheets.kit.written import PROJECT

if TYPE_CHECKING:
    from notchbook.gathering.merging_sides import Merging

Rows = list[dict[str, Value]]
_COPIED = tuple(dict.fromkeys(table for (file, _), (table, _) in LISTED.items() if file == PROJECT))
"""The tables whose rows are copied: all that a project's file lists, no ledger, no price asked."""


def copy_rows(merging: Merging) -> None:
    """Copy what *made from* asks for into the workbook's side, and empty its cells, told.

    A name that no project bears stays where it is, to be refused as such.
    """
    _Copies(merging).make_all()


class _Copies:
    def __init__(self, merging: Merging) -> None:
        self.merging, self.here = merging, merging.sides.workbook
        self.asked = {
            str(row["project"]): n
            for n, row in enumerate(self.here["Projects"])
            if row.get("made_from") is not None and row.get("project") is not None
        }

    def make_all(self) -> None:
        """Make the copies; one that is made from a copy waits for it."""
        while self.asked:
            self.make(next(iter(self.asked)))

    def make(self, project: str) -> None:
        number = self.asked.pop(project)
        row = self.here["Projects"][number]
        typed = str(row["made_from"])
        source = self.name_of_source(typed)
        if source is None:
            return
        if source in self.asked:
            self.make(source)
        place, row["made_from"] = self.place(number), None
        if source == project or next(self.rows(self.here, project), None):
            why = "it has rows of its own" if source != project else "that is the project itself"
            self.merging.notices.append(
                f"{place}: {project} is not made from '{typed}', as {why}; the cell is emptied"
            )
            return
        known = any(each.get("project") == source for each in self.here["Projects"])
        tables = self.here if known else self.merging.sides.definitions
        its = next(each for each in tables["Projects"] if each.get("project") == source)
        row |= {column: value for column, value in its.items() if row.get(column) is None}
        row["made_from"] = None
        copied = [
            (table, {**each, "project": project}) for table, each in self.rows(tables, source)
        ]
        for table, cells in copied:
            self.here[table].append(cells)
            self.merging.rows_here[table].append(None)
        self.merging.notices.append(
            f"{place}: {project} is made from '{typed}': {counted(len(copied), 'row')} copied;"
            " the cell is emptied"
        )

    def place(self, number: int) -> str:
        from notchbook.workbook.read.anchors import address

        at = self.merging.rows_here["Projects"][number]
        table = self.merging.old.typed.tables.get("Projects")
        return "Projects" if table is None or at is None else address(table.place(at, "made_from"))

    def name_of_source(self, typed: str) -> str | None:
        """The project that is meant, as spreadsheets tell names apart."""
        sides = (self.here, self.merging.sides.definitions)
        names = (str(row.get("project")) for tables in sides for row in tables["Projects"])
        return next((name for name in names if name.casefold() == typed.casefold()), None)

    def rows(
        self, tables: Mapping[str, Sequence[dict[str, Value]]], project: str
    ) -> Iterator[tuple[str, dict[str, Value]]]:
        """The rows that a project has, by table."""
        for table in _COPIED:
            yield from ((table, row) for row in tables[table] if row.get("project") == project)
