"""A written workbook read back: does every given cell say what it must?"""

from __future__ import annotations

from datetime import date
from math import isnan
from typing import Any

from notchbook.language.expressions import Kind
from notchbook.language.functions import to_serial
from notchbook.measure import Units
from notchbook.merging.cells import same
from notchbook.sheets.kit.calculate import Filled
from notchbook.sheets.kit.declare import Book, Role
from notchbook.sheets.kit.show import Look
from notchbook.workbook.carry.carry_over import Formulas
from notchbook.workbook.read.anchors import address
from notchbook.workbook.read.typed import TypedTable, read_typed


def differences(
    data: bytes, book: Book, filled: Filled, units: Units, formulas: Formulas
) -> list[str]:
    """Every given cell that reads back otherwise than it was meant, by sheet and cell."""
    typed = read_typed(data, book, units, whole=False)
    wrong = [f"{name} is missing" for name in typed.gone]
    for name, table in typed.tables.items():
        wrong += _in_table(table, filled, formulas.get(name, {}))
    for name, lines in book.lines.items():
        for cell in lines.cells.values():
            if cell.role is Role.GIVEN and (0, cell.name) not in formulas.get(name, {}):
                found = typed.lines.get(name, {}).get(cell.name)
                if not _agrees(found, filled.lines[name, cell.name], cell.look):
                    wrong.append(f"{name}, {cell.name}: {found}")
    return wrong


def _in_table(table: TypedTable, filled: Filled, formulas: Any) -> list[str]:
    frame = filled.tables[table.table.name]
    stray = filled.stray.get(table.table.name, {})
    wrong = []
    for column in table.table.columns:
        if column.role is not Role.GIVEN:
            continue
        meant = frame[column.name].tolist()
        for row, value in enumerate(meant):
            if (row, column.name) in stray or (row, column.name) in formulas:
                at = (row, column.name)
                if at not in table.formulas and at not in table.stray:
                    wrong.append(address(table.place(row, column.name)))
                continue
            found = table.rows[row].get(column.name) if row < len(table.rows) else None
            if not _agrees(found, value, column.look):
                wrong.append(f"{address(table.place(row, column.name))} says {found}")
    if len(table.rows) > len(frame):
        wrong.append(f"{table.sheet} has {len(table.rows) - len(frame)} rows too many")
    return wrong


def _agrees(found: object, meant: Any, look: Look) -> bool:
    if meant == "" or (isinstance(meant, float) and isnan(meant)):
        return found is None
    match found:
        case date() if look.kind is Kind.DATE:
            return to_serial(found) == float(meant)
        case str() if look.kind is Kind.TEXT:
            return found == str(meant)
        case float():
            return same(found, float(meant))
    return False
