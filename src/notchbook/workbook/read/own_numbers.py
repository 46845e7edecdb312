"""What a workbook itself says of its worked-out lines, as last calculated in it."""

from __future__ import annotations

from notchbook.language.value_kinds import Kind
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import Lines
from notchbook.workbook.read.anchors import address
from notchbook.workbook.read.typed import TypedBook


def own_numbers(typed: TypedBook, lines: Lines) -> dict[str, tuple[str, object]]:
    """By the name of a worked-out number: where it stands, and the value that the file holds.

    None where the program that saved it does not calculate.
    """
    found: dict[str, tuple[str, object]] = {}
    for cell in lines.cells.values():
        place = typed.line_places.get((lines.name, cell.name))
        if place is not None and cell.role is Role.COMPUTED and cell.look.kind is Kind.NUMBER:
            sheet, row, column = place
            found[cell.name] = address(place), typed.cached[sheet].cell(row, column).value
    return found
