"""Projects of the workbook written into their files; those typed in get new ones."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Set

from notchbook.commands.adopting.adoption import Adoption
from notchbook.commands.adopting.asked import NOTHING, all_prices, changed_prices, edit_asked
from notchbook.commands.adopting.entries import EntryEdits
from notchbook.commands.adopting.ideas import stands_in_ideas
from notchbook.commands.adopting.pairing import Placed
from notchbook.commands.adopting.variants import VariantsFile
from notchbook.definitions.editing.edits import YamlFile
from notchbook.definitions.editing.entries_of import (
    columns_of,
    list_of,
    spots,
    text_of,
    with_defaults,
)
from notchbook.definitions.syntax.columns import LISTED, ROWS
from notchbook.gathering import Gathered
from notchbook.merging.cells import same
from notchbook.sheets.kit.written import PROJECT

IN_PROJECTS = tuple(
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
        file = self.files[file_name]
        if not any(names.values()):
            self.result.after[file_name] = None
        elif file.value(file.root, "variants") is not None:
            VariantsFile(self, file_name, names).edit()
        else:
            ((name, called),) = names.items()
            self.edit_alone(file, name, called or name)

    def edit_alone(self, file: YamlFile, name: str, now: str) -> None:
        """A file of a single project."""
        for table in IN_PROJECTS:
            by_row = list(spots(file, table))
            self.entries.edit(file, table, by_row, self.rows(table, name, now))
        edit_asked(file, file.root, changed_prices(self.gathered, name, now))

    def rows(self, table: str, name: str, now: str) -> list[Placed]:
        """The rows of a project, each with its number among those that its file says."""
        sided = self.gathered.sides_by_side[table]
        mine = [
            (pair, at)
            for pair, at in zip(sided.pairs, sided.at, strict=True)
            if not stands_in_ideas(self.gathered, table, at)
            if (pair[0] is not None and pair[0]["project"] == name)
            or (pair[0] is None and pair[1] is not None and pair[1]["project"] == now)
        ]
        ranks = {at: n for n, at in enumerate(sorted(at for _, at in mine if at is not None))}
        return [(pair, None if at is None else ranks[at]) for pair, at in mine]

    def _new_project(self, name: str) -> None:
        """The file of a project that was typed into the workbook."""
        sides = self.gathered.sides_by_side
        lines = []
        for table_name in IN_PROJECTS:
            table = self.entries.book.tables[table_name]
            sided = sides[table_name]
            rows = [
                cells
                for (_, cells), at in zip(sided.pairs, sided.at, strict=True)
                if cells is not None and cells.get("project") == name
                if not stands_in_ideas(self.gathered, table_name, at)
            ]
            if table_name == "Projects":
                usual = with_defaults(table, {})
                told = {
                    key: each for key, each in rows[0].items() if not same(each, usual.get(key))
                }
                whole = {**told, "title": rows[0].get("title") or name}
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
        self.result.after[self.free_name(name)] = "".join(lines).replace("\n", self.newline)

    def free_name(self, project: str) -> str:
        """A name for the file of a project that has none."""
        return free_name(project, {*self.files, *self.result.after})

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
        text = all_prices(self.gathered, name)
        return [f"asked: {text}\n"] if text != NOTHING else []


def free_name(project: str, taken: Collection[str]) -> str:
    """A name for the file of a project, made of its own, that is not taken yet."""
    slug = re.sub(r"[^a-z0-9]+", "-", project.lower()).strip("-") or "project"
    names = (f"projects/{slug}{'' if n == 1 else f'-{n}'}.yaml" for n in range(1, 1000))
    return next(each for each in names if each not in taken)
