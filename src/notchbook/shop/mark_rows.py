"""Planned rows of Marks and its readings, slanted ends, and what does not fit where it is told."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from math import isnan
from typing import Any

from notchbook.definitions import Definitions, Problem
from notchbook.measure import CONVERSIONS, Ruler, Units
from notchbook.planning.geometry.mitres import work_out_slant
from notchbook.planning.model.problem import Job, Part
from notchbook.sheets.kit.calculate import Filled, calculate, frame, plain
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.making.cut_list import CutRow
from notchbook.sheets.making.ends import parse_ends
from notchbook.sheets.making.marks import AT_CENTRE, MarkRow

Rows = list[dict[str, Any]]
MOST_MARKS = 1_000
"""Of one row of marks; each has a row of its own among the readings."""
POINTS_A_LINE, EDGES_A_LINE = 7, 3
"""Readings that a line of a shop sheet holds."""


def build_cut_list_rows(definitions: Definitions, jobs: Mapping[str, Job]) -> Rows:
    """Build the rows of parts, with the slant of their ends and how much larger each is cut.

    A row of a project that is not there stands as it was typed.
    """
    cut = {(part.project, part.part): part for job in jobs.values() for part in job.parts}
    rows = iter(definitions.table("Cut list", CutRow))
    found = []
    for cells in definitions.cells("Cut list"):
        more: dict[str, object] = {}
        if cells["project"] in jobs:
            row = next(rows)
            more = _slanted(row.ends) | _enlarged(row, cut[row.project, row.part])
        found.append(cells | more)
    return found


def _enlarged(row: CutRow, cut: Part) -> dict[str, object]:
    over = {
        "thickness": cut.thickness - row.thickness / (row.layers or 1),
        "width": cut.width - row.width,
        "length": cut.length - row.length,
    }
    return {f"over_{side}": float(more) for side, more in over.items() if more}


def _slanted(written: object) -> dict[str, object]:
    if not written:
        return {}
    ends = parse_ends(str(written))
    tangent = work_out_slant(ends.degrees)
    return {"degrees": float(ends.degrees), "slanted": ends.form, "tangent": tangent}


def build_mark_rows(definitions: Definitions) -> Rows:
    """Build the rows of marks, numbered."""
    return [row | {"row": n} for n, row in enumerate(definitions.cells("Marks"), 1)]


def build_reading_rows(marks: Rows) -> Rows:
    """Build a row for each mark."""
    return [
        _group_by_part(row, "row", "project", "part", "mark") | {"number": number}
        for row in marks
        for number in range(1, int(row["count"]) + 1)
    ]


def build_shop_mark_rows(marks: Rows, projects: tuple[str, ...]) -> Rows:
    """Build the lines of readings on the shop sheets; `write_readings` fills them in."""
    return [
        _group_by_part(row, "row", "project", "part", "mark")
        | {"first": first, "last": min(first + a_line - 1, int(row["count"]))}
        for row in marks
        if row["project"] in projects
        for a_line in [POINTS_A_LINE if row["mark"] in AT_CENTRE else EDGES_A_LINE]
        for first in range(1, int(row["count"]) + 1, a_line)
    ]


def write_readings(filled: Filled, ruler: Ruler) -> None:
    """Write the readings into the lines of the shop sheets, as a tape shows them."""
    lines, read = filled.tables["Shop marks"], filled.tables["Readings"]
    # a mark in the middle may stand at half a fraction
    half = Ruler(ruler.units, ruler.finest / 2)
    texts, sums = [], []
    for line in lines.itertuples():
        its = read[(read["row"] == line.row) & read["number"].between(line.first, line.last)]
        told = (
            f"{half.show(_to_exact(each.at))} to {half.show(_to_exact(each.to))}"
            if each.set_out == "edges"
            else half.show(_to_exact(each.at))
            for each in its.itertuples()
        )
        named = f"{line.part}, {line.mark}: " if line.first == 1 else "      and: "
        texts.append(named + "; ".join(told))
        sums.append(float(its["at"].sum()))
    lines["readings"], lines["reading_sum"] = texts, sums


def write_short_points(filled: Filled, ruler: Ruler) -> None:
    """Write the short point beside the ends of the shop sheets' parts."""
    cuts, parts = filled.tables["Cut list"], filled.tables["Shop parts"]
    short = {
        (row.project, row.part): f", short {ruler.show(_to_exact(row.short_point))}"
        for row in cuts[cuts["short_point"] > 0].itertuples()
    }
    parts["ends"] = [
        row.ends + (short.get((row.project, row.part), "") if row.ends else "")
        for row in parts.itertuples()
    ]


