"""Rows of the sheet Offcuts of a merged shop: put there, taken off, and where they stand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TypeVar

from notchbook.gathering import Gathered
from notchbook.merging.cells import cell
from notchbook.merging.changes import shown as show_value
from notchbook.sheets.kit.columns import Row
from notchbook.sheets.making.offcuts import OFFCUTS, OffcutRow
from notchbook.sheets.making.stock import StockRow

_SIDES = ("thickness", "width", "length")
Size = tuple[str, Fraction, Fraction, Fraction]
Cells = Mapping[str, object]
T = TypeVar("T")


def find_run(gathered: Gathered, run: str) -> str:
    """Find the cell where a run stands on Offcuts; "" where it does not."""
    for n, row in enumerate(gathered.definitions.cells(OFFCUTS)):
        if _is_of(row, run):
            return place_of(gathered, OFFCUTS, n, "run")
    return ""


def put_rows(gathered: Gathered, rows: Sequence[OffcutRow]) -> None:
    """Put rows below the last that holds anything."""
    definitions = gathered.definitions
    shown, stray = definitions.cells(OFFCUTS), definitions.stray.get(OFFCUTS, {})
    held = (n for n, row in enumerate(shown) if any(value is not None for value in row.values()))
    end = max((*held, *(n for n, _ in stray)), default=-1) + 1
    if OFFCUTS in gathered.origins:
        gathered.origins[OFFCUTS] = [*gathered.origins[OFFCUTS][:end], *(None for _ in rows)]
    new = [{name: cell(value) for name, value in row} for row in rows]
    set_rows(gathered, OFFCUTS, [*definitions.rows[OFFCUTS], *rows], [*shown[:end], *new])


def take_off(gathered: Gathered, used: Counter[Size], run: str) -> None:
    """Lower the counts of what was used, the first rows first, and tell of each."""
    definitions = gathered.definitions
    shown = definitions.cells(OFFCUTS)
    for n, (before, now) in _lower(shown, used).items():
        shown[n]["count"] = now
        gathered.formulas.get(OFFCUTS, {}).pop((n, "count"), None)
        at = place_of(gathered, OFFCUTS, n, "count")
        gathered.notices.append(f"{at}: {before:g} were there, {now:g} are left after {run}")
    rows = definitions.table(OFFCUTS, OffcutRow)
    counts = _lower([dict(row) for row in rows], used)
    models = [
        row.model_copy(update={"count": counts[n][1]}) if n in counts else row
        for n, row in enumerate(rows)
    ]
    set_rows(gathered, OFFCUTS, models, shown)


def put_back(gathered: Gathered, counts: Counter[Size], run: str) -> None:
    """Raise the counts of what a run did not use, and tell of each; it gets rows where none is."""
    definitions = gathered.definitions
    shown, models = definitions.cells(OFFCUTS), [*definitions.table(OFFCUTS, OffcutRow)]
    stocks = {row.stock.casefold(): row.stock for row in definitions.table("Stock", StockRow)}
    missing = []
    for size, count in counts.items():
        n = next((n for n, row in enumerate(shown) if size_of(row) == size), None)
        m = next((m for m, row in enumerate(models) if size_of(dict(row)) == size), None)
        if n is None or m is None:
            stock, thickness, width, length = size
            sides = {"thickness": thickness, "width": width, "length": length}
            missing.append(OffcutRow(stock=stocks.get(stock, stock), count=count, **sides))
            continue
        before, now = models[m].count, models[m].count + count
        models[m] = models[m].model_copy(update={"count": now})
        shown[n]["count"] = now
        gathered.formulas.get(OFFCUTS, {}).pop((n, "count"), None)
        at = place_of(gathered, OFFCUTS, n, "count")
        gathered.notices.append(f"{at}: {before:g} were there, {now:g} are there without {run}")
    set_rows(gathered, OFFCUTS, models, shown)
    put_rows(gathered, missing)


def list_left(gathered: Gathered, run: str) -> dict[int, Cells]:
    """List, by their numbers, the rows of what a run left."""
    rows = enumerate(gathered.definitions.cells(OFFCUTS))
    return {n: row for n, row in rows if _is_of(row, run)}


def remove_left(gathered: Gathered, run: str) -> None:
    """Remove the rows of what a run left, and tell what stood in each."""
    definitions = gathered.definitions
    shown, gone = definitions.cells(OFFCUTS), list_left(gathered, run)
    for n, row in gone.items():
        said = ", ".join(show_value(cell(value)) for value in row.values() if value is not None)
        at = place_of(gathered, OFFCUTS, n, "stock")
        end = place_of(gathered, OFFCUTS, n, "note").rpartition("!")[2]
        gathered.notices.append(f"{at}:{end}: taken off: {said}")
    stay = [n for n in range(len(shown)) if n not in gone]
    to = {then: now for now, then in enumerate(stay)}
    if OFFCUTS in gathered.origins:
        gathered.origins[OFFCUTS] = [gathered.origins[OFFCUTS][n] for n in stay]
    gathered.formulas[OFFCUTS] = _moved(gathered.formulas.get(OFFCUTS, {}), to)
    stray = {**definitions.stray, OFFCUTS: _moved(definitions.stray.get(OFFCUTS, {}), to)}
    gathered.definitions = replace(definitions, stray=stray)
    models = [row for row in definitions.table(OFFCUTS, OffcutRow) if not _is_of(dict(row), run)]
    set_rows(gathered, OFFCUTS, models, [shown[n] for n in stay])


def _is_of(row: Cells, run: str) -> bool:
    return str(row["run"] or "").casefold() == run.casefold()


def _moved(cells: Mapping[tuple[int, str], T], to: Mapping[int, int]) -> dict[tuple[int, str], T]:
    """Return what is kept by row and column, for the rows that stay."""
    return {(to[n], column): each for (n, column), each in cells.items() if n in to}


def _lower(rows: Sequence[Cells], used: Counter[Size]) -> dict[int, tuple[float, float]]:
    """Return, by row, the counts before and after."""
    found, wanted = {}, used.copy()
    for n, row in enumerate(rows):
        size, count = size_of(row), row["count"]
        if size is not None and isinstance(count, int | float) and wanted[size]:
            taken = min(int(count), wanted[size])
            wanted[size] -= taken
            if taken:
                found[n] = float(count), float(count) - taken
    return found


def size_of(row: Cells) -> Size | None:
    """Return the stock and size of a row, sides as exact numbers; None where one is missing."""
    sides = [row[side] for side in _SIDES]
    if not all(isinstance(side, int | float | Fraction) for side in sides):
        return None
    thickness, width, length = (Fraction(str(side)) for side in sides)
    return str(row["stock"]).casefold(), thickness, width, length


def set_rows(gathered: Gathered, table: str, rows: Sequence[Row], shown: Sequence[Cells]) -> None:
    """Replace the rows of a table, and its cells as the sheet shows them."""
    definitions = gathered.definitions
    gathered.definitions = replace(
        definitions,
        rows={**definitions.rows, table: tuple(rows)},
        shown={**definitions.shown, table: shown},
    )


def place_of(gathered: Gathered, table: str, row: int, column: str) -> str:
    """Say where a cell stands: in the workbook, else in the files."""
    typed = None if gathered.old is None else gathered.old.typed.tables.get(table)
    if typed is None or row >= len(typed.rows):
        return f"{table}, row {row + 1}"
    from notchbook.workbook.read.anchors import address

    return address(typed.place(row, column))
