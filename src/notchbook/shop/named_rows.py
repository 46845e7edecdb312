"""The rows that checks count, named: up to three each, as the maker knows them."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from math import isnan
from typing import Any

from notchbook.language.evaluate import Values, rows_of
from notchbook.language.functions import from_serial
from notchbook.language.value_kinds import Kind
from notchbook.sheets.checks.lines import counted_rows
from notchbook.sheets.kit.calculate import Filled, Target
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import Book, Table

_MOST = 3
_WORDS = 3  # of a row without a key


def name_rows(book: Book, filled: Filled, units: Mapping[str, int]) -> None:
    """Fill in the names of the rows that open checks count, and a way to the first of them."""
    values = Values(filled.tables, filled.lines, units)
    for sheet, block in book.lines.items():
        for row in block.rows:
            for cell in row.cells:
                if cell.names is None:
                    continue
                is_open = filled.lines[sheet, row.cells[1].name] != "OK"
                rows = [
                    (total.table, n)
                    for total in (counted_rows(cell.names) if is_open else ())
                    for n in rows_of(total, values)
                ]
                found = [
                    _name(book.tables[table], filled.tables[table].iloc[n].to_dict())
                    for table, n in rows
                ]
                filled.lines[sheet, cell.name] = _some(list(dict.fromkeys(found)))
                if rows:
                    table, n = rows[0]
                    filled.links[sheet, cell.name] = Target(
                        table, book.tables[table].drawn[0].name, n
                    )


def _some(names: list[str]) -> str:
    more = len(names) - _MOST
    return "; ".join(names[:_MOST]) + (f"; and {more} more" if more > 0 else "")


def _name(table: Table, cells: Mapping[Hashable, Any]) -> str:
    """Name a row by its key, else by the first days and words that it holds."""
    key = () if table.row is None else table.row.key
    said = list(_said(table, cells, key))
    return " ".join(said if key else said[:_WORDS])


def _said(table: Table, cells: Mapping[Hashable, Any], key: tuple[str, ...]) -> Iterator[str]:
    for column in table.columns:
        if column.role is Role.COMPUTED or (key and column.name not in key):
            continue
        value = cells[column.name]
        if column.look.kind is Kind.TEXT and value:
            yield str(value)
        elif column.look.kind is Kind.DATE and not isnan(value):
            yield str(from_serial(value))
