"""The merge of a shop's planning tables and settings, as files and workbook have them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from notchbook.base.problems import Problems
from notchbook.base.refusals import RefusedError
from notchbook.definitions import Stated
from notchbook.definitions.reading.naming import NAMING
from notchbook.gathering.idea_pairs import placed_as
from notchbook.gathering.made_from import copy_rows
from notchbook.gathering.sides import (
    OF_THE_FILES,
    PLANNED_TABLES,
    SETTINGS,
    Sided,
    cells_of,
    grids,
)
from notchbook.merging.cells import Key, Value, name_of, numbered, same
from notchbook.merging.changes import CellChange, Changes, Renamed, shown
from notchbook.merging.merge import Before, Merged, MergedRow, merge
from notchbook.merging.renames import Sides, composed, follow, recognise
from notchbook.sheets.kit.declare import Book

if TYPE_CHECKING:
    from notchbook.workbook.read.old_book import OldBook
    from notchbook.workbook.read.typed import TypedTable


class Merging:
    """Both surfaces of a shop, then and now, and all tables merged.

    `merged` holds the tables, `changes` what was done, `problems` cells that nobody understands.
    """

    def __init__(self, stated: Stated, book: Book, old: OldBook, dated: bool) -> None:
        self.files, self.book, self.old = stated, book, old
        self.grids = grids(book, stated.shop.spelling)
        self.problems = Problems()
        self.changes, self.notices, self.look = Changes(), list[str](), list[str]()
        self.renamed: list[Renamed] = []  # now, and what the next compile must know of
        self.standing: list[Renamed] = []
        self.merged: dict[str, Merged] = {}
        self.drafted: dict[str, tuple[str, int]] = {}  # projects made of ideas, and where from
        said = cells_of(stated)
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
        self.sides.definitions["Ideas"] = placed_as(
            self.sides.definitions["Ideas"], self.sides.workbook["Ideas"]
        )
        if not dated:  # the day was typed, or set when the workbook was new
            self.sides.definitions[SETTINGS][0]["as_of"] = (
                self.sides.then_definitions[SETTINGS][0]["as_of"]
                if self.known
                else self.sides.workbook[SETTINGS][0]["as_of"]
            )
        self.note_made()
        self.refuse_other_units()
        self.restore_lost()

    def run(self) -> None:
        """Merges all tables, and lists what that did."""
        state = self.old.state
        if state is not None:
            standing = follow(state.renamed, self.sides.definitions, NAMING)
            self.renamed = recognise(self.sides, self.grids, NAMING)
            told = ("workbook", "definitions")
            self.changes.renamed += [each for each in self.renamed if each.side in told]
            self.changes.conflicts += [
                CellChange(
                    *(each.table, each.new, each.column, each.new, each.old),
                    header=self.grids[each.table].headers.get(each.column, ""),
                )
                for each in self.renamed
                if each.side == "conflict"
            ]
            self.standing = follow(composed(standing, self.renamed), cells_of(self.files), NAMING)
        copy_rows(self)
        for name in self.grids:
            if name != "Pricing tiers":
                self.merge(name, frozenset())
        self.merge("Pricing tiers", self.every_price())
        self.settings_of_the_files()
        self.date_counts()
        self.refuse_without_projects()

    def deleted_projects(self) -> frozenset[str]:
        """Name the projects whose rows were deleted in the workbook, now or before."""
        sides, name = self.sides, "Projects"
        said = (*sides.definitions[name], *sides.then_workbook.get(name, ()))
        known = {str(row["project"]) for row in said if row["project"]}
        if self.old.state is not None:
            known |= {*self.old.state.deleted}
        return frozenset(known - {str(row.cells["project"]) for row in self.merged[name].rows})

    def refuse_without_projects(self) -> None:
        """A shop has a project, in the workbook as in the files."""
        if not self.merged["Projects"].rows:
            deleted = ", ".join(sorted(self.deleted_projects()))
            self.problems.add(
                "Projects",
                0,
                "no project is left; write one there, or bring back a row that was deleted"
                f" ({deleted})",
            )

    def origin(self, name: str, row: MergedRow) -> int | None:
        """The row of the old sheet, counted from below its header."""
        return None if row.workbook is None else self.rows_here[name][row.workbook]

    def both_sides(self, name: str) -> Sided:
        """The rows of the files beside those of the merge, each row once."""
        grid, said = self.grids[name], cells_of(self.files)[name]
        if name == "Ideas":
            said = placed_as(said, self.sides.workbook[name])
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
            if state is not None and name not in state.tables:
                return []  # new in this version
            rows = state.tables[name].workbook if state is not None else ()
            self.notices.append(f"{name}: the sheet was deleted; it is put back")
            return [(None, dict(row)) for row in rows]
        self.note_strays(name, table)
        return [(at, row) for at, row in enumerate(table.rows) if not table.is_blank(at)]

    def note_strays(self, name: str, table: TypedTable) -> None:
        """Cells of a planning table that nobody understands are problems."""
        for (_, column), stray in table.stray.items():
            what = f"'{str(stray.raw)[:40]}' is not understood; {stray.why}"
            header = self.grids[name].headers[column]
            self.problems.add(stray.address, 0, f"{header}: {what}")

    def typed_settings(self, then: Mapping[str, Before]) -> tuple[int | None, dict[str, Value]]:
        """The single values as they were typed; deleted cells as they were."""
        found = dict(self.old.typed.lines.get(SETTINGS, {}))
        before = (
            then[SETTINGS].workbook[0] if SETTINGS in then else cells_of(self.files)[SETTINGS][0]
        )
        for name in self.grids[SETTINGS].columns:
            if (SETTINGS, name) not in self.old.typed.line_places:
                found[name] = before.get(name)  # its cell was deleted
                if SETTINGS in then and name in before:
                    said = shown(before[name])
                    header = self.grids[SETTINGS].headers[name]
                    self.notices.append(f"{SETTINGS}: {header} was deleted; it is back: {said}")
        for (sheet, name), stray in self.old.typed.line_strays.items():
            if sheet == SETTINGS:
                what = f"'{str(stray.raw)[:40]}' is not understood; {stray.why}"
                header = self.grids[SETTINGS].headers[name]
                self.problems.add(stray.address, 0, f"{header}: {what}")
        return None, found

    def note_made(self) -> None:
        """Ideas whose projects adopt wrote before a compile made them are made here, too."""
        from notchbook.workbook.read.anchors import address

        said = self.sides.definitions["Ideas"]
        made = {row["idea"] for row in said if row["make_it"] == "made"}
        table = self.old.typed.tables.get("Ideas")
        for at, row in zip(self.rows_here["Ideas"], self.sides.workbook["Ideas"], strict=True):
            if table is None or at is None or row["make_it"] != "yes" or row["idea"] not in made:
                continue
            row["make_it"] = "made"
            cell = address(table.place(at, "make_it"))
            self.notices.append(f"{cell}: yes: {row['idea']} is a project already; it says made")

    def refuse_other_units(self) -> None:
        """A workbook of inches cannot be read as millimetres."""
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
            lost = [column.name for column in table.lost]
            headers = (column.header.split(" (")[0] for column in table.lost)
            self.notices += [
                f"{name}: the column {each} was deleted; it is put back" for each in headers
            ]
            grid = self.grids.get(name)
            if grid is None or not lost:
                continue
            left = replace(grid, columns=tuple(each for each in grid.columns if each not in lost))
            then, here = self.sides.then_workbook.get(name, ()), self.sides.workbook[name]
            before = dict(zip(numbered(left, then), then, strict=True))
            for key, row in zip(numbered(left, here, before), here, strict=True):
                row |= {column: before.get(key, {}).get(column) for column in lost}

    # --- merging ----------------------------------------------------------------------------------

    def merge(self, name: str, made_up: frozenset[Key]) -> None:
        """Merges one table."""
        sides = self.sides
        before = None
        if self.known:
            before = Before(sides.then_definitions.get(name, ()), sides.then_workbook.get(name, ()))
        said, here = sides.definitions[name], sides.workbook[name]
        self.merged[name] = merge(self.grids[name], before, said, here, made_up)
        self.changes.extend(self.merged[name].changes)

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
        changes = self.changes
        for name in OF_THE_FILES:
            here = self.sides.workbook[SETTINGS][0].get(name)
            if same(here, said[name]):
                continue
            row = merged.rows[0]
            merged.rows[0] = replace(row, cells={**row.cells, name: said[name]})
            for told in (changes.kept, changes.conflicts):
                told[:] = [each for each in told if not _is_setting(each, name)]
            if not any(_is_setting(each, name) for each in changes.taken):
                what = "it was cleared" if here is None else f"{shown(here)} was typed"
                self.look.append(
                    f"{self.setting_place(name)}: {what}, but {name} is changed in shop.yaml alone;"
                    f" {shown(said[name])} stands there again"
                )

    def setting_place(self, name: str) -> str:
        """Where a setting stands in the workbook."""
        from notchbook.workbook.read.anchors import address

        place = self.old.typed.line_places.get((SETTINGS, name))
        return SETTINGS if place is None else address(place)

    def newest_day(self) -> Value:
        """The as-of day, or that of the newest slip or run of its year.

        It may have been set months ago; what was counted now was counted after all that is typed.
        """
        as_of = self.merged[SETTINGS].rows[0].cells["as_of"]
        tables = (self.old.typed.tables.get(name) for name in ("Purchases", "Production log"))
        days = (row.get("date") for table in tables if table is not None for row in table.rows)
        if not isinstance(as_of, date):
            return as_of
        year = self.files.shop.year
        return max([as_of, *(d for d in days if isinstance(d, date) and d.year == year)])

    def date_counts(self) -> None:
        """Where on hand was changed and its day was not, write the day there, and tell."""
        from notchbook.workbook.read.anchors import address

        grid, stock = self.grids["Stock"], self.merged["Stock"]
        then = {name_of(row, grid.key): row for row in self.sides.then_workbook.get("Stock", ())}
        day, table = self.newest_day(), self.old.typed.tables.get("Stock")
        for n, row in enumerate(stock.rows):
            before, now = then.get(name_of(row.cells, grid.key)), row.cells
            if (
                before is None
                or same(before.get("on_hand") or 0.0, now["on_hand"] or 0.0)
                or not same(before.get("counted_on"), now["counted_on"])
            ):
                continue
            stock.rows[n] = replace(row, cells={**now, "counted_on": day})
            at = self.origin("Stock", row)
            place = "Stock"
            if table is not None and at is not None:
                place = address(table.place(at, "on_hand"))
            self.notices.append(
                f"{place}: on hand of {now['stock']} was changed, so counted on says {day}; if it"
                " was counted on another day, write that"
            )


def _price(project: str, tier: str) -> dict[str, Value]:
    """A row of Pricing tiers for which no price is asked."""
    return {"project": project, "tier": tier, "asked": None}


def _is_setting(change: CellChange, name: str) -> bool:
    return (change.table, change.column) == (SETTINGS, name)
