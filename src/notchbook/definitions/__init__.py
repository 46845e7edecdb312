"""Definition files of a shop, read into rows of given cells, with every fault told at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import TypeVar

from notchbook.base.problems import (
    DefinitionError,
    Problem,
    Problems,
    SourceFile,
    nearest,
    quoted,
)
from notchbook.definitions.reading.entries import Entries, read_yaml
from notchbook.definitions.reading.files import (
    PROJECT_SUFFIX,
    PROJECTS,
    entries,
    is_folder,
    is_there,
    read_text,
)
from notchbook.definitions.reading.ideas import read_ideas
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.ledger_file import read_ledger
from notchbook.definitions.reading.lists import read_list_file
from notchbook.definitions.reading.naming import is_ledger
from notchbook.definitions.reading.project_file import read_project
from notchbook.definitions.reading.rows import Candidate, ReadRows, checked
from notchbook.definitions.reading.shop_file import read_shop, units_of
from notchbook.definitions.syntax.columns import FOR_OTHERS, LEDGER_FILES, ROWS, WAITING
from notchbook.definitions.syntax.places import SYNTAX
from notchbook.definitions.syntax.shop import LIST_FILES
from notchbook.sheets.kit.columns import Row
from notchbook.sheets.kit.discovery import row_tables
from notchbook.sheets.kit.setting_keys import OF_ONE_FORM
from notchbook.sheets.kit.shop_settings import ShopSettings
from notchbook.sheets.kit.written import IDEAS_FILE

__all__ = [
    "LEDGER_TABLES",
    "SYNTAX",
    "TABLES",
    "DefinitionError",
    "Definitions",
    "Problem",
    "Stated",
    "read_files",
]

R = TypeVar("R", bound=Row)

TABLES = tuple(ROWS)
"""The tables that definitions fill."""
LEDGER_TABLES = tuple(table for table, row in ROWS.items() if is_ledger(row))
"""Those that the workbook owns, once there is one."""


@dataclass(frozen=True)
class Stated:
    """What the files of a shop state, before it is checked.

    `rows` holds each table of `TABLES`, empty or not. `places` tells the file and line of a row
    by its table and key; of rows that have no key, by their number from 1. Of tables in `open` not
    all rows can be read.
    """

    folder: Path
    settings: ShopSettings | None
    said: Candidate | None  # the settings, before they are checked
    rows: Mapping[str, Sequence[Candidate]]
    places: Mapping[tuple[str, ...], tuple[str, int]]
    open: frozenset[str]
    problems: Problems
    notices: Sequence[str] = ()  # worth knowing, and no fault
    waiting: Sequence[Candidate] = ()  # cuts that wait for their runs

    @property
    def shop(self) -> ShopSettings:
        """The settings.

        Raises DefinitionError where they cannot be used.
        """
        if self.settings is None:
            raise DefinitionError(self.problems.sorted())
        return self.settings


@dataclass(frozen=True)
class Definitions:
    """What a shop is, checked: its files, merged with its workbook where there is one.

    `rows` and `places` are as in `Stated`. `shown` holds the given cells of a table as its sheet
    shows them, `stray` what nobody understands, by row and column; `lines` the typed cells of other
    sheets of lines than Settings. `look` and `notices` name the rows with faults that count all the
    same.
    """

    folder: Path
    settings: ShopSettings
    rows: Mapping[str, tuple[Row, ...]]
    places: Mapping[tuple[str, ...], tuple[str, int]]
    shown: Mapping[str, Sequence[Mapping[str, object]]] = field(default_factory=dict)
    stray: Mapping[str, Mapping[tuple[int, str], object]] = field(default_factory=dict)
    typed_over: int = 0  # formulas of the workbook that a value was typed over
    workbook: Path | None = None  # the one that they were merged with
    look: Sequence[str] = ()
    notices: Sequence[str] = ()
    lines: Mapping[tuple[str, str], object] = field(default_factory=dict)

    def cells(self, name: str) -> list[dict[str, object]]:
        """The given cells of a table, row by row."""
        if name in self.shown:
            return [dict(row) for row in self.shown[name]]
        return [dict(row) for row in self.rows.get(name, ())]

    def table(self, name: str, row: type[R]) -> tuple[R, ...]:
        """The rows of a table, as the row model that it is made of.

        Raises TypeError where the table is made of another.
        """
        rows = tuple(each for each in self.rows[name] if isinstance(each, row))
        if len(rows) != len(self.rows[name]):
            raise TypeError(f"{name} has rows that are no {row.__name__}")
        return rows

    @property
    def projects(self) -> tuple[str, ...]:
        """The names of the projects, in the order of their files."""
        return tuple(str(getattr(row, "project", "")) for row in self.rows["Projects"])

    def place_of_part(self, project: str, part: str) -> tuple[str, int]:
        """The file and line of a part or a laid surface, else of its project.

        Raises KeyError for an unknown project.
        """
        for table in ("Cut list", "Laid surfaces"):
            place = self.places.get((table, project, part))
            if place is not None:
                return place
        return self.places["Projects", project]


def read_files(
    folder: Path, as_of: date, owned: Callable[[ShopSettings], bool] | None = None
) -> Stated:
    """Read all files of a shop's folder; the age of prices is counted from `as_of`.

    `owned` tells whether a workbook owns the ledgers already; then their files are not read.
    Raises DefinitionError where there is no folder; what cannot be read is among the problems.
    """
    problems = Problems()
    if not is_folder(folder):
        what = "this is no folder" if is_there(folder) else "there is no such folder"
        problems.add(folder.name or ".", 1, f"{what}; name a shop's, or make one: notchbook new")
        raise DefinitionError(problems.sorted())
    known = Known(ReadRows(problems))
    said = _read_shop_files(folder, as_of, known)
    _read_projects(folder, known)
    if is_there(folder / IDEAS_FILE):
        source = SourceFile(IDEAS_FILE, problems)
        read_ideas(source, _yaml(source, folder), known)
    settings = (
        None
        if said is None or said.unread
        else checked(ShopSettings, said.values, _told(said, problems))
    )
    if settings is None or owned is None or not owned(settings):
        _read_ledgers(folder, known)
    if said is not None and settings is not None:
        _tell_of_other_forms(said, settings.tax, known)
    gathered = known.gathered
    rows = {name: tuple(gathered.rows.get(name, ())) for name in TABLES}
    return Stated(
        folder,
        settings,
        said,
        rows,
        gathered.places,
        frozenset(gathered.open),
        problems,
        gathered.notices,
        tuple(gathered.rows.get(WAITING, ())),
    )


def _told(said: Candidate, problems: Problems) -> Callable[[str, str], None]:
    return lambda name, message: problems.add(*said.where(name), f"{said.label(name)}: {message}")


def _read_shop_files(folder: Path, as_of: date, known: Known) -> Candidate | None:
    problems, open_tables = known.gathered.problems, known.gathered.open
    shop = SourceFile("shop.yaml", problems)
    entries = _yaml(shop, folder)
    known.units = units_of(entries)
    said = None if entries is None else read_shop(shop, entries, as_of, known)
    if said is None:
        open_tables |= {"Channels", "Tiers"}
    for file in LIST_FILES:
        if file == IDEAS_FILE:
            continue  # it speaks of projects, and is read behind them
        if file == "stock.yaml" or is_there(folder / file):
            source = SourceFile(file, problems)
            read_list_file(source, _yaml(source, folder), known)
    return said


def _tell_of_other_forms(said: Candidate, tax: str, known: Known) -> None:
    """Report what is stated of a tax form that is not the shop's, as nothing would read it."""
    without = f"has no use under tax: {tax}; leave it out"
    problems = known.gathered.problems
    for name in said.values:
        if any(name in names for form, names in OF_ONE_FORM.items() if form != tax):
            problems.add(*said.where(name), f"{said.label(name)}: it {without}")
    for table in row_tables(tax):
        assert table.row is not None
        rows = known.gathered.rows.get(table.name, [])
        for n, row in enumerate(rows):
            others = row.values.keys() - table.row.model_fields
            for name in sorted(others):
                problems.add(*row.where(name), f"{row.label(name)}: it {without}")
            if others:
                its = {name: each for name, each in row.values.items() if name not in others}
                rows[n] = replace(row, values=its)


