"""The file of a project with variants: what all say stands in it once, what one says in that one.

A variant whose parts were edited otherwise than those of its siblings has no words for it in such
a file, so it moves to one of its own, which is the old one with the variant's sizes in it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import reduce
from operator import and_
from typing import TYPE_CHECKING, Any, TypeAlias

from notchbook.commands.adopting.asked import all_prices, changed_prices, edit_asked
from notchbook.commands.adopting.pairing import Placed
from notchbook.definitions.editing.edits import YamlFile, quoted_text, within_brackets
from notchbook.definitions.editing.entries_of import Spot, list_of, spots
from notchbook.definitions.syntax.columns import LISTED
from notchbook.definitions.syntax.projects import OF_A_VARIANT
from notchbook.sheets.kit.written import PROJECT

if TYPE_CHECKING:
    from notchbook.commands.adopting.projects import Projects

_LISTS = {key: table for (file, key), (table, _) in LISTED.items() if file == PROJECT}
"""By key of a project's file: the table whose rows its entries are."""
_Changes: TypeAlias = "Counter[tuple[object, ...]]"
"""What is to change in the entries that variants share, so that it can be compared."""


class VariantsFile:
    """The edits of one such file; `names` tells what each of its projects is called now."""

    def __init__(self, projects: Projects, file_name: str, names: Mapping[str, str | None]) -> None:
        self.projects, self.entries, self.result = projects, projects.entries, projects.result
        self.gathered, self.file_name = projects.gathered, file_name
        self.file: YamlFile = projects.files[file_name]
        self.variants = self.file.value(self.file.root, "variants")
        self.base = (self.file.written(self.file.root, "project") or "").strip()
        self.now = {name: called for name, called in names.items() if called is not None}
        self.keys: dict[str, str] = {}  # of the variants, by project
        self.nodes: dict[str, Any] = {}
        for key, node in self.variants.value:
            name = f"{self.base} {key.value.strip()}"
            self.keys[name], self.nodes[name] = key.value, node
            self.file.keep(node)

    def edit(self) -> None:
        """All edits; those that move get files of their own."""
        for name in self.keys.keys() - self.now.keys():
            self.file.set(self.variants, self.keys[name], None)
        self._rename_base()
        moving = _apart({name: self._fixed_changes(name) for name in self.now})
        moving |= {name for name, called in self.now.items() if self._new_key(called) is None}
        for name in [each for each in self.now if each in moving]:
            self._move(name, self.now.pop(name))
        if not self.now:
            self.result.after[self.file_name] = None
            self.result.moved.append(f"{self.file_name}: none of its variants is left, so it goes")
            return
        for name, called in self.now.items():
            if called != name and self._new_key(called) != self.keys[name]:
                self.file.rename(self.variants, self.keys[name], str(self._new_key(called)))
        self._edit_keys()
        self._edit_asked()
        for key, table in _LISTS.items():
            self._edit_list(key, table)

    # --- names -----------------------------------------------------------------------------------

    def _rename_base(self) -> None:
        """Gives the project another name where all its variants have one that differs so."""
        bases = {
            called.removesuffix(f" {self.keys[name].strip()}") for name, called in self.now.items()
        }
        if len(bases) == 1 and (new := bases.pop()) not in {self.base, *self.now.values()}:
            self.base = new
            self.file.set(self.file.root, "project", quoted_text(new))

    def _new_key(self, called: str) -> str | None:
        """What a variant of this name is called in the file; None where it can be none of it."""
        key = called.removeprefix(f"{self.base} ")
        return key if key != called else None

    def _move(self, name: str, now: str) -> None:
        """Writes a file of its own for a variant."""
        alone = YamlFile(self.file.text)
        sizes = alone.value(alone.root, "sizes")
        for key, node in self.nodes[name].value:
            within = alone.root if key.value in OF_A_VARIANT else sizes
            alone.set(within, key.value, within_brackets(self.file.text, node))
        alone.set(alone.root, "project", quoted_text(name))
        alone.set(alone.root, "variants", None)
        its = YamlFile(alone.changed())
        self.projects.edit_alone(its, name, now)
        file_name = self.projects.free_name(now)
        self.result.after[file_name] = its.changed()
        self.result.moved.append(f"{now}: it is a project of its own now, in {file_name}")
        self.file.set(self.variants, self.keys[name], None)

    # --- what is to change -----------------------------------------------------------------------

    def _rows(self, name: str, key: str, table: str) -> tuple[list[Spot], list[Placed]]:
        """A variant's rows of a list, and the entries behind all its rows of the table."""
        rows = self.projects.rows(table, name, self.now[name])
        its = [row for row in rows if list_of(table, row[0][0] or row[0][1] or {}) == key]
        return list(spots(self.file, table, self.nodes[name])), its

    def _list_changes(self, name: str, key: str, table: str) -> _Changes:
        by_row, rows = self._rows(name, key, table)
        found: _Changes = Counter()
        for (said, cells), place in rows:
            declared = self.entries.book.tables[table]
            if place is None:
                found["", self.entries.new(declared, cells or {})] += 1
                continue
            spot = by_row[place]
            if cells is None:
                found[id(spot.node), spot.part] += 1
                continue
            changes = self.entries.changes(self.file, declared, spot, said or {}, cells)
            found.update((id(spot.node), spot.part, *each) for each in changes.items())
        return found

    def _key_changes(self, name: str) -> dict[str, str | None]:
        """The keys of the project that must say something else for a variant."""
        (((said, cells), _),) = self.projects.rows("Projects", name, self.now[name])
        table, node = self.entries.book.tables["Projects"], self.nodes[name]
        found, own = (
            self.entries.changes(self.file, table, Spot("", where), said or {}, cells)
            for where in (self.file.root, node)
        )
        found |= {key: text for key, text in own.items() if self.file.value(node, key) is not None}
        return {key: text for key, text in found.items() if key != "project"}

    def _fixed_changes(self, name: str) -> _Changes:
        """What is to change in what a variant cannot have of its own."""
        found: _Changes = Counter(
            each for each in self._key_changes(name).items() if each[0] not in OF_A_VARIANT
        )
        for key, table in _LISTS.items():
            if key not in OF_A_VARIANT:
                found += self._list_changes(name, key, table)
        return found

    def _sharing(self, key: str) -> list[str]:
        """The variants that do not have a key of their own."""
        return [name for name in self.now if self.file.value(self.nodes[name], key) is None]

    # --- edits -----------------------------------------------------------------------------------

    def _edit_list(self, key: str, table: str) -> None:
        sharing = self._sharing(key)
        own = _apart({name: self._list_changes(name, key, table) for name in sharing})
        declared = self.entries.book.tables[table]
        for name in own:
            _, rows = self._rows(name, key, table)
            its = [self.entries.new(declared, cells) for (_, cells), _ in rows if cells is not None]
            self.file.set(self.nodes[name], key, f"[{', '.join(its)}]")
        alike = [name for name in sharing if name not in own]
        for name in self.now:
            if name in alike[:1]:
                self.entries.edit(self.file, table, *self._rows(name, key, table))
            elif name not in sharing:
                node = self.nodes[name]
                self.file.keep(self.file.value(node, key))
                self.entries.edit(self.file, table, *self._rows(name, key, table), within=node)

    def _edit_keys(self) -> None:
        changes = {name: self._key_changes(name) for name in self.now}
        for key in dict.fromkeys(key for its in changes.values() for key in its):
            base = self._said(self.file.root, key)
            own = {name: self._said(node, key) for name, node in self.nodes.items()}
            wanted = {
                name: its[key] if key in its else own[name] or base for name, its in changes.items()
            }
            for_all = self._for_all(key, base, wanted)
            if for_all != base:
                self.file.set(self.file.root, key, for_all)
            for name, text in wanted.items():
                needed = text if own[name] is not None or text != for_all else None
                if needed != own[name]:
                    self.file.set(self.nodes[name], key, needed)

    def _said(self, mapping: Any, key: str) -> str | None:
        node = self.file.value(mapping, key)
        return None if node is None else within_brackets(self.file.text, node)

    def _for_all(self, key: str, base: str | None, wanted: Mapping[str, str | None]) -> str | None:
        """What a key says for all variants without one of their own.

        A variant cannot say that it has no value where there is one for all.
        """
        if None in wanted.values():
            return None
        shared = {wanted[name] for name in self._sharing(key)}
        return shared.pop() if len(shared) == 1 else base

    def _edit_asked(self) -> None:
        sharing = self._sharing("asked")
        changes = {
            name: changed_prices(self.gathered, name, called) for name, called in self.now.items()
        }
        own = _apart({name: Counter(changes[name].items()) for name in sharing})
        for name in own:
            self.file.set(self.nodes[name], "asked", all_prices(self.gathered, self.now[name]))
        alike = [name for name in sharing if name not in own]
        for name in alike[:1]:
            edit_asked(self.file, self.file.root, changes[name])
        for name in self.now.keys() - set(sharing):
            self.file.keep(self.file.value(self.nodes[name], "asked"))
            edit_asked(self.file, self.nodes[name], changes[name])


def _apart(changes: Mapping[str, _Changes]) -> set[str]:
    """Those who change more than what all of them do."""
    if not changes:
        return set()
    common = reduce(and_, changes.values())
    return {name for name, its in changes.items() if its != common}
