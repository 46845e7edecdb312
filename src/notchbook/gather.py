"""Given rows of a shop: the definition files merged with the workbook, where there is one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from notchbook.definitions import LEDGER_TABLES, TABLES, DefinitionError, Definitions, load
from notchbook.definitions.merged import Candidate, Where, make_rows, sized
from notchbook.definitions.problems import Problems
from notchbook.definitions.rows import checked
from notchbook.merging.cells import Cells, Grid, Key, Value, cell, name_of, same
from notchbook.merging.changes import CellChange, Changes
from notchbook.merging.merge import Before, Merged, MergedRow, merge
from notchbook.merging.renames import Sides, composed, follow, recognise
from notchbook.merging.state import State
from notchbook.refusals import RefusedError
from notchbook.sheets import book_for
from notchbook.sheets.declare import Book, Role, Row
from notchbook.sheets.settings import ShopSettings

if TYPE_CHECKING:
    from notchbook.workbook.open import OldBook
    from notchbook.workbook.read import TypedTable

SETTINGS = "Settings"
PLANNED_TABLES = tuple(name for name in TABLES if name not in LEDGER_TABLES)
OF_THE_FILES = ("year", "currency", "units", "tax")
"""Settings that only shop.yaml can change: they decide what every other cell means."""


@dataclass
class Sided:
    """A table on both sides: what the files say of a row, and what it is after the merge.

    `at` is the row's number in the files.
    """

    key: tuple[str, ...]
    columns: tuple[str, ...]
    pairs: list[tuple[Cells | None, Cells | None]] = field(default_factory=list)
    at: list[int | None] = field(default_factory=list)


@dataclass
class Gathered:
    """A shop's given rows, whence each came, and what merging them did.

    `origins` tells, for each row of a table as it is shown, the row of the old workbook.
    """

    definitions: Definitions
    state: State
    files: Definitions
    old: OldBook | None = None
    changes: Changes = field(default_factory=Changes)
    origins: dict[str, list[int | None]] = field(default_factory=dict)
    formulas: dict[str, dict[tuple[int, str], str]] = field(default_factory=dict)
    notices: list[str] = field(default_factory=list)
    look: list[str] = field(default_factory=list)
    sides_by_side: dict[str, Sided] = field(default_factory=dict)


def grids(book: Book) -> dict[str, Grid]:
    """The tables that are merged row by row, and Settings as a table of one row."""
    found = {}
    for name in PLANNED_TABLES:
        table = book.tables[name]
        given = tuple(each.name for each in table.columns if each.role is Role.GIVEN)
        assert table.row is not None
        blanks = {
            column: cell(info.default)
            for column, info in table.row.model_fields.items()
            if not info.is_required() and info.default is not None
        }
        found[name] = Grid(name, given, table.row.key, blanks)
    cells = book.lines[SETTINGS].cells.values()
    given = tuple(each.name for each in cells if each.role is Role.GIVEN)
    return found | {SETTINGS: Grid(SETTINGS, given, ())}


def cells_of(definitions: Definitions) -> dict[str, list[dict[str, Value]]]:
    """What the files say, as cells."""
    tables = {
        name: [{key: cell(value) for key, value in row} for row in definitions.rows[name]]
        for name in TABLES
    }
    return tables | {SETTINGS: [{name: cell(value) for name, value in definitions.settings}]}


def gather(folder: Path, as_of: date | None, workbook: Path | None = None) -> Gathered:
    """Reads the files of a shop, and merges them with its workbook where there is one.

    `workbook` names another one than the shop's own. Raises DefinitionError with all problems of
    files and cells, RefusedError for a workbook that cannot be read.
    """

    def standing(settings: ShopSettings) -> Path:
        chosen = workbook if workbook is not None and workbook.exists() else None
        return chosen or _path(folder, settings)

    definitions = load(folder, as_of or date.today(), lambda found: standing(found).exists())
    path = standing(definitions.settings)
    book = book_for(definitions.settings.tax, definitions.settings.year)
    if not path.exists():
        tables = cells_of(definitions)
        state = State({name: Before(tables[name], tables[name]) for name in grids(book)})
        return Gathered(definitions, state, definitions)
    from notchbook.workbook.open import open_old

    old = open_old(path, book, definitions.settings.units)
    return _Gathering(definitions, book, old, as_of is not None).run()


def workbook_path(definitions: Definitions) -> Path:
    """Where the workbook of a shop stands: `<shop name> <year>.xlsx` in its folder."""
    return _path(definitions.folder, definitions.settings)


def _path(folder: Path, settings: ShopSettings) -> Path:
    name = f"{settings.shop} {settings.year}.xlsx"
    return folder / "".join("-" if sign in '/\\:*?"<>|' else sign for sign in name)


class _Gathering:
    def __init__(self, definitions: Definitions, book: Book, old: OldBook, dated: bool) -> None:
        self.files, self.book, self.old = definitions, book, old
        self.grids = grids(book)
        self.problems = Problems()
        self.result = Gathered(definitions, State(), definitions, old)
        self.merged: dict[str, Merged] = {}
        said = cells_of(definitions)
        state = old.state
        self.known = state is not None
        then = state.tables if state is not None else {}
        here = {name: self.typed_rows(name) for name in PLANNED_TABLES}
        here[SETTINGS] = [self.typed_settings(then)]
        self.rows_here = {name: [at for at, _ in rows] for name, rows in here.items()}
        self.sides = Sides(
            {name: [dict(row) for row in before.definitions] for name, before in then.items()},
            {name: [dict(row) for row in before.workbook] for name, before in then.items()},
            {name: [dict(row) for row in said[name]] for name in self.grids},
            {name: [dict(row) for _, row in rows] for name, rows in here.items()},
        )
        if not dated:  # the day was typed, or set when the workbook was new
            self.sides.definitions[SETTINGS][0]["as_of"] = (
                self.sides.then_definitions[SETTINGS][0]["as_of"]
                if self.known
                else self.sides.workbook[SETTINGS][0]["as_of"]
            )
        self.refuse_other_units()
        self.restore_lost()

    def run(self) -> Gathered:
        if self.known:
            state = self.old.state
            assert state is not None
            standing = follow(state.renamed, self.sides.definitions)
            renamed = recognise(self.sides, self.grids)
            self.result.changes.renamed += renamed
            self.result.state.renamed = composed(standing, renamed)
        for name in self.grids:
            if name != "Pricing tiers":
                self.merge(name, frozenset())
        self.merge("Pricing tiers", self.every_price())
        self.settings_of_the_files()
        settings = self.settings()
        self.result.definitions = self.definitions(settings)
        for name in self.grids:
            after = [row.cells for row in self.merged[name].rows]
            self.result.state.tables[name] = Before(self.sides.definitions[name], after)
            self.result.sides_by_side[name] = self.both_sides(name)
        self.tell()
        return self.result

    def both_sides(self, name: str) -> Sided:
        """The rows of the files beside those of the merge, each row once."""
        grid, said = self.grids[name], cells_of(self.files)[name]
        sided = Sided(grid.key, grid.columns)
        by_name = {name_of(row, grid.key): n for n, row in enumerate(said)}
        for row in self.merged[name].rows:
            at = row.definitions
            if name == "Pricing tiers":  # whose rows were completed before the merge
                at = by_name.get(name_of(row.cells, grid.key))
            sided.pairs.append((None if at is None else said[at], row.cells))
            sided.at.append(at)
        for at, cells in enumerate(said):
            if at not in sided.at:
                sided.pairs.append((cells, None))
                sided.at.append(at)
        return sided

    # --- what the workbook holds -----------------------------------------------------------------

    def typed_rows(self, name: str) -> list[tuple[int | None, dict[str, Value]]]:
        """The rows of a planning table, gaps closed; of a deleted sheet, those of last time."""
        table = self.old.typed.tables.get(name)
        if table is None:
            state = self.old.state
            rows = state.tables[name].workbook if state is not None else ()
            self.result.notices.append(f"{name}: the sheet was deleted; it is put back")
            return [(None, dict(row)) for row in rows]
        self.note_strays(table)
        return [(at, row) for at, row in enumerate(table.rows) if not table.is_blank(at)]

    def note_strays(self, table: TypedTable) -> None:
        for (_, name), stray in table.stray.items():
            what = f"'{str(stray.raw)[:40]}' is not understood; {stray.why}"
            self.problems.add(stray.address, 0, f"{name}: {what}")

    def typed_settings(self, then: Mapping[str, Before]) -> tuple[int | None, dict[str, Value]]:
        found = dict(self.old.typed.lines.get(SETTINGS, {}))
        before = (
            then[SETTINGS].workbook[0] if SETTINGS in then else cells_of(self.files)[SETTINGS][0]
        )
        for name in self.grids[SETTINGS].columns:
            if (SETTINGS, name) not in self.old.typed.line_places:
                found[name] = before.get(name)  # its cell was deleted
        for (sheet, name), stray in self.old.typed.line_strays.items():
            if sheet == SETTINGS:
                what = f"'{str(stray.raw)[:40]}' is not understood; {stray.why}"
                self.problems.add(stray.address, 0, f"{name}: {what}")
        return None, found

    def refuse_other_units(self) -> None:
        if not self.known:
            return
        then = self.sides.then_definitions[SETTINGS][0]["units"]
        now = self.sides.definitions[SETTINGS][0]["units"]
        if then != now:
            raise RefusedError(
                f"shop.yaml says units: {now}, but all lengths of {self.old.path.name} are in"
                f" {then}; set it back, or move the workbook away to begin a new one"
            )

    def restore_lost(self) -> None:
        """Columns that were deleted from a sheet come back as they were."""
        for name, table in self.old.typed.tables.items():
            for column in table.lost:
                self.result.notices.append(
                    f"{name}: the column {column.name} was deleted; it is put back"
                )
                grid = self.grids.get(name)
                if grid is None:
                    continue
                before = {
                    name_of(row, grid.key): row for row in self.sides.then_workbook.get(name, ())
                }
                for row in self.sides.workbook[name]:
                    was = before.get(name_of(row, grid.key), {})
                    row[column.name] = was.get(column.name)

    # --- merging ----------------------------------------------------------------------------------

    def merge(self, name: str, made_up: frozenset[Key]) -> None:
        sides = self.sides
        before = None
        if self.known:
            before = Before(sides.then_definitions.get(name, ()), sides.then_workbook.get(name, ()))
        said, here = sides.definitions[name], sides.workbook[name]
        self.merged[name] = merge(self.grids[name], before, said, here, made_up)
        self.result.changes.extend(self.merged[name].changes)

    def every_price(self) -> frozenset[Key]:
        """Each project at each tier has a row of Pricing tiers, whichever side names them.

        Gives the keys of those that no file states.
        """
        grid = self.grids["Pricing tiers"]
        said = self.sides.definitions[grid.name]
        projects = [str(row.cells.get("project")) for row in self.merged["Projects"].rows]
        tiers = [str(row.cells.get("tier")) for row in self.merged["Tiers"].rows]
        stated = {name_of(row, grid.key): row for row in said}
        wanted = [(project, tier) for project in projects for tier in tiers]
        rows = [stated.get(name) or _price(*name) for name in wanted]
        rows += [row for name, row in stated.items() if name not in wanted and row["asked"]]
        self.sides.definitions[grid.name] = rows
        before = self.sides.then_definitions.get(grid.name, ())
        return frozenset(
            (name_of(row, grid.key), 0) for row in (*rows, *before) if row.get("asked") is None
        )

    def settings_of_the_files(self) -> None:
        """What decides the meaning of all cells stays as shop.yaml says."""
        merged, said = self.merged[SETTINGS], self.sides.definitions[SETTINGS][0]
        changes = self.result.changes
        for name in OF_THE_FILES:
            here = self.sides.workbook[SETTINGS][0].get(name)
            if same(here, said[name]):
                continue
            row = merged.rows[0]
            merged.rows[0] = replace(row, cells={**row.cells, name: said[name]})
            changes.kept = [each for each in changes.kept if not _is_setting(each, name)]
            told = (*changes.conflicts, *changes.taken)
            if not any(_is_setting(each, name) for each in told):
                changes.conflicts.append(CellChange(SETTINGS, "", name, here, said[name]))

    # --- rows for planning ------------------------------------------------------------------------

    def settings(self) -> ShopSettings:
        cells = self.merged[SETTINGS].rows[0].cells
        values: dict[str, object] = {}
        for name in ShopSettings.model_fields:
            exact = getattr(self.files.settings, name)
            value = exact if same(cell(exact), cells.get(name)) else cells.get(name)
            if value is not None:
                values[name] = value

        def report(name: str, message: str) -> None:
            self.problems.add(*self.line_place(name), f"{name}: {message}")

        return checked(ShopSettings, values, report) or self.files.settings

    def line_place(self, name: str) -> tuple[str, int]:
        from notchbook.workbook.read import address

        place = self.old.typed.line_places.get((SETTINGS, name))
        return (address(place), 0) if place is not None else ("shop.yaml", 1)

    def definitions(self, settings: ShopSettings) -> Definitions:
        candidates: dict[str, list[Candidate]] = {}
        shown: dict[str, list[Mapping[str, object]]] = {}
        places = dict(self.files.places)
        for name in PLANNED_TABLES:
            rows = [self.whole(name, row) for row in self.merged[name].rows]
            self.merged[name].rows = rows
            candidates[name] = [
                Candidate(row.cells, self.original(name, row), self.where(name, row))
                for row in rows
            ]
            shown[name] = [dict(row.cells) for row in rows]
            self.result.origins[name] = [self.origin(name, row) for row in rows]
            self.result.formulas[name] = self.kept_formulas(name, rows)
            for candidate in candidates[name]:
                key = name_of(candidate.cells, self.grids[name].key)
                place = candidate.where(self.grids[name].columns[0])
                if candidate.original is None or not place[1]:
                    places[name, *key] = place
        models = {name: self.model(name) for name in PLANNED_TABLES}
        rows_made = make_rows(candidates, models, settings.units, self.problems)
        if self.problems.sorted():
            raise DefinitionError(self.problems.sorted())
        stray = {}
        for name in LEDGER_TABLES:
            shown[name], stray[name] = self.ledger(name)
        ledgers: dict[str, tuple[Row, ...]] = dict.fromkeys(LEDGER_TABLES, ())
        return Definitions(
            self.files.folder, settings, rows_made | ledgers, places, shown, stray, self.old.noted
        )

    def whole(self, name: str, row: MergedRow) -> MergedRow:
        """A typed row with what follows from it filled in: sizes of nominal lumber, a title."""
        cells = dict(row.cells)
        if row.workbook is None or name not in ("Stock", "Projects"):
            return row
        if name == "Projects":
            cells["title"] = cells["title"] or cells["project"]
        else:
            sized(cells, self.files.settings.units, self.where(name, row), self.problems)
        return replace(row, cells=cells)

    def model(self, name: str) -> type[Row]:
        model = self.book.tables[name].row
        assert model is not None
        return model

    def original(self, name: str, row: MergedRow) -> Row | None:
        """The row of the files, unless it was made up or goes by another name there."""
        files = self.files.rows[name]
        if name == "Pricing tiers":
            key = name_of(row.cells, self.grids[name].key)
            return next((each for each in files if _named(each) == key), None)
        return files[row.definitions] if row.definitions is not None else None

    def where(self, name: str, row: MergedRow) -> Where:
        """Where a cell is mended: in the workbook where it came from there, else in the files."""

        def place(column: str) -> tuple[str, int]:
            from notchbook.workbook.read import address

            table = self.old.typed.tables.get(name)
            at, original = self.origin(name, row), self.original(name, row)
            if table is not None and at is not None and not self.is_as_said(name, row, original):
                return address(table.place(at, column)), 0
            key = () if original is None else _named(original)
            return self.files.places.get((name, *key), (name, 0))

        return place

    def is_as_said(self, name: str, row: MergedRow, original: Row | None) -> bool:
        """Whether all cells of a row are as the files say."""
        return original is not None and all(
            same(row.cells.get(each), cell(getattr(original, each)))
            for each in self.grids[name].columns
        )

    def origin(self, name: str, row: MergedRow) -> int | None:
        """The row of the old sheet, counted from below its header."""
        return None if row.workbook is None else self.rows_here[name][row.workbook]

    def kept_formulas(self, name: str, rows: Sequence[MergedRow]) -> dict[tuple[int, str], str]:
        """What the maker typed as a formula into given cells whose value stands."""
        table = self.old.typed.tables.get(name)
        if table is None:
            return {}
        found = {}
        for n, row in enumerate(rows):
            at = self.origin(name, row)
            for column in self.grids[name].columns if at is not None else ():
                text = table.formulas.get((at or 0, column))
                if text and same(row.cells.get(column), table.rows[at or 0].get(column)):
                    found[n, column] = text
        return found

    # --- ledgers ----------------------------------------------------------------------------------

    def ledger(self, name: str) -> tuple[list[Mapping[str, object]], dict[tuple[int, str], object]]:
        """A ledger as the workbook holds it, gaps and all."""
        table = self.old.typed.tables.get(name)
        if table is None:
            return [], {}
        self.result.origins[name] = list(range(len(table.rows)))
        self.result.formulas[name] = dict(table.formulas)
        for stray in table.stray.values():
            self.result.look.append(
                f"{stray.address}: '{str(stray.raw)[:40]}' is not understood and counts for"
                f" nothing; {stray.why}"
            )
        return [dict(row) for row in table.rows], {at: s.raw for at, s in table.stray.items()}

    # --- what to tell -----------------------------------------------------------------------------

    def tell(self) -> None:
        result = self.result
        if not self.known:
            result.look.append(
                f"{self.old.trouble}; the workbook's cells stand, and what the files say otherwise"
                " is listed"
            )
        result.look += [
            f"{cell}: a value was typed over a formula; it is kept as a note, the formula is back"
            for cell in self.old.typed_over
        ]
        for each in result.changes.renamed:
            if each.table in ("Projects", "Tiers"):
                self.tell_of_ledger(each.column, each.old, each.new)

    def tell_of_ledger(self, column: str, old: str, new: str) -> None:
        for name in LEDGER_TABLES:
            rows = self.result.definitions.shown.get(name, ())
            count = sum(1 for row in rows if row.get(column) == old)
            if count:
                self.result.look.append(
                    f"{name}: {count} rows still say {old}, which is now {new}; change them there"
                )


def _price(project: str, tier: str) -> dict[str, Value]:
    """A row of Pricing tiers for which no price is asked."""
    return {"project": project, "tier": tier, "asked": None}


def _is_setting(change: CellChange, name: str) -> bool:
    return (change.table, change.column) == (SETTINGS, name)


def _named(row: Row) -> tuple[str, ...]:
    cells: Cells = {name: cell(getattr(row, name)) for name in row.key}
    return name_of(cells, row.key)
