"""Cuts that were kept, and the runs of the Production log that hold them.

Decisions:

- A run holds one cut at most, and a cut belongs to one run. A run stays the holder of its cut while
  its row says the same; where the maker changed its day or its pieces, the row that says *kept* and
  has the same project and either of them holds it. The wood stays as it was cut.
- A cut that was kept at the terminal goes to the run of that project, day and number, else to the
  first run of the project and that number that is logged after it.
- Where the row of a run is deleted, its cut goes with it, and its boards count as there again; what
  the cut did on Offcuts is told, for the maker alone knows what lies there.
- Quantities that were edited do not undo a cut: a run of eight whose cut was kept for six took the
  boards of six.
"""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, replace

from notchbook.definitions import Definitions
from notchbook.sheets.kit.calculate import frame, mark_stray
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.ledgers.production_log import KEPT
from notchbook.sheets.making.stock import StockRow
from notchbook.sheets.making.stock_used import LOG, KeptCut, Run, number_runs
from notchbook.sheets.making.wood_kinds import WOOD
from notchbook.shop.kept_use import KeptUse


def hold_cuts(definitions: Definitions, book: Book, kept: KeptUse) -> KeptUse:
    """Give each cut to the run that holds it by the log as it is now."""
    wood = {row.stock for row in definitions.table("Stock", StockRow) if row.kind in WOOD}
    return settle_cuts(kept, read_log(definitions, book), wood)


@dataclass(frozen=True)
class LoggedRuns:
    """The runs of the Production log by their rows, and which of them say kept."""

    runs: Sequence[Run | None]
    kept: frozenset[Run] = frozenset()


def read_log(definitions: Definitions, book: Book) -> LoggedRuns:
    """Read the runs that the Production log of a merged shop holds."""
    rows = definitions.cells(LOG)
    log = frame(book.tables[LOG], rows)
    mark_stray(log, definitions.stray.get(LOG, {}))
    runs = list(number_runs(log.to_dict("records")))
    said = zip(runs, rows, strict=True)
    return LoggedRuns(
        runs, frozenset(run for run, row in said if run is not None and row["offcuts"] == KEPT)
    )


def settle_cuts(use: KeptUse, log: LoggedRuns, wood: Container[str]) -> KeptUse:
    """Give each cut to the run that holds it now; `gone` are those whose runs were deleted.

    A run that took `wood` by its share takes that of its cut in its place.
    """
    cuts, gone = list[KeptCut](), list[KeptCut]()
    held = {cut.run for cut in use.cuts}
    free = [run for run in log.runs if run is not None and run not in held]
    new = frozenset(run for run in free if run not in use.takes)
    for cut in sorted(use.cuts, key=lambda each: each.run is None):  # those that had a run first
        if cut.run is not None and cut.run in log.runs:
            cuts.append(cut)
        elif run := next((run for run in free if _may_hold(run, cut, new, log.kept)), None):
            free.remove(run)
            cuts.append(replace(cut, run=run))
        else:
            (cuts if cut.run is None else gone).append(cut)
    found = KeptUse(use.takes, tuple(cuts), tuple(gone))
    recut = {
        run: _recut(use.takes[run], cut, wood)
        for run, cut in found.by_run.items()
        if run in use.takes
    }
    return replace(found, takes={**use.takes, **recut})


def _may_hold(run: Run, cut: KeptCut, new: Container[Run], kept: Container[Run]) -> bool:
    if run.project != cut.project.casefold():
        return False
    if cut.run is None:
        return run.made == cut.pieces and (run in new or run.day == cut.day)
    alike = run.day == cut.run.day, run.made == cut.run.made
    return run in kept and (all(alike) or (run in new and any(alike)))


def _recut(takes: Mapping[str, float], cut: KeptCut, wood: Container[str]) -> dict[str, float]:
    """What a run takes, its wood as it was cut."""
    packed = {stock: units for stock, units in takes.items() if stock not in wood}
    return {**cut.boards, **packed}
