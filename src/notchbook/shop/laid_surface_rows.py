"""Planned rows of Laid surfaces: what the geometry of each lay says."""

from __future__ import annotations

from typing import Any

from notchbook.definitions import DefinitionError, Definitions, Problem
from notchbook.language.evaluate import Values, evaluate
from notchbook.measure import CONVERSIONS, Ruler
from notchbook.plan_views.laid_surface_words import list_lengths_left
from notchbook.planning.geometry.outlines import LaidSurface
from notchbook.planning.geometry.strip_counts import count_strips_needed
from notchbook.sheets.kit.calculate import frame
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.making.laid_surfaces import LaidRow

Rows = list[dict[str, Any]]
MOST_STRIPS = 2_000
MOST_SLENDER = 100


def count_strips(definitions: Definitions, book: Book) -> dict[tuple[str, str], int]:
    """Count the strips a unit of each laid surface, by the rule of its sheet."""
    rows = definitions.table("Laid surfaces", LaidRow)
    counted = _counted(definitions)
    laid = frame(
        book.tables["Laid surfaces"],
        [dict(row) | {"counted": counted[row.project, row.surface]} for row in rows],
    )
    units = definitions.settings.units
    conversions = {name: by_unit[units] for name, by_unit in CONVERSIONS.items()}
    rule = book.tables["Laid surfaces"].by_name["strips"].whole
    assert rule is not None
    strips = evaluate(rule, Values({}, {}, conversions, laid))
    return {(row.project, row.surface): int(n) for row, n in zip(rows, strips, strict=True)}


def build_laid_surface_rows(definitions: Definitions) -> Rows:
    """Build the rows of laid surfaces: strips counted, and what trimming leaves of them."""
    found = lay_surfaces(definitions)
    settings = definitions.settings
    ruler = Ruler(settings.units, settings.show_fractions_to)
    rows: Rows = []
    for row in definitions.cells("Laid surfaces"):
        lay = found.get((str(row["project"]), str(row["surface"])))
        if lay is None:
            rows.append(row)
            continue
        told = {
            "counted": len(lay.strips),
            "whole": lay.whole,
            "lengths": list_lengths_left(lay, ruler),
        }
        rows.append(row | told)
    return rows


def lay_surfaces(definitions: Definitions) -> dict[tuple[str, str], LaidSurface]:
    """Lay each surface; they are found by project and name."""
    return {
        (row.project, row.surface): LaidSurface(
            row.pattern, row.width, row.height, row.strip_width, row.strip_length
        )
        for row in definitions.table("Laid surfaces", LaidRow)
    }


def _counted(definitions: Definitions) -> dict[tuple[str, str], int]:
    """Count the strips of each surface.

    Raises DefinitionError for strips that cannot be laid so.
    """
    counted, problems = {}, []
    for row in definitions.table("Laid surfaces", LaidRow):
        try:
            counted[row.project, row.surface] = _strips(row)
        except ValueError as error:
            place = definitions.place_of_part(row.project, row.surface)
            problems.append(Problem(*place, f"{row.surface} of {row.project}: {error}"))
    if problems:
        raise DefinitionError(problems)
    return counted


def _strips(row: LaidRow) -> int:
    if row.width * row.height > MOST_STRIPS * row.strip_width * row.strip_length:
        raise ValueError(f"more than {MOST_STRIPS:,} strips; write wider or longer ones")
    if row.pattern == "herringbone" and row.strip_length > MOST_SLENDER * row.strip_width:
        raise ValueError(
            f"its strips are over {MOST_SLENDER} times as long as wide; write shorter or wider ones"
        )
    # between its long points, a chevron strip covers only as much as it is longer than wide
    step = row.strip_length - row.strip_width
    if row.pattern == "chevron" and row.width * row.height > MOST_STRIPS * step * row.strip_width:
        raise ValueError(f"more than {MOST_STRIPS:,} strips; write longer ones")
    return count_strips_needed(
        row.pattern, row.width, row.height, row.strip_width, row.strip_length
    )
