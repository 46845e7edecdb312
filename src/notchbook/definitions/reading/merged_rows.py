"""Rows made of merged cells: checked as the files are, faults told where the cell stands."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from notchbook.base.problems import Problems, nearest, quoted
from notchbook.definitions.reading.names import sheet_name_fault
from notchbook.definitions.reading.naming import NAMING, is_ledger
from notchbook.definitions.reading.parts import WOOD
from notchbook.definitions.reading.rows import checked
from notchbook.definitions.syntax.columns import ROWS
from notchbook.measure import Units
from notchbook.merging.cells import Cells, Value, cell, same
from notchbook.merging.renames import SEPARATOR
from notchbook.sheets.kit.declare import Row
from notchbook.trade.nominal import NominalError, actual_size

Where = Callable[[str], tuple[str, int]]
"""The file and line, or the cell, of a column."""

_ONCE = {
    each.table: (each.column,) if each.within is None else (each.within, each.column)
    for each in NAMING
}
"""By table: the columns that name a row and stand once together."""
_OF_PROJECTS = tuple(
    table
    for table, row in ROWS.items()
    if not is_ledger(row) and table != "Projects" and "project" in row.model_fields
)


@dataclass(frozen=True)
class Candidate:
    """A merged row: its cells, the row that the files made of it, and where it stands."""

    cells: Cells
    original: Row | None
    where: Where


Candidates = Mapping[str, Sequence[Candidate]]


def make_rows(
    candidates: Candidates, models: Mapping[str, type[Row]], units: Units, problems: Problems
) -> dict[str, tuple[Row, ...]]:
    """The rows of all tables that planning needs; every fault is noted.

    Rows of a project that is not on Projects are left out; the sheets show them as such.
    """
    rows = {}
    for table, its in candidates.items():
        made = [_row(models[table], each, problems) for each in its]
        rows[table] = tuple(row for row in made if row is not None)
    _check_names(candidates, problems)
    _check_stock(candidates, units, problems)
    projects = {str(each.cells.get("project")) for each in candidates["Projects"]}
    tiers = {str(each.cells.get("tier")) for each in candidates["Tiers"]}
    _check_references(candidates, projects, problems)
    for table in _OF_PROJECTS:
        rows[table] = tuple(
            row
            for row in rows[table]
            if getattr(row, "project", "") in projects
            and (table != "Pricing tiers" or getattr(row, "tier", "") in tiers)
        )
    return rows


def model_values(row: Row | None, cells: Cells, model: type[Row]) -> dict[str, object]:
    """What to make a row of: exact values of the files where the cell says the same."""
    values: dict[str, object] = {}
    for name, info in model.model_fields.items():
        value: object = cells.get(name)
        if row is not None and same(cell(getattr(row, name)), cells.get(name)):
            value = getattr(row, name)
        if value is not None:
            values[info.alias or name] = value
    return values


def _row(model: type[Row], each: Candidate, problems: Problems) -> Row | None:
    """The row, the one that the files made where no cell of it differs."""
    row = each.original
    if row is not None and all(
        same(cell(getattr(row, name)), each.cells.get(name)) for name in model.model_fields
    ):
        return row

    def report(name: str, message: str) -> None:
        place = each.where(name)
        if each.cells.get(name) is not None or not problems.at(*place):  # else it was no number
            problems.add(*place, f"{name}: {message}")

    return checked(model, model_values(each.original, each.cells, model), report)


def _check_names(candidates: Candidates, problems: Problems) -> None:
    """Names once each, and fit for a sheet where they name one."""
    for table, columns in _ONCE.items():
        met: dict[tuple[str, ...], str] = {}
        for each in candidates[table]:
            name = tuple(str(each.cells.get(column) or "").casefold() for column in columns)
            shown = quoted(str(each.cells.get(columns[-1])))
            place = each.where(columns[-1])
            if name in met:
                message = f"{shown} stands at {met[name]} already; write another name"
                problems.add(*place, f"{columns[-1]}: {message}")
            met.setdefault(name, place[0] if not place[1] else f"{place[0]}:{place[1]}")
            if len(columns) == 1 and name[0] == columns[0]:
                problems.add(
                    *place, f"{columns[0]}: {shown} is also its column's header; write another name"
                )
    for each in candidates["Projects"]:
        fault = sheet_name_fault(str(each.cells.get("project") or ""))
        if fault is not None:
            problems.add(*each.where("project"), f"project: {fault}")


def _check_stock(candidates: Candidates, units: Units, problems: Problems) -> None:
    for each in candidates["Stock"]:
        if each.cells.get("kind") not in WOOD:
            continue
        for name in ("thickness", "width", "length"):
            if each.cells.get(name) is None:
                message = f"{name}: it is missing; boards and panels need all three sizes"
                problems.add(*each.where(name), message)


def _check_references(candidates: Candidates, projects: set[str], problems: Problems) -> None:
    kinds = {str(each.cells.get("stock")): each.cells.get("kind") for each in candidates["Stock"]}
    for table in ("Cut list", "Laid surfaces"):
        for each in candidates[table]:
            stocks = each.cells.get("stocks")
            if not isinstance(stocks, str) or str(each.cells.get("project")) not in projects:
                continue
            for stock in (name.strip() for name in stocks.split(SEPARATOR)):
                if stock not in kinds:
                    what = f"there is no stock {quoted(stock)}{nearest(stock, kinds)}"
                    problems.add(*each.where("stocks"), f"cut from: {what}; write one of Stock")
                elif kinds[stock] not in WOOD:
                    what = f"{quoted(stock)} is {kinds[stock]} and cannot be cut into parts"
                    problems.add(*each.where("stocks"), f"cut from: {what}; write a board or panel")
    channels = [str(each.cells.get("channel")) for each in candidates["Channels"]]
    for each in candidates["Tiers"]:
        channel = each.cells.get("channel")
        if isinstance(channel, str) and channel not in channels:
            what = f"there is no channel {quoted(channel)}{nearest(channel, channels)}"
            problems.add(*each.where("channel"), f"channel: {what}; write one of Channels")


def sized(cells: dict[str, Value], units: Units, where: Where, problems: Problems) -> None:
    """Fills in the real size of lumber that was typed by its nominal size alone."""
    nominal = cells.get("nominal")
    wanted = [name for name in ("thickness", "width") if cells.get(name) is None]
    if cells.get("kind") != "lumber" or not isinstance(nominal, str) or not wanted:
        return
    try:
        sizes = dict(zip(("thickness", "width"), actual_size(nominal, units), strict=True))
    except NominalError as error:
        problems.add(*where("nominal"), f"nominal: {error}")
        return
    for name in wanted:
        cells[name] = cell(sizes[name])
