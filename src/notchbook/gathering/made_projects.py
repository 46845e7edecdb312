"""Ideas that were asked for as projects: their rows are added once, and the ideas say made.

The rows belong to the workbook like any that a maker types there: a project that is deleted later
stays deleted, and adopt writes its file.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from notchbook.definitions import Definitions, Stated
from notchbook.definitions.reading.rows import Candidate
from notchbook.gathering.drafts import Draft, draft_project
from notchbook.gathering.files_alone import definitions_of
from notchbook.gathering.merging_sides import Merging
from notchbook.gathering.planned_rows import PlannedRows
from notchbook.merging.cells import Cells
from notchbook.merging.changes import RowChange
from notchbook.merging.merge import MergedRow
from notchbook.sheets.kit.declare import Book

MADE = "made"


def drafts_asked_for(definitions: Definitions, book: Book) -> list[Draft]:
    """Draft the ideas that say yes, as projects; one that is a project already gets no rows."""
    asked = [str(row["idea"]) for row in definitions.cells("Ideas") if row["make_it"] == "yes"]
    known = {name.casefold() for name in definitions.projects}
    return [
        Draft(idea) if idea.casefold() in known else draft_project(definitions, book, idea)
        for idea in asked
    ]


def make_in_workbook(rows: PlannedRows, made: Definitions) -> tuple[PlannedRows, Definitions]:
    """Add the projects that the ideas of a merged shop ask for; give all rows anew.

    Raises DefinitionError where their rows are wrong.
    """
    merging = rows.merging
    drafts = drafts_asked_for(made, merging.book)
    if not drafts:
        return rows, made
    for draft in drafts:
        _add(merging, draft, made.places["Ideas", draft.project])
    merging.every_price()
    again = PlannedRows(merging)
    definitions = again.definitions()
    again.notices += _told(drafts, made.places)
    return again, definitions


def _add(merging: Merging, draft: Draft, place: tuple[str, int]) -> None:
    merging.drafted[draft.project] = place
    for table, rows in draft.rows.items():
        columns = frozenset(merging.grids[table].columns)
        merging.merged[table].rows += [MergedRow(row, from_workbook=columns) for row in rows]
    ideas = merging.merged["Ideas"].rows
    for n, row in enumerate(ideas):
        if row.cells["idea"] == draft.project:
            ideas[n] = replace(row, cells={**row.cells, "make_it": MADE})
    if draft.rows:
        merging.changes.added.append(RowChange("Projects", draft.project, "workbook"))


def make_from_files(stated: Stated, made: Definitions, book: Book) -> tuple[Stated, Definitions]:
    """Add the projects that the ideas of a shop without a workbook ask for.

    Raises DefinitionError where their rows are wrong.
    """
    drafts = drafts_asked_for(made, book)
    if not drafts:
        return stated, made
    rows = {name: list(its) for name, its in stated.rows.items()}
    asked = {draft.project for draft in drafts}
    for draft in drafts:
        place = made.places["Ideas", draft.project]
        for table, its in draft.rows.items():
            rows[table] += [_candidate(row, place) for row in its]
    rows["Ideas"] = [
        replace(each, values={**each.values, "make_it": MADE})
        if each.values["idea"] in asked
        else each
        for each in rows["Ideas"]
    ]
    places = {**stated.places, **_places(drafts, made.places)}
    whole = replace(stated, rows=rows, places=places)
    definitions = definitions_of(whole)
    notices = (*definitions.notices, *_told(drafts, made.places))
    return whole, replace(definitions, notices=notices)


def _candidate(row: Cells, place: tuple[str, int]) -> Candidate:
    values = {name: value for name, value in row.items() if value is not None}
    return Candidate(values, lambda _: place, lambda name: name)


Places = Mapping[tuple[str, ...], tuple[str, int]]


def _places(drafts: list[Draft], places: Places) -> dict[tuple[str, ...], tuple[str, int]]:
    """Where the parts of drafts are mended: at their idea."""
    found: dict[tuple[str, ...], tuple[str, int]] = {}
    for draft in drafts:
        place = places["Ideas", draft.project]
        found["Projects", draft.project] = place
        for row in draft.rows.get("Cut list", ()):
            found["Cut list", draft.project, str(row["part"])] = place
    return found


def _told(drafts: list[Draft], places: Places) -> Iterator[str]:
    for draft in drafts:
        file, line = places["Ideas", draft.project]
        at = f"{file}:{line}" if line else file
        if not draft.rows:
            yield f"{at}: yes: {draft.project} is a project already, so the idea says {MADE}"
            continue
        yield (
            f"{at}: yes: {draft.project} is a project now, and the idea says {MADE}; look at its"
            " rows on Projects, Cut list, Consumables and Work steps, which are guesses"
        )
        yield from (f"{at}: left out: {what}" for what in draft.left_out)
