"""Rows of the workbook written as entries of a file: changed, taken out and added."""

from __future__ import annotations

from collections.abc import Sequence

from ruamel.yaml.nodes import MappingNode

from notchbook.commands.adopting.pairing import Pair, paired
from notchbook.definitions.editing.edits import YamlFile, quoted_text
from notchbook.definitions.editing.entries_of import (
    Spot,
    columns_of,
    list_of,
    required_keys,
    text_of,
    with_defaults,
)
from notchbook.definitions.editing.writing import entry, written
from notchbook.measure import Units
from notchbook.merging.cells import Cells, same, same_cells
from notchbook.sheets.kit.declare import Book, Table
from notchbook.trade.nominal import NominalError, actual_size


class EntryEdits:
    """Writes rows into files; `missing` tells what a new entry needs and the workbook lacks."""

    def __init__(self, book: Book, units: Units) -> None:
        self.book, self.units = book, units
        self.missing: list[str] = []

    def edit(
        self,
        file: YamlFile,
        name: str,
        by_row: Sequence[Spot],
        rows: Sequence[tuple[Pair, int | None]],
        within: MappingNode | None = None,
    ) -> None:
        """Edits, removes and appends the entries of a table in one file, or within a mapping."""
        table = self.book.tables[name]
        groups: dict[int, list[tuple[Spot, Cells, Cells | None]]] = {}
        new: list[tuple[str, str]] = []
        for (said, cells), place in paired(table, rows):
            if place is None and cells is not None:
                new.append((list_of(name, cells), self.new(table, cells)))
            elif place is not None:
                spot = by_row[place]
                groups.setdefault(id(spot.node), []).append((spot, said or {}, cells))
        for group in groups.values():
            self._entry_of(file, table, group)
        for key, text in new:
            file.append(key, text, within)

    def _entry_of(
        self, file: YamlFile, table: Table, rows: list[tuple[Spot, Cells, Cells | None]]
    ) -> None:
        spot = rows[0][0]
        left = [row for row in rows if row[2] is not None]
        if not left:
            file.remove(spot.list_key, spot.node, spot.within)
            return
        changes = [self.changes(file, table, *row) for row in left]
        if len(left) == len(rows) and all(each == changes[0] for each in changes):
            for key, text in changes[0].items():
                file.set(spot.node, key, text)
            return
        # only some of the parts that the entry lists: these get entries of their own
        staying = [row[0].part or "" for row, each in zip(left, changes, strict=True) if not each]
        for row, each in zip(left, changes, strict=True):
            if each and row[2] is not None:
                file.append(row[0].list_key, self.new(table, row[2]), spot.within)
        if staying and spot.listed:
            file.set(spot.node, spot.listed, f"[{', '.join(map(quoted_text, staying))}]")
        else:
            file.remove(spot.list_key, spot.node, spot.within)

    def changes(
        self, file: YamlFile, table: Table, spot: Spot, said: Cells, cells: Cells | None
    ) -> dict[str, str | None]:
        """The keys of an entry that must say something else."""
        here, there = with_defaults(table, cells or {}), with_defaults(table, said)
        columns = columns_of(table, here)
        found: dict[str, str | None] = {}
        for key, names in columns.items():
            if not same_cells(here, there, names):
                before = file.written(spot.node, key)
                found[key] = text_of(table, key, names, here, there, before)
        for key in columns_of(table, there):
            if key not in columns:
                found[key] = None
        if table.name == "Stock" and here.get("kind") == "lumber":
            self._lumber(here, found)
        return found

    def _lumber(self, cells: Cells, found: dict[str, str | None]) -> None:
        """Lumber has a nominal size or real ones, never both."""
        if not found.keys() & {"nominal", "thickness", "width"}:
            return
        nominal = cells.get("nominal")
        look = self.book.tables["Stock"].by_name["width"].look
        if isinstance(nominal, str) and self._is_size(nominal, cells):
            found |= {"nominal": quoted_text(nominal), "thickness": None, "width": None}
            return
        real = {name: written(cells.get(name), look, name) for name in ("thickness", "width")}
        found |= {"nominal": None, **real}

    def _is_size(self, nominal: str, cells: Cells) -> bool:
        try:
            sizes = actual_size(nominal, self.units)
        except NominalError:
            return False
        return all(
            same(float(size), cells.get(name))
            for name, size in zip(("thickness", "width"), sizes, strict=True)
        )

    def new(self, table: Table, cells: Cells) -> str:
        """A new entry with all keys that it needs."""
        assert table.row is not None
        whole = with_defaults(table, cells)
        keys: dict[str, str | None] = {}
        needed = required_keys(table, whole)
        for key, columns in columns_of(table, whole).items():
            info = table.row.model_fields.get(columns[0])
            text = text_of(table, key, columns, whole, {}, None)
            blank = all(cells.get(name) is None for name in columns)
            default = info is not None and not info.is_required() and blank
            if text is not None and not (default and key not in needed):
                keys[key] = text
        name = ", ".join(str(whole[each]) for each in table.row.key if whole.get(each))
        self.missing += [
            f"{table.name}, {name}: {key} is blank; type it into the workbook, as the files need it"
            for key in needed
            if key not in keys
        ]
        if table.name == "Stock" and whole.get("kind") == "lumber":
            self._lumber(whole, keys)
        return entry(keys)
