"""What belongs to the workbook alone and is no ledger: single typed cells, a row for each project.

No file states them. They are carried from one workbook to the next; a cell that nobody understands
counts for nothing and is told.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from pydantic import BaseModel

from notchbook.definitions import LEDGER_TABLES
from notchbook.definitions.reading.rows import checked
from notchbook.gathering.sides import MODELS, Gathered
from notchbook.sheets.making.next_limits import LIMITS, NextLimits

if TYPE_CHECKING:
    from notchbook.workbook.read.typed import TypedBook

Cells = Mapping[str, object]
_LINES: Mapping[str, type[BaseModel]] = {LIMITS: NextLimits}
"""By sheet of lines: what its typed cells are."""


def take_cells(gathered: Gathered) -> None:
    """Take over single typed cells, and give every name the row that it has in such a table."""
    _give_rows(gathered)
    if gathered.old is None:
        return
    typed = gathered.old.typed
    lines: dict[tuple[str, str], object] = {}
    for name, model in _LINES.items():
        lines |= {(name, key): value for key, value in _understood(gathered, typed, name, model)}
        formulas = {
            (0, key): text
            for (sheet, key), text in typed.line_formulas.items()
            if sheet == name and (name, key) in lines
        }
        gathered.formulas[name] = formulas
    gathered.definitions = replace(gathered.definitions, lines=lines)


def _understood(
    gathered: Gathered, typed: TypedBook, name: str, model: type[BaseModel]
) -> Iterator[tuple[str, object]]:
    """Yield the cells that are as they must be, and tell of the others."""
    from notchbook.workbook.read.anchors import address
    from notchbook.workbook.read.understand import as_text

    said = typed.lines.get(name, {})
    for (sheet, _), stray in typed.line_strays.items():
        if sheet == name:
            told = f"'{as_text(stray.raw)[:40]}' is not understood and counts for nothing"
            gathered.look.append(f"{stray.address}: {told}; {stray.why}")
    values = {key: value for key, value in said.items() if value is not None}

    def report(key: str, message: str) -> None:
        value = as_text(values.pop(key))[:40]
        place = address(typed.line_places[name, key])
        gathered.look.append(f"{place}: '{value}' counts for nothing; {message}")

    checked(model, dict(values), report)
    yield from values.items()


def _give_rows(gathered: Gathered) -> None:
    """Bring the rows of a table that has one for each row of another into the order of these."""
    definitions = gathered.definitions
    shown, stray = dict(definitions.shown), dict(definitions.stray)
    for name in LEDGER_TABLES:
        model = MODELS[name]
        if not model.a_row_for:
            continue
        (key,) = model.key
        names = [str(row[key]) for row in definitions.cells(model.a_row_for)]
        rows, unread = shown.get(name, ()), stray.get(name, {})
        known = {*names, *(str(row[key]) for row in gathered.before.get(model.a_row_for, ()))}
        order = list(_order(names, rows, key, known, {at for at, _ in unread}))
        nothing = dict.fromkeys(model.model_fields)
        shown[name] = [{**nothing, key: said} if at is None else rows[at] for said, at in order]
        where = {at: n for n, (_, at) in enumerate(order) if at is not None}
        stray[name] = {(where[at], column): text for (at, column), text in unread.items()}
        gathered.origins[name] = [at for _, at in order]
    gathered.definitions = replace(definitions, shown=shown, stray=stray)


def _order(
    names: Iterable[str], rows: Sequence[Cells], key: str, known: set[str], unread: set[int]
) -> Iterator[tuple[str, int | None]]:
    """Yield each name with its row, None where there is none, and then the rows of no name.

    A row of a name that is gone is left out where nothing but the name stands in it.
    """
    first: dict[str, int] = {}
    for at, row in enumerate(rows):
        first.setdefault(str(row[key]), at)
    for name in names:
        yield name, first.get(name)
    taken = {first[name] for name in names if name in first}
    for at, row in enumerate(rows):
        filled = {column for column, value in row.items() if value is not None}
        said = str(row[key])
        left_behind = filled <= {key} and said in known and first[said] == at
        if at not in taken and (filled or at in unread) and not (left_behind and at not in unread):
            yield said, at
