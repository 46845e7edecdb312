"""Cuts that wait for their runs at the end of a year, as the next one reads them.

Decisions:

- The wood of a waiting cut is in work: what opens the new year holds it, whether the books or a
  count say so, and on Stock used it is off the shelf from the first day on. So its run takes it
  out of the new year's books.
- Where the old year's stock is what was counted and the count leaves that wood out, the old year
  bears its cost. Then the cut is carried with no boards, so that its run does not take them again.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from math import isnan
from typing import Any

from notchbook.base.sentences import listed
from notchbook.commands.opening_by_books import OpeningStock
from notchbook.commands.waiting_cuts_file import list_waiting, write_waiting_cuts
from notchbook.definitions import Definitions
from notchbook.language.functions import to_serial
from notchbook.sheets.making.stock import StockRow
from notchbook.sheets.making.stock_used import LOG, USED, KeptCut
from notchbook.shop.pipeline import Priced

Boards = Mapping[tuple[str, str], float]
"""How many boards, by the name of a cut and by stock."""


@dataclass
class OpeningCuts:
    """The cuts that are carried, what is worth knowing and what to look at.

    `taken` holds by stock how many of their boards the old year's shelf had lost already.
    """

    cuts: list[KeptCut] = field(default_factory=list)
    taken: defaultdict[str, float] = field(default_factory=lambda: defaultdict(float))
    notices: list[str] = field(default_factory=list)
    look: list[str] = field(default_factory=list)

    def as_csv(self) -> str:
        """Write the cuts as the file of a ledger."""
        return write_waiting_cuts(self.cuts)


def carry_cuts(priced: Priced, opening: OpeningStock, known: Definitions, day: date) -> OpeningCuts:
    """Carry the cuts that wait into the year that begins on `day`.

    One of a project or a stock that the new files do not have is told and left out.
    """
    result, counts = OpeningCuts(), _Counts(priced, opening)
    stocks = {row.stock for row in known.table("Stock", StockRow)}
    shelf = priced.filled.tables["Stock"]
    moves_after = dict(zip(shelf["stock"], shelf["moves_after"], strict=True))
    took, opened = (defaultdict[tuple[str, str], float](float) for _ in range(2))
    for cut in list_waiting(priced):
        if cut.project not in known.projects or not stocks.issuperset(cut.boards):
            result.look.append(
                f"{USED}: {cut.name} waits for its run, but {day.year} has not all that it names;"
                f" log it on {LOG} of {day.year - 1}, or withdraw it, and roll forward again"
            )
            continue
        boards = {stock: counts.take(cut, stock) for stock in cut.boards}
        for stock, units in boards.items():
            if cut.day > moves_after[stock]:
                result.taken[stock] += units
            took[cut.name, stock] += cut.boards[stock]
            opened[cut.name, stock] += units
        result.cuts.append(replace(cut, day=max(cut.day, to_serial(day)), boards=boards))
    result.look += _tell_uncounted(took, opened, day.year)
    names = list(dict.fromkeys(cut.name for cut in result.cuts))
    if names:
        wait = "waits for its run, which takes" if len(names) == 1 else "wait for runs, which take"
        result.notices.append(
            f"{listed(names)} {wait} what was cut when it is logged in {day.year}; if it was never"
            f" cut, withdraw it there: notchbook cuts --withdraw"
        )
    return result


def _tell_uncounted(took: Boards, opened: Boards, year: int) -> Iterator[str]:
    """Tell what cuts took and what of it opens the year, by cut and stock, where that is less."""
    for (name, stock), units in took.items():
        if round(opened[name, stock], 6) < round(units, 6):
            yield (
                f"Counts: {name} took {units:.3g} of {stock}, of which {opened[name, stock]:.3g}"
                f" were counted in work at the close; the rest is cost of {year - 1}, and its run"
                f" in {year} takes none of it. If it was counted as raw, write in work beside it"
                " and roll forward again"
            )


class _Counts:
    """What the closing counts hold in work of each stock, where these open the new year."""

    def __init__(self, priced: Priced, opening: OpeningStock) -> None:
        rows = [] if opening.by_books else priced.filled.tables["Counts"].to_dict("records")
        closing = [row for row in rows if row["count"] == "closing" and row["stock"]]
        self._days = {_name(row): float(row["date"]) for row in closing}
        self._in_work: defaultdict[str, float] = defaultdict(float)
        for row in closing:
            if row["stage"] == "in work" and not isnan(row["quantity"]):
                self._in_work[_name(row)] += row["quantity"]

    def take(self, cut: KeptCut, stock: str) -> float:
        """Return how many of the boards that a cut took of a stock open the new year."""
        boards, name = cut.boards[stock], stock.casefold()
        if name not in self._days or cut.day > self._days[name]:
            return boards
        taken = min(boards, self._in_work[name])
        self._in_work[name] -= taken
        return taken


def _name(row: Mapping[Hashable, Any]) -> str:
    return str(row["stock"]).casefold()