def _group_by_part(row: Mapping[str, Any], *columns: str) -> dict[str, Any]:
    return {column: row[column] for column in columns}


def find_mark_misfits(definitions: Definitions, book: Book) -> list[Problem]:
    """Find rows of marks that their part has no room for, by the rules of their sheet."""
    rows = definitions.table("Marks", MarkRow)
    crowded = [
        (row, place)
        for row, place in zip(rows, _places(definitions, rows), strict=True)
        if row.count > MOST_MARKS
    ]
    if crowded:
        return [
            Problem(*place, f"{_name_row(row)}: {row.count:,} marks; write at most {MOST_MARKS:,}")
            for row, place in crowded
        ]
    worked = _worked(definitions, book).tables["Marks"].to_dict("records")
    ruler = Ruler(definitions.settings.units, definitions.settings.show_fractions_to)
    return [
        Problem(*place, f"{_name_row(row)}: {message}")
        for row, place, found in zip(rows, _places(definitions, rows), worked, strict=True)
        if (message := _message(found, ruler))
    ]


def _name_row(row: MarkRow) -> str:
    return f"{row.mark} on {row.part} of {row.project}"


def _places(definitions: Definitions, rows: tuple[MarkRow, ...]) -> Iterator[tuple[str, int]]:
    """Tell where each row was written; of several with one name, each its own line."""
    met: Counter[tuple[str, ...]] = Counter()
    for row in rows:
        key = ("Marks", row.project, row.part, row.mark)
        met[key] += 1
        again = (*key, str(met[key]))
        yield definitions.places.get(again) or definitions.places[key]


def _worked(definitions: Definitions, book: Book) -> Filled:
    rows = definitions.table("Marks", MarkRow)
    marks = [dict(row) | {"row": n} for n, row in enumerate(rows, 1)]
    settings = definitions.settings
    cuts = definitions.table("Cut list", CutRow)
    return work_out_marks(book, cuts, marks, settings.units, settings.show_fractions_to)


def work_out_marks(
    book: Book, cuts: Sequence[CutRow], marks: Rows, units: Units, finest: Fraction
) -> Filled:
    """Work out numbered rows of marks with their readings, and no other sheet around them."""
    rows: dict[str, Any] = {"Cut list": cuts, "Marks": marks, "Readings": build_reading_rows(marks)}
    rows["Projects"] = [{"project": name} for name in {cut.project for cut in cuts}]
    filled = Filled(
        {name: frame(book.tables[name], its) for name, its in rows.items()},
        {("Settings", "show_fractions_to"): plain(finest)},
        {},
    )
    conversions = {name: by_unit[units] for name, by_unit in CONVERSIONS.items()}
    calculate(book, filled, conversions, only=("Marks", "Readings"))
    return filled


def _message(found: Mapping[str, Any], ruler: Ruler) -> str:
    """Say what is wrong with a row of marks and what to write; nothing where it fits."""

    def show(column: str) -> str:
        return f"{ruler.show(_to_exact(found[column]))} {ruler.unit}"

    if found["state"] == "too deep":
        return (
            f"it is {show('deep')} deep, and the part {show('part_width')} wide and"
            f" {show('part_thickness')} thick; write a shallower size"
        )
    if found["state"] != "does not fit":
        return ""
    if 2 * found["margin"] > found["part_length"]:
        return (
            f"margins of {show('margin')} at both ends are more than the part's"
            f" {show('part_length')}; write a smaller margin"
        )
    if found["clear"] < 0:
        return (
            f"{int(found['count'])} do not fit in {show('part_length')}: nothing is left between"
            " them; write fewer, or a smaller size, margin or gap"
        )
    reach = _to_exact(found["last"]) + _to_exact(found["along"]) - _to_exact(found["start"])
    return (
        f"from the first mark to the last they take {ruler.show(reach)} {ruler.unit}, beginning at"
        f" {show('start')}, and the part is {show('part_length')} long;"
        " write fewer, or a smaller gap"
    )


def _to_exact(number: float) -> Fraction:
    """Return a worked-out length without the noise of binary fractions."""
    return Fraction(0) if isnan(number) else Fraction(str(round(number, 6)))


def find_meeting_marks(filled: Filled) -> list[str]:
    """Find rows of marks that take some of the same place on a part, each pair once."""
    marks = filled.tables["Marks"]
    found = marks[(marks["meets"] > marks["row"])]
    return [
        f"{row.part} of {row.project}: {row.mark} (row {row.row:g} of Marks) and {row.meets_what}"
        f" (row {row.meets:g}) take some of the same place along it"
        for row in found.itertuples()
    ]
