"""The rows that checks count, named: up to three each, as the maker knows them."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from math import isnan
from typing import Any

from notchbook.language.evaluate import Values, rows_of
from notchbook.language.expressions import Expression, Line, SumLines
from notchbook.language.functions import from_serial
from notchbook.language.value_kinds import Kind
from notchbook.language.walking import walk
from notchbook.sheets.checks.lines import counted_rows
from notchbook.sheets.kit.calculate import Filled, Target
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import Book, Table

_MOST = 3
_WORDS = 3  # of a row without a key


def name_rows(book: Book, filled: Filled, units: Mapping[str, int]) -> None:
    """Fill in the names of what open checks count, rows or lines, and a way to the first of it."""
    values = Values(filled.tables, filled.lines, units)
    for sheet, block in book.lines.items():
        for row in block.rows:
            for cell in row.cells:
                if cell.names is None:
                    continue
                is_open = filled.lines[sheet, row.cells[1].name] != "OK"
                find = _find_lines if isinstance(cell.names, Line) else _find_rows
                found = list(find(book, values, cell.names)) if is_open else []
                filled.lines[sheet, cell.name] = _some([*dict.fromkeys(name for name, _ in found)])
                if found:
                    filled.links[sheet, cell.name] = found[0][1]


def _find_rows(book: Book, values: Values, counts: Expression) -> Iterator[tuple[str, Target]]:
    """Find the rows that a sum of counts counts, with their names."""
    for total in counted_rows(counts):
        table, rows = book.tables[total.table], values.tables[total.table]
        for n in rows_of(total, values):
            at = Target(table.name, table.drawn[0].name, n)
            yield _name(table, rows.iloc[n].to_dict()), at


def _find_lines(book: Book, values: Values, counts: Expression) -> Iterator[tuple[str, Target]]:
    """Find the lines beside which stands what a line adds up, with their labels."""
    assert isinstance(counts, Line)
    lines = book.lines[counts.sheet]
    rule = lines.cells[counts.name].whole
    added = {
        name
        for node in (walk(rule) if rule is not None else ())
        if isinstance(node, SumLines)
        for name in node.names
    }
    for row in lines.rows:
        for cell in row.cells:
            if cell.name in added and values.lines[counts.sheet, cell.name]:
                at = Target(counts.sheet, row.cells[0].name)
                yield f"{row.mark} {row.label}".strip(), at


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
