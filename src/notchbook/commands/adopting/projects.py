"""Projects of the workbook written into their files; those typed in get new ones."""

from __future__ import annotations

import re
from collections.abc import Mapping, Set

from notchbook.commands.adopting.adoption import Adoption
from notchbook.commands.adopting.entries import EntryEdits
from notchbook.definitions.editing.edits import YamlFile, quoted_text
from notchbook.definitions.editing.entries_of import columns_of, list_of, spots, text_of
from notchbook.definitions.editing.writing import entry, number
from notchbook.definitions.syntax.columns import LISTED, ROWS
from notchbook.gathering import Gathered
from notchbook.merging.cells import Value, same
from notchbook.sheets.kit.written import PROJECT

_IN_PROJECTS = tuple(
    table for table, row in ROWS.items() if any(each.file == PROJECT for each in row.written)
)
"""The tables whose rows stand in project files, but for the prices asked."""


class Projects:
    """All project files of a shop; new ones end their lines with `newline`."""

    def __init__(
        self,
        gathered: Gathered,
        files: Mapping[str, YamlFile],
        result: Adoption,
        entries: EntryEdits,
        newline: str,
    ) -> None:
        self.gathered, self.files, self.result = gathered, files, result
        self.entries, self.newline = entries, newline

    def edit(self) -> None:
        """Each project's file; projects typed in get a new one."""
        sides = self.gathered.sides_by_side
        names = {}  # what the files call a project, and what it is called now
        new = []
        for said, cells in sides["Projects"].pairs:
            if said is None:
                new.append(str((cells or {}).get("project")))
            else:
                names[str(said["project"])] = None if cells is None else str(cells["project"])
        places = self.gathered.files.places
        by_file: dict[str, list[str]] = {}
        for name in names:
            by_file.setdefault(places["Projects", name][0], []).append(name)
        for file_name, its in by_file.items():
            self._project(file_name, {name: names[name] for name in its})
        for name in new:
            self._new_project(name)

    def _project(self, file_name: str, names: Mapping[str, str | None]) -> None:
        """A file of a project or its variants; `names` tells what each is called now."""
        if not any(names.values()):
            self.result.after[file_name] = None
            return
        file, now = self.files[file_name], set(names.values())
        for table in _IN_PROJECTS:
            sided = self.gathered.sides_by_side[table]
            mine = [
                (pair, at)
                for pair, at in zip(sided.pairs, sided.at, strict=True)
                if (pair[0] is not None and pair[0]["project"] in names)
                or (pair[0] is None and pair[1] is not None and pair[1]["project"] in now)
            ]
            first = min((at for _, at in mine if at is not None), default=0)
            rows = [(pair, None if at is None else at - first) for pair, at in mine]
            self.entries.edit(file, table, list(spots(file, table)) * len(names), rows, len(names))
        if len(names) == 1:
            ((name, called),) = names.items()
            self._asked(file, name, called or name)

    def _asked(self, file: YamlFile, name: str, now: str) -> None:
        """Prices asked, by tier."""
        prices: dict[str, tuple[Value, Value]] = {}
        for said, cells in self.gathered.sides_by_side["Pricing tiers"].pairs:
            row = cells or said or {}
            before, price = (said or {}).get("asked"), (cells or {}).get("asked")
            if row.get("project") in (name, now) and not same(before, price):
                prices[str(row["tier"])] = before, price
        mapping = file.value(file.root, "asked")
        if mapping is None:
            text = entry({quoted_text(tier): _money(price) for tier, (_, price) in prices.items()})
            if text != "{}":
                file.set(file.root, "asked", text)
            return
        for old, new in _renamed_tiers(prices):
            file.rename(mapping, old, new)
            del prices[old], prices[new]
        for tier, (_, price) in prices.items():
            file.set(mapping, tier, _money(price))

    def _new_project(self, name: str) -> None:
        """The file of a project that was typed into the workbook."""
        sides = self.gathered.sides_by_side
        lines = []
        for table_name in _IN_PROJECTS:
            table = self.entries.book.tables[table_name]
            rows = [
                cells
                for _, cells in sides[table_name].pairs
                if cells is not None and cells.get("project") == name
            ]
            if table_name == "Projects":
                whole = {**rows[0], "title": rows[0].get("title") or name}
                for key, columns in columns_of(table, whole).items():
                    text = text_of(table, key, columns, whole, {}, None)
                    if text is not None:
                        lines.append(f"{key}: {text}\n")
                lines += self._asked_line(name)
                continue
            by_list: dict[str, list[str]] = {}
            for cells in rows:
                by_list.setdefault(list_of(table_name, cells), []).append(
                    self.entries.new(table, cells)
                )
            for key, entries in by_list.items():
                lines += [f"{key}:\n", *(f"  - {each}\n" for each in entries)]
        self._needs(name, {line.partition(":")[0] for line in lines})
        slug = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "project"
        file_name = next(
            found
            for n in range(1, 1000)
            if (found := f"projects/{slug}{'' if n == 1 else f'-{n}'}.yaml") not in self.files
        )
        self.result.after[file_name] = "".join(lines).replace("\n", self.newline)

    def _needs(self, name: str, keys: Set[str]) -> None:
        """Notes the sheets on which a new project lacks the rows that its file needs."""
        lacking = [
            table
            for (file, key), (table, written) in LISTED.items()
            if file == PROJECT and written.needed and key not in keys
        ]
        if not keys & {"parts", "laid"}:
            lacking.insert(0, "Cut list")
        self.entries.missing += [
            f"{table}: {name} has no row; type one into the workbook, as the files need it"
            for table in lacking
        ]

    def _asked_line(self, name: str) -> list[str]:
        asked = {
            quoted_text(str(cells["tier"])): _money(cells.get("asked"))
            for _, cells in self.gathered.sides_by_side["Pricing tiers"].pairs
            if cells is not None and cells.get("project") == name
        }
        text = entry(asked)
        return [f"asked: {text}\n"] if text != "{}" else []


def _renamed_tiers(prices: Mapping[str, tuple[Value, Value]]) -> list[tuple[str, str]]:
    """Tiers whose price stands at another one now, as when a tier gets another name."""
    gone = {tier: before for tier, (before, price) in prices.items() if price is None}
    new = {tier: price for tier, (before, price) in prices.items() if before is None}
    found = []
    for tier, before in gone.items():
        other = next((each for each, price in new.items() if same(before, price)), None)
        if other is not None:
            found.append((tier, other))
            del new[other]
    return found


def _money(value: Value) -> str | None:
    if not isinstance(value, float):
        return None
    return f"{value:.2f}" if round(value, 2) == value else number(value)
