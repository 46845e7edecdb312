"""The workbook's edits written into the definition files, as few letters changed as can be."""

from __future__ import annotations

import difflib
import re
import shutil
import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from notchbook.definitions import DefinitionError
from notchbook.definitions.edits import YamlFile, quoted_text
from notchbook.definitions.entries_of import (
    Spot,
    columns_of,
    list_of,
    required_keys,
    spots,
    text_of,
    with_defaults,
)
from notchbook.definitions.keys import Reads
from notchbook.definitions.shape import SYNTAX
from notchbook.definitions.writing import entry, number, written
from notchbook.gathering import OF_THE_FILES, SETTINGS, Gathered, gather
from notchbook.merging.cells import Cells, Value, same, same_cells
from notchbook.nominal import NominalError, actual_size
from notchbook.refusals import RefusedError
from notchbook.replacing import replace_text
from notchbook.sheets import book_for
from notchbook.sheets.declare import Table

_IN_PROJECTS = (
    *("Projects", "Seen prices", "Cut list", "Laid surfaces", "Marks", "Consumables"),
    "Work steps",
)
_FILES = {
    "Channels": "shop.yaml",
    "Tiers": "shop.yaml",
    "Stock": "stock.yaml",
    "Tool depreciation": "tools.yaml",
}
Pair = tuple[Cells | None, Cells | None]


@dataclass
class Adoption:
    """What `adopt` would do: the new text of each file (None: it goes), and what stays behind."""

    folder: Path
    before: dict[str, str] = field(default_factory=dict)
    after: dict[str, str | None] = field(default_factory=dict)
    left: list[str] = field(default_factory=list)

    def changed(self) -> Iterator[str]:
        """The files that change."""
        for name in sorted(self.after):
            if self.after[name] != self.before.get(name):
                yield name

    def diff(self) -> str:
        """The changes as lines taken out and put in."""
        lines: list[str] = []
        for name in self.changed():
            old, new = self.before.get(name, ""), self.after[name] or ""
            lines += difflib.unified_diff(
                old.splitlines(keepends=True), new.splitlines(keepends=True), name, name
            )
        return "".join(lines)

    def write(self) -> None:
        """Puts the new files in place, each whole."""
        for name in self.changed():
            text = self.after[name]
            if text is None:
                (self.folder / name).unlink()
            else:
                replace_text(self.folder / name, text)


def adoption(folder: Path) -> Adoption:
    """What the files must say to agree with the workbook, tried out beside them.

    Raises RefusedError without a workbook, or where the new files would not be right.
    """
    gathered = gather(folder, None)
    if gathered.old is None:
        raise RefusedError(f"there is no workbook in {folder} to adopt from; compile first")
    result = _Adopting(folder, gathered).run()
    _try_out(result, gathered)
    return result


def _try_out(result: Adoption, gathered: Gathered) -> None:
    """Reads the new files in a folder of their own, and lists what still differs."""
    assert gathered.old is not None
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for file in ("shop.yaml", "stock.yaml", "tools.yaml", "projects"):
            source = result.folder / file
            if source.is_dir():
                shutil.copytree(source, folder / file)
            elif source.exists():
                shutil.copy(source, folder / file)
        Adoption(folder, result.before, result.after).write()
        try:
            tried = gather(folder, None, gathered.old.path)
        except DefinitionError as error:
            told = "; ".join(str(problem) for problem in error.problems[:3])
            raise RefusedError(
                f"with the workbook's edits the files would be wrong: {told}"
            ) from None
        result.left += [f"{what}; it stays in the workbook" for what in _differences(tried)]


def _differences(gathered: Gathered) -> Iterator[str]:
    book = book_for(gathered.definitions.settings.tax, gathered.definitions.settings.year)
    for name, rows in gathered.sides_by_side.items():
        columns = [each for each in rows.columns if name != SETTINGS or setting_place(each)]
        for said, cells in rows.pairs:
            key = ", ".join(str((cells or said or {}).get(each)) for each in rows.key)
            if said is None or cells is None:
                if name != "Pricing tiers" or (cells or said or {}).get("asked") is not None:
                    yield f"{name}, {key} is {'not in the files' if said is None else 'deleted'}"
                continue
            table = book.tables.get(name)
            here = with_defaults(table, cells) if table else cells
            there = with_defaults(table, said) if table else said
            for column in columns:
                if not same(here.get(column), there.get(column)):
                    yield f"{name}, {key}, {column} differs"


