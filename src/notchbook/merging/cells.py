"""Given cells as both surfaces hold them: nothing, a number, words, a day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from math import isclose

Value = float | str | date | None
Cells = Mapping[str, Value]
"""A row: values by column; a blank is None."""

_TOLERANCE = 1e-12


def cell(value: object) -> Value:
    """A value of a row model as a cell: lengths and counts become plain numbers."""
    match value:
        case None | "":
            return None
        case bool():
            return str(value).upper()
        case str() | date():
            return value
        case Fraction() | int() | float():
            return float(value)
    raise TypeError(f"{value!r} has no place in a cell")


def same(one: Value, other: Value) -> bool:
    """Equal cells: numbers within the last digits that a file keeps, words and days exactly."""
    if isinstance(one, float) and isinstance(other, float):
        return isclose(one, other, rel_tol=_TOLERANCE, abs_tol=_TOLERANCE)
    return one == other


def same_cells(one: Cells, other: Cells, columns: Iterable[str]) -> bool:
    """Equal rows, as far as these columns go."""
    return all(same(one.get(name), other.get(name)) for name in columns)


@dataclass(frozen=True)
class MergedTable:
    """What the merge must know of a table: its name, its columns, which of them name a row.

    `blanks` tells what a blank cell stands for, in columns where it stands for something, and
    `headers` what columns are called where they have another name than a header.
    """

    name: str
    columns: tuple[str, ...]
    key: tuple[str, ...]
    blanks: Mapping[str, Value] = field(default_factory=dict)
    headers: Mapping[str, str] = field(default_factory=dict)

    def agree(self, column: str, one: Value, other: Value) -> bool:
        """Cells that mean the same."""
        blank = self.blanks.get(column)
        return same(blank if one is None else one, blank if other is None else other)


Key = tuple[tuple[str, ...], int]
"""What names a row: the texts of its key columns, and its occurrence among equal ones."""


def name_of(row: Cells, key: Sequence[str]) -> tuple[str, ...]:
    """The texts of a row's key columns."""
    return tuple("" if row.get(name) is None else str(row.get(name)) for name in key)


def numbered(
    grid: MergedTable, rows: Sequence[Cells], like: Mapping[Key, Cells] | None = None
) -> list[Key]:
    """The key of each row.

    Rows that share a name are told apart by an occurrence number. Where `like` has the same
    rows already, an equal row gets the number that it has there, so that sorting changes nothing.
    """
    known: dict[tuple[str, ...], list[tuple[int, Cells]]] = {}
    for (name, number), row in (like or {}).items():
        known.setdefault(name, []).append((number, row))
    groups: dict[tuple[str, ...], list[int]] = {}
    for place, row in enumerate(rows):
        groups.setdefault(name_of(row, grid.key), []).append(place)
    keys: dict[int, Key] = {}
    for name, places in groups.items():
        free = dict(known.get(name, ()))
        later: list[int] = []
        for place in places:
            equal = next(
                (n for n, row in free.items() if same_cells(row, rows[place], grid.columns)), None
            )
            if equal is None:
                later.append(place)
            else:
                del free[equal]
                keys[place] = (name, equal)
        taken = {number for number, _ in known.get(name, ())}
        numbers = [*sorted(free), *(n for n in range(len(places) + len(taken)) if n not in taken)]
        for place, number in zip(later, numbers, strict=False):
            keys[place] = (name, number)
    return [keys[place] for place in range(len(rows))]
