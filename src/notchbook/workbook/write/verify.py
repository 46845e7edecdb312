"""A written workbook read back: does every given cell say what it must, and every anchor point?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import isnan
from typing import Any

from notchbook.merging.cells import same
from notchbook.sheets.kit.calculate import Filled
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import Book
from notchbook.workbook.carry.carry_over import Formulas
from notchbook.workbook.file.package_cells import PackageCells
from notchbook.workbook.layout.anchor_names import identifier
from notchbook.workbook.layout.layout import TableSpot, arrange
from notchbook.workbook.read.anchors import Place, address, place_of


def differences(
    new: PackageCells, book: Book, filled: Filled, units: Mapping[str, int], formulas: Formulas
) -> list[str]:
    """Return every anchor and given cell that reads back otherwise than it was meant.

    `formulas` are those that the maker typed into given cells.
    """
    layout = arrange(book, filled, units)
    wrong: list[str] = []
    for name, spot in layout.tables.items():
        wrong += _in_table(new, spot, filled, formulas.get(name, {}))
    for name, lines in layout.lines.items():
        for cell in lines.lines.cells.values():
            place = (lines.sheet, *lines.addresses[cell.name])
            if not _points(new, name, cell.name, place):
                wrong.append(f"the anchor of {address(place)}")
            if cell.role is not Role.GIVEN or (0, cell.name) in formulas.get(name, {}):
                continue
            if not _agrees(new, place, filled.lines[name, cell.name]):
                wrong.append(address(place))
    return wrong


def _points(new: PackageCells, table: str, name: str, place: Place) -> bool:
    """Tell whether an anchor points to a place."""
    return place_of(new.names.get(f"nb_{identifier(table)}_{name}", "")) == place


def _in_table(new: PackageCells, spot: TableSpot, filled: Filled, formulas: Any) -> Iterator[str]:
    frame = filled.tables[spot.table.name]
    stray = filled.stray.get(spot.table.name, {})
    sheet = new.sheets[spot.sheet]
    for number, column in zip(spot.places, spot.columns, strict=True):
        head = (spot.sheet, spot.head_row, number)
        if not _points(new, spot.table.name, column.name, head):
            yield f"the anchor of {address(head)}"
        if column.role is not Role.GIVEN:
            continue
        for row, value in enumerate(frame[column.name].tolist()):
            place = (spot.sheet, spot.first_row + row, number)
            if (row, column.name) in formulas:
                agrees = sheet.formula(*place[1:]) is not None
            elif (row, column.name) in stray:
                agrees = sheet.value(*place[1:]) is not None
            else:
                agrees = _agrees(new, place, value)
            if not agrees:
                yield f"{address(place)} says {sheet.value(*place[1:])}"
        below = range(spot.first_row + len(frame), spot.last_row + 1)
        yield from (
            f"{address((spot.sheet, row, number))} is not blank"
            for row in below
            if sheet.value(row, number) is not None
        )


def _agrees(new: PackageCells, place: Place, meant: Any) -> bool:
    found = new.sheets[place[0]].value(*place[1:])
    if meant == "" or (isinstance(meant, float) and isnan(meant)):
        return found is None
    if isinstance(meant, str) or not isinstance(found, float):
        return isinstance(found, str) and found == meant
    return same(found, float(meant))