class _Adopting:
    def __init__(self, folder: Path, gathered: Gathered) -> None:
        self.gathered = gathered
        self.definitions = gathered.definitions
        settings = self.definitions.settings
        self.book = book_for(settings.tax, settings.year)
        self.result = Adoption(folder)
        self.files: dict[str, YamlFile] = {}
        self.missing: list[str] = []
        for path in [*folder.glob("*.yaml"), *(folder / "projects").glob("*.yaml")]:
            name = path.relative_to(folder).as_posix()
            text = path.read_text(encoding="utf-8")
            self.result.before[name] = text
            self.files[name] = YamlFile(text)

    def run(self) -> Adoption:
        self.settings()
        for table in ("Channels", "Tiers", "Stock", "Tool depreciation"):
            self.table(table, _FILES[table])
        self.projects()
        for name, file in self.files.items():
            if name not in self.result.after:
                text = file.changed()
                self.result.after[name] = text if file.text != text else self.result.before[name]
        if self.missing:
            raise RefusedError("; ".join(self.missing))
        return self.result

    # --- settings --------------------------------------------------------------------------------

    def settings(self) -> None:
        said, cells = self.gathered.sides_by_side[SETTINGS].pairs[0]
        assert said is not None
        assert cells is not None
        file = self.files["shop.yaml"]
        looks = self.book.lines[SETTINGS].cells
        new: dict[str, dict[str, str | None]] = {}
        for name, value in cells.items():
            place = setting_place(name)
            if same(value, said.get(name)) or place is None:
                continue
            inside = file.root if place == "shop.yaml" else file.value(file.root, place)
            if inside is None:
                new.setdefault(place, {})[name] = written(value, looks[name].look, name)
            else:
                before = file.written(inside, name)
                file.set(inside, name, written(value, looks[name].look, name, before))
        for place, keys in new.items():
            file.set(file.root, place, entry(keys))

    # --- tables ----------------------------------------------------------------------------------

    def table(self, name: str, file_name: str) -> None:
        sided = self.gathered.sides_by_side[name]
        if file_name not in self.files:
            if not sided.pairs:
                return
            self.files[file_name] = YamlFile(f"{list_of(name, {})}: []\n")
            self.result.before[file_name] = ""
        file = self.files[file_name]
        rows = list(zip(sided.pairs, sided.at, strict=True))
        self.entries(file, name, list(spots(file, name)), rows)

    def entries(
        self,
        file: YamlFile,
        name: str,
        by_row: Sequence[Spot],
        rows: Sequence[tuple[Pair, int | None]],
        instances: int = 1,
    ) -> None:
        """Edits, removes and appends the entries of a table in one file.

        A file with variants makes `instances` rows of each entry; what only some of them say
        cannot be written there.
        """
        table = self.book.tables[name]
        groups: dict[int, list[tuple[Spot, Cells, Cells | None]]] = {}
        new: Counter[tuple[str, str]] = Counter()
        for (said, cells), place in rows:
            if place is None and cells is not None:
                new[list_of(name, cells), self.entry(table, cells)] += 1
            elif place is not None:
                spot = by_row[place]
                groups.setdefault(id(spot.node), []).append((spot, said or {}, cells))
        for group in groups.values():
            self.entry_of(file, table, group, instances)
        for (key, text), count in new.items():
            for _ in range(count // instances):
                file.append(key, text)

    def entry_of(
        self,
        file: YamlFile,
        table: Table,
        rows: list[tuple[Spot, Cells, Cells | None]],
        instances: int,
    ) -> None:
        spot = rows[0][0]
        left = [row for row in rows if row[2] is not None]
        if not left:
            file.remove(spot.list_key, spot.node)
            return
        changes = [self.changes(file, table, *row) for row in left]
        if len(left) == len(rows) and all(each == changes[0] for each in changes):
            for key, text in changes[0].items():
                file.set(spot.node, key, text)
            return
        if instances > 1:
            return
        # only some of the parts that the entry lists: these get entries of their own
        staying = [row[0].part or "" for row, each in zip(left, changes, strict=True) if not each]
        for row, each in zip(left, changes, strict=True):
            if each and row[2] is not None:
                file.append(row[0].list_key, self.entry(table, row[2]))
        if staying and spot.listed:
            file.set(spot.node, spot.listed, f"[{', '.join(map(quoted_text, staying))}]")
        else:
            file.remove(spot.list_key, spot.node)

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
            self.lumber(here, found)
        return found

    def lumber(self, cells: Cells, found: dict[str, str | None]) -> None:
        """Lumber has a nominal size or real ones, never both."""
        if not found.keys() & {"nominal", "thickness", "width"}:
            return
        nominal = cells.get("nominal")
        look = self.book.tables["Stock"].by_name["width"].look
        if isinstance(nominal, str) and self.is_size(nominal, cells):
            found |= {"nominal": quoted_text(nominal), "thickness": None, "width": None}
            return
        real = {name: written(cells.get(name), look, name) for name in ("thickness", "width")}
        found |= {"nominal": None, **real}

    def is_size(self, nominal: str, cells: Cells) -> bool:
        try:
            sizes = actual_size(nominal, self.definitions.settings.units)
        except NominalError:
            return False
        return all(
            same(float(size), cells.get(name))
            for name, size in zip(("thickness", "width"), sizes, strict=True)
        )

    def entry(self, table: Table, cells: Cells) -> str:
        """A new entry with all keys that it needs."""
        assert table.row is not None
        whole = with_defaults(table, cells)
        keys: dict[str, str | None] = {}
        for key, columns in columns_of(table, whole).items():
            info = table.row.model_fields.get(columns[0])
            text = text_of(table, key, columns, whole, {}, None)
            default = info is not None and not info.is_required() and cells.get(columns[0]) is None
            if text is not None and not (default and key not in _ALWAYS):
                keys[key] = text
        name = ", ".join(str(whole[each]) for each in table.row.key if whole.get(each))
        self.missing += [
            f"{table.name}, {name}: {key} is blank; type it into the workbook, as the files need it"
            for key in required_keys(table, whole)
            if key not in keys
        ]
        if table.name == "Stock" and whole.get("kind") == "lumber":
            self.lumber(whole, keys)
        return entry(keys)

    # --- projects --------------------------------------------------------------------------------

    def projects(self) -> None:
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
            self.project(file_name, {name: names[name] for name in its})
        for name in new:
            self.new_project(name)

    def project(self, file_name: str, names: Mapping[str, str | None]) -> None:
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
            self.entries(file, table, list(spots(file, table)) * len(names), rows, len(names))
        if len(names) == 1:
            ((name, called),) = names.items()
            self.asked(file, name, called or name)

    def asked(self, file: YamlFile, name: str, now: str) -> None:
        """Prices asked, by tier."""
        texts = {}
        for said, cells in self.gathered.sides_by_side["Pricing tiers"].pairs:
            row = cells or said or {}
            before, price = (said or {}).get("asked"), (cells or {}).get("asked")
            if row.get("project") not in (name, now) or same(before, price):
                continue
            texts[str(row["tier"])] = _money(price)
        mapping = file.value(file.root, "asked")
        if mapping is None:
            text = entry({quoted_text(tier): price for tier, price in texts.items()})
            if text != "{}":
                file.set(file.root, "asked", text)
            return
        gone = {tier for tier, price in texts.items() if price is None}
        if gone >= {str(key.value) for key, _ in mapping.value} and gone == texts.keys():
            file.set(file.root, "asked", None)
            return
        for tier, price in texts.items():
            file.set(mapping, tier, price)

    def new_project(self, name: str) -> None:
        """The file of a project that was typed into the workbook."""
        sides = self.gathered.sides_by_side
        lines = []
        for table_name in _IN_PROJECTS:
            table = self.book.tables[table_name]
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
                lines += self.asked_line(name)
                continue
            by_list: dict[str, list[str]] = {}
            for cells in rows:
                by_list.setdefault(list_of(table_name, cells), []).append(self.entry(table, cells))
            for key, entries in by_list.items():
                lines += [f"{key}:\n", *(f"  - {each}\n" for each in entries)]
        slug = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "project"
        file_name = next(
            found
            for n in range(1, 1000)
            if (found := f"projects/{slug}{'' if n == 1 else f'-{n}'}.yaml") not in self.files
        )
        self.result.after[file_name] = "".join(lines)

    def asked_line(self, name: str) -> list[str]:
        asked = {
            quoted_text(str(cells["tier"])): _money(cells.get("asked"))
            for _, cells in self.gathered.sides_by_side["Pricing tiers"].pairs
            if cells is not None and cells.get("project") == name
        }
        text = entry(asked)
        return [f"asked: {text}\n"] if text != "{}" else []


_ALWAYS = ("setup", "minutes", "collects_sales_tax", "fee", "fixed_fee", "packaging", "postage")
"""Keys that a new entry must have, whatever their value."""


def setting_place(name: str) -> str | None:
    """The place of shop.yaml in which a setting stands, None for those that only sheets have."""
    if name in OF_THE_FILES:
        return None
    inner = [key.place for key in SYNTAX["shop.yaml"] if key.reads is Reads.PLACE]
    places = ("shop.yaml", *inner)
    return next((each for each in places if any(k.key == name for k in SYNTAX[each])), None)


def _money(value: Value) -> str | None:
    if not isinstance(value, float):
        return None
    return f"{value:.2f}" if round(value, 2) == value else number(value)
