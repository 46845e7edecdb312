"""Parts, surfaces laid with strips, and marks on parts."""

from __future__ import annotations

from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.places import Found
from notchbook.sheets.making.cut_list import CutRow
from notchbook.sheets.making.laid_surfaces import LaidRow
from notchbook.sheets.making.marks import MarkRow

_SIZE = ("thickness", "width", "length")
_STRIP = ("strip_thickness", "strip_width", "strip_length")


def read_parts(found: Found, project: str, known: Known) -> None:
    """Make rows of the parts."""
    note_open(found, "parts", "Cut list", known)
    for part in found.each("parts"):
        values = {
            **part.pick("part", "make", "ends", "turn"),
            **part.lengths("size", *_SIZE),
            "project": project,
            "stocks": _stocks(part),
        }
        written_as = {**dict.fromkeys(_SIZE, "size"), "stocks": "from"}
        known.row("Cut list", CutRow, part, values, written_as)


def read_laid(found: Found, project: str, known: Known) -> None:
    """Make rows of the laid surfaces."""
    note_open(found, "laid", "Laid surfaces", known)
    for laid in found.each("laid"):
        values = {
            **laid.pick("surface", "pattern", "width", "height", "waste"),
            **laid.lengths("strip", *_STRIP),
            "project": project,
            "stocks": _stocks(laid),
        }
        written_as = {**dict.fromkeys(_STRIP, "strip"), "stocks": "from"}
        known.row("Laid surfaces", LaidRow, laid, values, written_as)


def note_open(found: Found, key: str, table: str, known: Known) -> None:
    """Note that not all rows of a table are known, where a list cannot be read."""
    if found.has(key) and key not in found.values:
        known.gathered.open.add(table)


def _stocks(found: Found) -> str | None:
    """The stocks a thing may be cut from, as a cell lists them."""
    return "; ".join(each.text for each in found.names("from")) or None


def read_marks(found: Found, project: str, known: Known) -> None:
    """Make a row of each mark on each part."""
    for mark in found.each("marks"):
        values = {
            **mark.pick("mark", "count", "spread", "first", "gap", "margin"),
            **mark.lengths("size", "along", "deep"),
            "project": project,
        }
        for part in mark.names("on"):
            written_as = {"along": "size", "deep": "size", "part": "on"}
            known.row("Marks", MarkRow, mark, {**values, "part": part.text}, written_as)
