"""What the files say, gathered row by row, before anything is checked of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from pydantic import BaseModel

from notchbook.definitions.reading.places import Found
from notchbook.definitions.reading.rows import Candidate, ReadRows
from notchbook.measure import Units
from notchbook.sheets.kit.columns import Row


@dataclass
class Known:
    """The rows that the files have given so far, and the shop's units."""

    gathered: ReadRows
    units: Units = "inch"

    def names(self, table: str, column: str) -> list[str]:
        """Return the names of a table's rows."""
        rows = self.gathered.rows.get(table, ())
        return [str(row.values[column]) for row in rows if column in row.values]

    def row(
        self,
        table: str,
        model: type[Row],
        found: Found,
        values: Mapping[str, object],
        written_as: Mapping[str, str] | None = None,
        line: int | None = None,
        within: Mapping[str, Found] | None = None,
    ) -> None:
        """Take in a row of what was read; `written_as` names the key behind a field.

        It is noted at `line`, where that is another than the entry's; `within` names the entries
        below it that hold some of its fields.
        """
        row = candidate(model, found, values, written_as or {}, within or {})
        self.gathered.add(table, model, row, found.source.file, line or found.line)


def candidate(
    model: type[BaseModel],
    found: Found,
    values: Mapping[str, object],
    written_as: Mapping[str, str],
    within: Mapping[str, Found] = MappingProxyType({}),
) -> Candidate:
    """Return what was read as a row to be checked, each field at the line of its key."""
    names = {info.alias: name for name, info in model.model_fields.items() if info.alias}
    keys = {**{name: alias for alias, name in names.items()}, **written_as}
    filled = {names.get(name, name): value for name, value in values.items() if value is not None}
    missing = frozenset(model.model_fields) - filled.keys()

    def where(field: str) -> tuple[str, int]:
        return found.source.file, within.get(field, found).at(keys.get(field, field))

    def label(field: str) -> str:
        key = keys.get(field, field)
        lengths = within.get(field, found).values.get(key)
        is_size = isinstance(lengths, tuple) and isinstance(lengths[0], Fraction)
        return f"{key}: {field}" if is_size else key

    return Candidate(filled, where, label, frozenset() if found.whole else missing)
