"""What the files know of one another: the names given so far, and what is gathered."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from notchbook.definitions.reading.names import KnownNames
from notchbook.definitions.reading.places import Found
from notchbook.definitions.reading.rows import ReadRows, checked
from notchbook.measure import Units
from notchbook.sheets.kit.declare import Row


@dataclass
class Known:
    """The names that definitions have given, and the rows made of them."""

    gathered: ReadRows
    units: Units = "inch"
    channels: KnownNames = field(default_factory=lambda: KnownNames("channel", "shop.yaml"))
    tiers: KnownNames = field(default_factory=lambda: KnownNames("tier", "shop.yaml"))
    stocks: KnownNames = field(default_factory=lambda: KnownNames("stock", "stock.yaml"))
    tools: KnownNames = field(default_factory=lambda: KnownNames("tool", "tools.yaml"))
    projects: KnownNames = field(default_factory=lambda: KnownNames("project", "projects/"))
    stock_kinds: dict[str, str] = field(default_factory=dict)
    covering: set[str] = field(default_factory=set)
    wears: dict[str, str] = field(default_factory=dict)

    def refers(self, found: Found, key: str, names: KnownNames) -> bool:
        """Whether the name behind a key is one that was given; reported where it is not."""
        text = found.text(key)
        if text is None:
            return False
        known = names.knows(text, key, found.source, found.at(key))
        found.whole = found.whole and known
        return known

    def row(
        self,
        table: str,
        model: type[Row],
        found: Found,
        values: Mapping[str, object],
        written_as: Mapping[str, str] | None = None,
        line: int | None = None,
    ) -> None:
        """Makes a row of what was read, if all of it was; faults are told at their key's line.

        `written_as` names the key behind a field where the two differ.
        """
        if not found.whole:
            return
        row = checked(model, values, told_at(found, written_as or {}))
        if row is not None:
            self.gathered.add(table, row, found.source.file, line or found.line)


def told_at(found: Found, written_as: Mapping[str, str]) -> Callable[[str, str], None]:
    """Reports a fault of a field at the line of the key that it was written as."""

    def report(name: str, message: str) -> None:
        key = written_as.get(name, name)
        shown = key if key == name else f"{key}: {name}"
        found.source.report(found.at(key), f"{shown}: {message}")

    return report
