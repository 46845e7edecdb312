"""Merged cells made the rows that planning and the sheets take."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from notchbook.definitions import LEDGER_TABLES, DefinitionError, Definitions
from notchbook.definitions.reading.merged_rows import Candidate, Where, make_rows, sized
from notchbook.definitions.reading.rows import checked
from notchbook.gathering.ledgers import Ledgers
from notchbook.gathering.merging_sides import Merging
from notchbook.gathering.sides import PLANNED_TABLES, SETTINGS, named
from notchbook.merging.cells import Cells, cell, name_of, same
from notchbook.merging.merge import MergedRow
from notchbook.sheets.kit.declare import Row
from notchbook.sheets.kit.settings import ShopSettings

if TYPE_CHECKING:
    from notchbook.workbook.read.anchors import Place


class PlannedRows:
    """The definitions that a merge makes, and for each row of a table where it stood before.

    `formulas` holds what the maker typed as formulas into given cells, `look` and `notices` what
    to tell.
    """

    def __init__(self, merging: Merging) -> None:
        self.merging, self.files, self.book = merging, merging.files, merging.book
        self.origins: dict[str, list[int | None]] = {}
        self.formulas: dict[str, dict[tuple[int, str], str]] = {}
        self.look: list[str] = []
        self.notices: list[str] = []

    def settings(self) -> ShopSettings:
        """The merged settings, checked; their problems are noted."""
        cells = self.merging.merged[SETTINGS].rows[0].cells
        values: dict[str, object] = {}
        for name in ShopSettings.model_fields:
            exact = getattr(self.files.settings, name)
            value = exact if same(cell(exact), cells.get(name)) else cells.get(name)
            if value is not None:
                values[name] = value

        def report(name: str, message: str) -> None:
            self.merging.problems.add(*self.line_place(name), f"{name}: {message}")

        self.formulas[SETTINGS] = self.setting_formulas(cells)
        return checked(ShopSettings, values, report) or self.files.settings

    def setting_formulas(self, cells: Cells) -> dict[tuple[int, str], str]:
        """What the maker typed as formulas on Settings, where their value stands."""
        typed = self.merging.old.typed
        found = {}
        for (sheet, name), text in typed.line_formulas.items():
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

    def definitions(self, settings: ShopSettings) -> Definitions:
        """The merged definitions.

        Raises DefinitionError with all problems of cells and settings.
        """
        candidates: dict[str, list[Candidate]] = {}
        shown: dict[str, list[Mapping[str, object]]] = {}
        places = dict(self.files.places)
        for name in PLANNED_TABLES:
            merged = [self.whole(name, row) for row in self.merging.merged[name].rows]
            self.merging.merged[name].rows = merged
            candidates[name] = [
                Candidate(row.cells, self.original(name, row), self.where(name, row))
                for row in merged
            ]
            shown[name] = [dict(row.cells) for row in merged]
            self.origins[name] = [self.merging.origin(name, row) for row in merged]
            self.formulas[name] = self.kept_formulas(name, merged)
            for candidate in candidates[name]:
                key = name_of(candidate.cells, self.merging.grids[name].key)
                place = candidate.where(self.merging.grids[name].columns[0])
                if candidate.original is None or not place[1]:
                    places[name, *key] = place
        models = {name: self.model(name) for name in PLANNED_TABLES}
        rows_made = make_rows(candidates, models, settings.units, self.merging.problems)
        if self.merging.problems.sorted():
            raise DefinitionError(self.merging.problems.sorted())
        stray: dict[str, dict[tuple[int, str], object]] = {}
        ledgers = Ledgers(self.merging, shown)
        for name in LEDGER_TABLES:
            table = self.merging.old.typed.tables.get(name)
            shown[name], stray[name] = [], {}
            if table is not None:
                self.origins[name] = list(range(len(table.rows)))
                shown[name], stray[name] = ledgers.carried(table)
                self.formulas[name] = dict(table.formulas)
        self.look += ledgers.look
        self.notices += ledgers.notices
        rows = rows_made | dict.fromkeys(LEDGER_TABLES, ())
        old, folder = self.merging.old, self.files.folder
        return Definitions(folder, settings, rows, places, shown, stray, old.noted, old.path)

    def whole(self, name: str, row: MergedRow) -> MergedRow:
        """A typed row with what follows from it filled in: sizes of nominal lumber, a title."""
        cells = dict(row.cells)
        if row.workbook is None or name not in ("Stock", "Projects"):
            return row
        if name == "Projects":
            cells["title"] = cells["title"] or cells["project"]
        else:
            sized(cells, self.files.settings.units, self.where(name, row), self.merging.problems)
        return replace(row, cells=cells)

    def model(self, name: str) -> type[Row]:
        """The row model of a table."""
        model = self.book.tables[name].row
        assert model is not None
        return model

    def original(self, name: str, row: MergedRow) -> Row | None:
        """The row of the files, unless it was made up or goes by another name there."""
        files = self.files.rows[name]
        if name == "Pricing tiers":
            key = name_of(row.cells, self.merging.grids[name].key)
            return next((each for each in files if named(each) == key), None)
        return files[row.definitions] if row.definitions is not None else None

    def where(self, name: str, row: MergedRow) -> Where:
        """Where a cell is mended: in the workbook where it came from there, else in the files."""

        def place(column: str) -> tuple[str, int]:
            from notchbook.workbook.read.anchors import address

            table = self.merging.old.typed.tables.get(name)
            at, original = self.merging.origin(name, row), self.original(name, row)
            if table is not None and at is not None and not self.is_as_said(name, row, original):
                return address(table.place(at, column)), 0
            key = () if original is None else named(original)
            return self.files.places.get((name, *key), (name, 0))

        return place

    def is_as_said(self, name: str, row: MergedRow, original: Row | None) -> bool:
        """Whether all cells of a row are as the files say."""
        return original is not None and all(
            same(row.cells.get(each), cell(getattr(original, each)))
            for each in self.merging.grids[name].columns
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
