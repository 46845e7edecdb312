"""What runs at the bench took, kept from the compile that first saw them."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import nan
from typing import TYPE_CHECKING, Any

from notchbook.sheets.kit.calculate import Filled, frame
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.making.stock_used import (
    LOG,
    USED,
    KeptCut,
    Run,
    kept_cuts,
    kept_takes,
    number_runs,
)
from notchbook.sheets.making.wood_kinds import WOOD
from notchbook.shop.sale_costs import round_kept

if TYPE_CHECKING:
    from notchbook.gathering import Gathered

Takes = Mapping[Run, dict[str, float]]
_THERE = ("stock", "planned_there")
_NUMBERS = ("run", "date", "made", "units", "cut_for")
_NAMES = ("run", "date", "project", "made", "stock", "units", "cut", "cut_for", "offcuts")


@dataclass(frozen=True)
class KeptUse:
    """What each run took, and the cuts that were kept; `gone` are those whose run was deleted."""

    takes: Takes
    cuts: tuple[KeptCut, ...] = ()
    gone: tuple[KeptCut, ...] = ()

    @property
    def by_run(self) -> dict[Run, KeptCut]:
        """The cuts of the runs that are on the log."""
        return {cut.run: cut for cut in self.cuts if cut.run is not None}


def read_kept_use(gathered: Gathered) -> KeptUse:
    """Read what the last compile kept, under the names that projects and stocks have now.

    The cuts that are kept now are among it, those that are withdrawn are not.
    """
    rows = [] if gathered.old is None else gathered.old.rows_written(USED, _NAMES)
    new = {
        (each.table, each.old.casefold()): each.new
        for each in gathered.renamed
        if each.table in ("Projects", "Stock")
    }
    tables = {"project": "Projects", "stock": "Stock"}

    def cell(name: str, content: object) -> object:
        if name in _NUMBERS:
            return content if isinstance(content, float) else nan
        return new.get((tables.get(name, ""), str(content).casefold()), str(content or ""))

    read: list[dict[Hashable, Any]] = [
        {name: cell(name, row[name]) for name in _NAMES} for row in rows
    ]
    cuts = (*kept_cuts(read), *gathered.cuts)
    return KeptUse(
        kept_takes(read), tuple(cut for cut in cuts if cut.name not in gathered.withdrawn)
    )


def read_there(gathered: Gathered) -> dict[str, float]:
    """Read what was there of each stock when the last compile planned, by the names of today."""
    rows = [] if gathered.old is None else gathered.old.rows_written("Stock", _THERE)
    new = {each.old: each.new for each in gathered.renamed if each.table == "Stock"}
    return {
        new.get(str(row["stock"]), str(row["stock"])): there
        for row in rows
        if isinstance(there := row["planned_there"], float)
    }


def put_kept_use(book: Book, filled: Filled, use: KeptUse) -> None:
    """Fill Stock used: the runs that stand on the log, in its order, then cuts that wait."""
    log = filled.tables[LOG].to_dict("records")
    by_run = use.by_run
    rows: list[dict[str, Any]] = []
    for n, (row, run) in enumerate(zip(log, number_runs(log), strict=True), 1):
        cut = None if run is None else by_run.get(run)
        first = {"made": row["made"]}
        for stock, units in use.takes.get(run, {}).items() if run is not None else ():
            said = {"run": n, "date": row["date"], "project": row["project"]}
            of_cut = _say_cut(cut, stock) if cut is not None and stock in cut.boards else {}
            rows.append(said | first | {"stock": stock, "units": units} | of_cut)
            first = {}
    rows += [each for cut in use.cuts if cut.run is None for each in _list_waiting(cut)]
    filled.tables[USED] = frame(book.tables[USED], rows)


def _say_cut(cut: KeptCut, stock: str) -> dict[str, Any]:
    return {"cut": cut.name, "cut_for": cut.pieces, "offcuts": cut.offcuts.get(stock)}


def _list_waiting(cut: KeptCut) -> Iterator[dict[str, Any]]:
    said = {"date": cut.day, "project": cut.project}
    for stock, units in cut.boards.items():
        yield said | {"stock": stock, "units": units} | _say_cut(cut, stock)


def take_new_runs(book: Book, filled: Filled, use: KeptUse) -> KeptUse:
    """Let the runs that nothing is kept of take what their projects need now, and fill Stock used.

    A run whose cut was kept takes its boards. One of a project that takes nothing yet, or that is
    not there, waits until it does.
    """
    by_run, needs = use.by_run, _read_needs(filled)
    takes = dict(use.takes)
    for run in number_runs(filled.tables[LOG].to_dict("records")):
        if run is None or run in takes:
            continue
        cut, its = by_run.get(run), needs.get(run.project, {})
        if cut is None and not its:
            continue
        takes[run] = {} if cut is None else dict(cut.boards)
        takes[run] |= {
            stock: round_kept(run.made * need)
            for stock, (need, is_wood) in its.items()
            if cut is None or not is_wood
        }
    found = replace(use, takes=takes)
    put_kept_use(book, filled, found)
    return found


def _read_needs(filled: Filled) -> dict[str, dict[str, tuple[float, bool]]]:
    """Read by project what a unit takes of each stock, and whether that is wood."""
    needs: dict[str, dict[str, tuple[float, bool]]] = {}
    for row in filled.tables["Material takeoff"].to_dict("records"):
        if row["unit_need"]:
            its = needs.setdefault(row["project"].casefold(), {})
            its[row["stock"]] = row["unit_need"], row["kind"] in WOOD
    return needs
