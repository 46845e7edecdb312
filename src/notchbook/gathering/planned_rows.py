"""Merged cells brought through the door, each with the place where it is mended."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from notchbook.base.problems import Problems
from notchbook.definitions import LEDGER_TABLES, DefinitionError, Definitions
from notchbook.definitions.reading.naming import NAMING
from notchbook.definitions.reading.nominal_sizes import sized
from notchbook.definitions.reading.rows import Candidate, checked
from notchbook.gathering.door import enter
from notchbook.gathering.ledgers import Ledgers, ledger_rows
from notchbook.gathering.merging_sides import Merging
from notchbook.gathering.sides import MODELS, PLANNED_TABLES, SETTINGS
from notchbook.merging.cells import Cells, cell, name_of, same
from notchbook.merging.merge import MergedRow
from notchbook.merging.renames import lookalikes
from notchbook.sheets.kit.shop_settings import ShopSettings
from notchbook.trade.nominal import NominalError

if TYPE_CHECKING:
    from notchbook.workbook.read.anchors import Place


class PlannedRows:
    """The definitions that a merge makes, and for each row of a table where it stood before.

    `formulas` holds what the maker typed as formulas into given cells, `look` and `notices` what
    to tell.
    """

    def __init__(self, merging: Merging) -> None:
        self.merging, self.files, self.book = merging, merging.files, merging.book
        self.deleted = merging.deleted_projects()
        self.origins: dict[str, list[int | None]] = {}
        self.formulas: dict[str, dict[tuple[int, str], str]] = {}
        self.look: list[str] = []
        self.notices: list[str] = []

    def settings(self) -> Candidate:
        """Return the merged settings, each at its cell or its line."""
        cells = self.merging.merged[SETTINGS].rows[0].cells
        said, stray = self.files.said, self.merging.old.typed.line_strays
        assert said is not None
        values: dict[str, object] = {}
        for name in ShopSettings.model_fields:
            exact = getattr(self.files.shop, name)
            value = exact if same(cell(exact), cells.get(name)) else cells.get(name)
            if value is not None:
                values[name] = value

        def stands_here(name: str) -> bool:
            here = cells.get(name)
            is_said = same(cell(getattr(self.files.shop, name)), here)
            return (SETTINGS, name) in self.merging.old.typed.line_places and not is_said

        def where(name: str) -> tuple[str, int]:
            return self.line_place(name) if stands_here(name) else said.where(name)

        def label(name: str) -> str:
            if not stands_here(name):
                return said.label(name)
            return self.merging.grids[SETTINGS].headers[name]

        self.formulas[SETTINGS] = self.setting_formulas(cells)
        unread = frozenset(name for sheet, name in stray if sheet == SETTINGS)
        return Candidate(values, where, label, unread)

    def setting_formulas(self, cells: Cells) -> dict[tuple[int, str], str]:
        """What the maker typed as formulas on Settings, where their value stands."""
        typed = self.merging.old.typed
        found = {}
        for (sheet, name), text in typed.line_formulas.items():
            if sheet != SETTINGS:
                continue
            if same(cells.get(name), typed.lines[sheet].get(name)):
                found[0, name] = text
            else:
                self.gave_way(typed.line_places[sheet, name], text)
        return found

    def gave_way(self, place: Place, text: str) -> None:
        """Tells of a formula of the maker's that does not stand any more."""
        from notchbook.workbook.read.anchors import address

        self.look.append(f"{address(place)}: your formula {text} gave way to a value of the files")

    def line_place(self, name: str) -> tuple[str, int]:
        """Where a setting is mended."""
        from notchbook.workbook.read.anchors import address

        place = self.merging.old.typed.line_places.get((SETTINGS, name))
        return (address(place), 0) if place is not None else ("shop.yaml", 1)

    def tell_lookalikes(self, problems: Problems) -> None:
        """Add which row looks like one that others miss: renamed and changed in one go."""
        from notchbook.workbook.read.anchors import address

        merging = self.merging
        missed = " ".join(each.message for each in problems.sorted())
        for each in lookalikes(merging.sides, merging.grids, NAMING):
            table = merging.old.typed.tables.get(each.table)
            if table is None or f"'{each.old}'" not in missed:
                continue
            names = [row.get(each.column) for row in table.rows]
            place = address(table.place(names.index(each.new), each.column))
            problems.add(
                place,
                0,
                f"'{each.new}' looks like '{each.old}', which is gone, but more than its name was"
                " changed; change the name alone, compile, and then the rest",
            )

    def tell_deleted(self, problems: Problems) -> None:
        """Add which rows that others miss were deleted in the workbook."""
        missed = [each.message for each in problems.sorted()]
        for each in self.merging.changes.deleted:
            _, _, of_project = each.row.rpartition(", ")
            named = [message for message in missed if f"'{of_project}'" in message]
            if each.side == "workbook" and named and not any(" looks like " in it for it in named):
                problems.add(
                    each.table,
                    0,
                    f"'{each.row}' was deleted in the workbook; put its row back there, or take it"
                    " out of all that names it",
                )

    def definitions(self) -> Definitions:
        """Return the merged definitions.

        Raises DefinitionError with all problems of cells and settings.
        """
        said, problems = self.settings(), self.merging.problems
        candidates = {name: self.planned(name) for name in PLANNED_TABLES}
        shown: dict[str, list[Mapping[str, object]]] = {
            name: [dict(row.cells) for row in self.merging.merged[name].rows]
            for name in PLANNED_TABLES
        }
        stray: dict[str, dict[tuple[int, str], object]] = {}
        ledgers = Ledgers(self.merging)
        for name in LEDGER_TABLES:
            table = self.merging.old.typed.tables.get(name)
            shown[name], stray[name], candidates[name] = [], {}, []
            if table is not None:
                self.origins[name] = list(range(len(table.rows)))
                shown[name], stray[name] = ledgers.carried(table)
                rows = ledger_rows(table, shown[name])
                candidates[name] = [each for each in rows if not self.is_left_behind(name, each)]

        def report(name: str, message: str) -> None:
            if name not in said.unread:
                problems.add(*said.where(name), f"{said.label(name)}: {message}")

        settings = checked(ShopSettings, said.values, report)
        entered = enter(self.book, said, candidates, problems, (), self.deleted)
        if problems.sorted() or settings is None:
            self.tell_lookalikes(problems)
            self.tell_deleted(problems)
            raise DefinitionError(problems.sorted())
        look = [*ledgers.look, *entered.look]
        self.look += look
        self.notices += [*ledgers.notices, *entered.notices]
        return Definitions(
            self.files.folder,
            settings,
            entered.rows,
            self.places(candidates),
            shown,
            stray,
            self.merging.old.noted,
            self.merging.old.path,
            look,
            entered.notices,
        )

    def is_left_behind(self, name: str, row: Candidate) -> bool:
        """Whether it stood there for a row of another table that is gone, and nothing else."""
        model = MODELS[name]
        if not model.a_row_for or row.values.keys() - {*model.key} or row.unread:
            return False
        (key,), merging = model.key, self.merging
        before = merging.sides.then_workbook.get(model.a_row_for, ())
        now = (each.cells for each in merging.merged[model.a_row_for].rows)
        said = row.values.get(key)
        return said in {each[key] for each in before} - {each[key] for each in now}

    def planned(self, name: str) -> list[Candidate]:
        """Return the merged rows of a planning table, to be checked."""
        rows = [self.whole(name, row) for row in self.merging.merged[name].rows]
        self.merging.merged[name].rows = rows
        self.origins[name] = [self.merging.origin(name, row) for row in rows]
        self.formulas[name] = self.kept_formulas(name, rows)
        return [self.candidate(name, row) for row in rows]

    def candidate(self, name: str, row: MergedRow) -> Candidate:
        """Return a merged row: the exact values of the files where its cells say the same."""
        original = self.original(name, row)
        said = {} if original is None else original.cells(MODELS[name])
        values: dict[str, object] = {}
        for column, value in row.cells.items():
            exact = original.values.get(column, value) if original is not None else value
            values[column] = exact if same(said.get(column), value) else value
        values = {column: value for column, value in values.items() if value is not None}
        table, at = self.merging.old.typed.tables.get(name), self.merging.origin(name, row)
        left = row.cells.get("project") in self.deleted  # stands in the workbook alone
        said_so = original is not None and not left and self.is_as_said(name, row, original)
        if table is None or at is None or said_so:
            if original is not None:
                return Candidate(values, original.where, original.label)
            place = self.merging.drafted.get(str(row.cells.get("project")), (name, 0))
            return Candidate(values, lambda _: place, self.header(name))
        unread = frozenset(column for n, column in table.stray if n == at)

        def where(column: str) -> tuple[str, int]:
            from notchbook.workbook.read.anchors import address

            return address(table.place(at, column)), 0

        return Candidate(values, where, self.header(name), unread)

    def header(self, name: str) -> Callable[[str], str]:
        """Return what the columns of a table are called in the workbook."""
        columns = self.book.tables[name].by_name
        return lambda column: columns[column].header.split(" (")[0]

    def places(
        self, candidates: Mapping[str, Sequence[Candidate]]
    ) -> dict[tuple[str, ...], tuple[str, int]]:
        """Return where each row is mended, by table and key."""
        places = dict(self.files.places)
        for name in PLANNED_TABLES:
            for row, each in zip(self.merging.merged[name].rows, candidates[name], strict=True):
                place = each.where(self.merging.grids[name].columns[0])
                if not place[1] or row.definitions is None:
                    places[name, *name_of(row.cells, self.merging.grids[name].key)] = place
        return places

    def whole(self, name: str, row: MergedRow) -> MergedRow:
        """A typed row with what follows from it filled in: sizes of nominal lumber, a title."""
        cells = dict(row.cells)
        if row.workbook is None or name not in ("Stock", "Projects"):
            return row
        if name == "Projects":
            cells["title"] = cells["title"] or cells["project"]
        else:
            try:
                sized(cells, self.files.shop.units)
            except NominalError as error:
                place = self.candidate(name, row).where("nominal")
                self.merging.problems.add(*place, f"nominal: {error}")
        return replace(row, cells=cells)

    def original(self, name: str, row: MergedRow) -> Candidate | None:
        """Return the row of the files, unless it was made up."""
        files = self.files.rows[name]
        if name == "Pricing tiers":
            key = self.merging.grids[name].key
            names = name_of(row.cells, key)
            cells = (each.cells(MODELS[name]) for each in files)
            rows = zip(files, cells, strict=True)
            return next((each for each, its in rows if name_of(its, key) == names), None)
        return files[row.definitions] if row.definitions is not None else None

    def is_as_said(self, name: str, row: MergedRow, original: Candidate) -> bool:
        """Return whether all cells of a row are as the files say."""
        said = original.cells(MODELS[name])
        return all(
            same(row.cells.get(each), said.get(each)) for each in self.merging.grids[name].columns
        )

    def kept_formulas(self, name: str, rows: Sequence[MergedRow]) -> dict[tuple[int, str], str]:
        """What the maker typed as a formula into given cells whose value stands."""
        table = self.merging.old.typed.tables.get(name)
        if table is None:
            return {}
        found = {}
        for n, row in enumerate(rows):
            at = self.merging.origin(name, row)
            for column in self.merging.grids[name].columns if at is not None else ():
                text = table.formulas.get((at or 0, column))
                if text and same(row.cells.get(column), table.rows[at or 0].get(column)):
                    found[n, column] = text
                elif text:
                    self.gave_way(table.place(at or 0, column), text)
        return found
