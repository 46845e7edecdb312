"""All computed columns and lines of a book, in the order of what they need."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from typing import Any

import numpy as np
import pandas as pd

from notchbook.language.evaluate import TEXT_THERE, Values, evaluate
from notchbook.language.functions import to_serial
from notchbook.language.order import Name
from notchbook.language.value_kinds import Kind
from notchbook.sheets.kit.columns import Role, Row
from notchbook.sheets.kit.declare import Book, Table


@dataclass(frozen=True, slots=True)
class Target:
    """A cell that a link leads to: a column of a table's row, or a line.

    Without a row the owner may be a sheet, too, and `name` the address of a cell.
    """

    owner: str
    name: str = "A1"
    row: int | None = None


@dataclass
class Filled:
    """What a workbook shows: a frame a table, a value a line, a number above some headers.

    `stray` holds, by table, row and column, what a maker typed that nobody understands; in the
    frames such a cell is blank. `links` lead from lines to what they speak of.
    """

    tables: dict[str, pd.DataFrame]
    lines: dict[Name, float | str]
    above: dict[Name, float]
    stray: Mapping[str, Mapping[tuple[int, str], object]] = field(default_factory=dict)
    links: dict[Name, Target] = field(default_factory=dict)


def plain(value: object) -> float | str:
    """A given value as the language takes it: a float (NaN for nothing) or text."""
    match value:
        case None:
            return np.nan
        case str():
            return value
        case date():
            return to_serial(value)
        case Fraction() | int() | float():
            return float(value)
    raise TypeError(f"{value!r} has no place in a cell")


def frame(table: Table, rows: Sequence[Row | Mapping[str, object]]) -> pd.DataFrame:
    """Given and planned rows as a frame; computed columns come later."""
    columns: dict[str, Any] = {}
    index = pd.RangeIndex(len(rows))  # one for all, so that pandas aligns nothing
    for column in table.columns:
        if column.role is Role.COMPUTED:
            continue
        cells = [
            getattr(row, column.name, None) if isinstance(row, Row) else row.get(column.name)
            for row in rows
        ]
        if column.look.kind is Kind.TEXT:
            texts = ["" if cell is None else str(cell) for cell in cells]
            columns[column.name] = pd.Series(texts, dtype=object, index=index)
        else:
            columns[column.name] = np.array([plain(cell) for cell in cells], dtype=float)
    return pd.DataFrame(columns, index=index)


def mark_stray(own: pd.DataFrame, stray: Iterable[tuple[int, str]]) -> None:
    """Notes beside the columns of a frame in which rows text stands in place of a number."""
    for row, name in stray:
        if name + TEXT_THERE not in own:
            own[name + TEXT_THERE] = np.zeros(len(own), dtype=bool)
        own.iloc[row, own.columns.get_loc(name + TEXT_THERE)] = True


def calculate(
    book: Book,
    filled: Filled,
    units: Mapping[str, int],
    only: Iterable[str] = (),
    needed: Collection[Name] | None = None,
    changed: Collection[Name] | None = None,
) -> None:
    """Fill in every computed column and line, or those of the tables named in `only`.

    With `needed`, no others than these columns and lines; with `changed`, no others than those
    that follow from these.
    """
    wanted, stale = set(only), set(changed or ())
    values = Values(filled.tables, filled.lines, units)
    for (owner, name), rule in book.in_order:
        if (wanted and owner not in wanted) or (needed is not None and (owner, name) not in needed):
            continue
        if changed is not None and stale.isdisjoint(book.needs[owner, name]):
            continue
        stale.add((owner, name))
        if owner in book.tables:
            _fill_column(book.tables[owner], name, rule, filled, values)
        else:
            found = evaluate(rule, values)
            filled.lines[owner, name] = found if isinstance(found, str) else float(found)


def _fill_column(table: Table, name: str, rule: Any, filled: Filled, values: Values) -> None:
    own = filled.tables[table.name]
    column = table.by_name[name]
    if column.above is not None:
        filled.above[table.name, name] = float(evaluate(column.above, values))
    if not len(own):  # as many tables of a shop are; no row to work anything out for
        own[name] = np.empty(0, dtype=object if column.look.kind is Kind.TEXT else float)
        return
    row_values = Values(
        values.tables,
        values.lines,
        values.units,
        own,
        filled.above.get((table.name, name), 0.0),
        values.known,
    )
    found = evaluate(rule, row_values)
    if np.ndim(found) == 0:
        found = np.full(len(own), found, dtype=object if isinstance(found, str) else float)
    own[name] = found if column.look.kind is Kind.TEXT else np.asarray(found, dtype=float)
