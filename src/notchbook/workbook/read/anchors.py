"""Places in a workbook: named for the maker, and found again by the anchors of the writer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from openpyxl.utils import get_column_letter
from openpyxl.utils.cell import column_index_from_string, coordinate_from_string
from openpyxl.utils.exceptions import CellCoordinatesException
from openpyxl.workbook import Workbook

from notchbook.workbook.file.book import names_of
from notchbook.workbook.layout.anchor_names import Place, identifier

__all__ = ["Place", "address", "addresses", "find_anchors", "heads_of", "place_of"]


LAST_ROW, LAST_COLUMN = 1_048_576, 16_384  # of a sheet


def address(place: Place) -> str:
    """A place as a maker finds it: `Stock!H9`."""
    return f"{place[0]}!{get_column_letter(place[2])}{place[1]}"


def addresses(places: Iterable[Place]) -> list[str]:
    """Places as a maker finds them, runs of one column as `Stock!H9:H12`."""
    runs: list[tuple[Place, int]] = []
    for place in sorted(places, key=lambda each: (each[0], each[2], each[1])):
        first, last = runs[-1] if runs else (place, 0)
        if (place[0], place[2]) == (first[0], first[2]) and place[1] == last + 1:
            runs[-1] = (first, place[1])
        else:
            runs.append((place, place[1]))
    return [
        address(first) + (f":{get_column_letter(first[2])}{last}" if last > first[1] else "")
        for first, last in runs
    ]


def find_anchors(workbook: Workbook) -> dict[str, Place]:
    """The places that our defined names point to, wherever they were moved."""
    anchors, titles = {}, frozenset(workbook.sheetnames)
    for name, defined in names_of(workbook).items():
        if name.startswith("nb_"):
            place = place_of(defined.attr_text or "")
            if place is not None and place[0] in titles:
                anchors[name] = place
    return anchors


def heads_of(table: str, anchors: Mapping[str, Place]) -> dict[str, Place]:
    """The headers of a table by the names of their columns, also of columns that are no more."""
    prefix = f"nb_{identifier(table)}_"
    found = {
        name.removeprefix(prefix): place
        for name, place in anchors.items()
        if name.startswith(prefix)
    }
    found.pop("head", None)  # the table's own anchor
    return found


def place_of(target: str) -> Place | None:
    """The place that a defined name means; None where it points nowhere."""
    sheet, _, cell = target.rpartition("!")
    if not sheet or "#REF" in target or ":" in cell:
        return None
    sheet = sheet.removeprefix("$")
    if sheet.startswith("'"):
        sheet = sheet[1:-1].replace("''", "'")
    try:
        letters, row = coordinate_from_string(cell.replace("$", ""))
        column = column_index_from_string(letters)
    except (ValueError, CellCoordinatesException):
        return None
    return (sheet, row, column) if row <= LAST_ROW and column <= LAST_COLUMN else None