def _yaml(source: SourceFile, folder: Path) -> Entries | None:
    text = read_text(source, folder / source.file)
    return read_yaml(source, text) if text is not None else None


def _read_projects(folder: Path, known: Known) -> None:
    problems = known.gathered.problems
    found = False
    for path in entries(folder, PROJECTS, problems):
        source = SourceFile(f"{PROJECTS}/{path.name}", problems)
        if path.suffix == PROJECT_SUFFIX:
            found = True
            read = _yaml(source, folder)
            if read is None:
                known.gathered.open.add("Projects")
            else:
                read_project(source, read, known)
        elif path.suffix.lower() in (".yml", ".yaml"):
            found = True
            known.gathered.open.add("Projects")
            source.report(1, f"the file is not read; name it {quoted(path.stem + '.yaml')}")
    if not found:
        known.gathered.open.add("Projects")
        problems.add(
            "projects", 1, "there is no project; write one, such as projects/herb-rail.yaml"
        )


def _read_ledgers(folder: Path, known: Known) -> None:
    problems = known.gathered.problems
    for path in entries(folder, "ledgers", problems):
        source = SourceFile(f"ledgers/{path.name}", problems)
        if path.name in FOR_OTHERS:
            continue
        if path.name not in LEDGER_FILES:
            near = nearest(path.name, LEDGER_FILES)
            files = ", ".join(LEDGER_FILES)
            source.report(1, f"there is no such ledger{near}; write one of {files}")
            continue
        text = read_text(source, path)
        if text is not None:
            read_ledger(source, path.name, text, known)
