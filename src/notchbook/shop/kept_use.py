"""What runs at the bench took, kept from the compile that first saw them."""

from __future__ import annotations

from collections.abc import Mapping
from math import nan
from typing import TYPE_CHECKING, Any

from notchbook.sheets.kit.calculate import Filled, frame
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.making.stock_used import LOG, USED, Run, kept_takes, number_runs
from notchbook.shop.sale_costs import round_kept

if TYPE_CHECKING:
    from notchbook.gathering import Gathered

Takes = dict[Run, dict[str, float]]
_THERE = ("stock", "planned_there")
_NUMBERS = ("run", "date", "made", "units")


def read_kept_use(gathered: Gathered) -> Takes:
    """Read what the last compile kept, under the names that projects and stocks have now."""
    names = ("run", "date", "project", "made", "stock", "units")
    rows = [] if gathered.old is None else gathered.old.rows_written(USED, names)
    new = {
        (each.table, each.old.casefold()): each.new
        for each in gathered.renamed
        if each.table in ("Projects", "Stock")
    }

    def cell(name: str, content: object) -> object:
        if name in _NUMBERS:
            return content if isinstance(content, float) else nan
        table = "Projects" if name == "project" else "Stock"
        return new.get((table, str(content).casefold()), str(content or ""))

    return kept_takes({name: cell(name, row[name]) for name in names} for row in rows)


def read_there(gathered: Gathered) -> dict[str, float]:
    """Read what was there of each stock when the last compile planned, by the names of today."""
    rows = [] if gathered.old is None else gathered.old.rows_written("Stock", _THERE)
    new = {each.old: each.new for each in gathered.renamed if each.table == "Stock"}
    return {
        new.get(str(row["stock"]), str(row["stock"])): there
        for row in rows
        if isinstance(there := row["planned_there"], float)
    }


def put_kept_use(book: Book, filled: Filled, takes: Mapping[Run, Mapping[str, float]]) -> None:
    """Fill Stock used with the runs that stand on the log as they were, in its order."""
    log = filled.tables[LOG].to_dict("records")
    rows: list[dict[str, Any]] = []
    for n, (row, run) in enumerate(zip(log, number_runs(log), strict=True), 1):
        first = {"made": row["made"]}
        for stock, units in takes.get(run, {}).items() if run is not None else ():
            said = {"run": n, "date": row["date"], "project": row["project"]}
            rows.append(said | first | {"stock": stock, "units": units})
            first = {}
    filled.tables[USED] = frame(book.tables[USED], rows)


def take_new_runs(book: Book, filled: Filled) -> int:
    """Let the runs that nothing is kept of take what their projects need now; count them.

    A run of a project that takes nothing yet, or that is not there, waits until it does.
    """
    takes = kept_takes(filled.tables[USED].to_dict("records"))
    needs: dict[str, dict[str, float]] = {}
    for row in filled.tables["Material takeoff"].to_dict("records"):
        if row["unit_need"]:
            needs.setdefault(row["project"].casefold(), {})[row["stock"]] = row["unit_need"]
    new = {
        run: {stock: round_kept(run.made * need) for stock, need in needs[run.project].items()}
        for run in number_runs(filled.tables[LOG].to_dict("records"))
        if run is not None and run not in takes and run.project in needs
    }
    if new:
        put_kept_use(book, filled, takes | new)
    return len(new)
