"""Finished pieces of one project: at the average of the opening count and the runs so far."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from notchbook.books.pool import NOTHING, Pool, whole
from notchbook.books.rows import BenchRun, Opened, Sale


@dataclass(slots=True)
class Gone:
    """Pieces of a sale: those with a cost, of which some may come back, and those without."""

    costed: Pool = field(default_factory=Pool)
    unmade: float = 0.0


@dataclass
class Finished:
    """The pieces left, what each row of the ledger cost, and what is only estimated of it."""

    pool: Pool = field(default_factory=Pool)
    costs: dict[int, int] = field(default_factory=dict)
    estimated: dict[int, int] = field(default_factory=dict)
    unmade: dict[int, float] = field(default_factory=dict)
    _gone: dict[int, Gone] = field(default_factory=dict)

    def sell(self, sale: Sale, to_come: Sequence[Pool]) -> None:
        """Take pieces from the pool, then from the runs to come; the rest at its estimate."""
        gone = self._gone[sale.row] = Gone()
        left = sale.pieces
        for source in (self.pool, *to_come):
            pieces, value = source.take(left)
            gone.costed.put(pieces, value)
            left -= pieces
        cost = gone.costed.value
        if left > NOTHING:
            gone.unmade = self.unmade[sale.row] = left
            cost += self._estimate(sale, left)
        self.costs[sale.row] = cost

    def take_back(self, back: Sale) -> None:
        """Put pieces back at the cost of their sale; those never made cancel each other.

        Pieces of a sale that this year does not know come back at the average.
        """
        left, cost = -back.pieces, 0
        for row in back.sold_in:
            gone = self._gone.get(row)
            if gone is None:
                continue
            cancelled = min(left, gone.unmade)
            gone.unmade -= cancelled
            cost += self._estimate(back, -cancelled) if cancelled > NOTHING else 0
            pieces, value = gone.costed.take(left - cancelled)
            self.pool.put(pieces, value)
            left, cost = left - cancelled - pieces, cost - value
        if left > NOTHING:
            each = self.pool.average
            value = whole(left * (back.estimate if each is None else each))
            self.pool.put(left, value)
            cost -= value
        self.costs[back.row] = cost

    def _estimate(self, sale: Sale, pieces: float) -> int:
        """Cost pieces that nothing covers, below 0 for those that come back."""
        value = whole(pieces * sale.estimate)
        self.estimated[sale.row] = self.estimated.get(sale.row, 0) + value
        return value


def go_through_pieces(
    opened: Sequence[Opened], runs: Sequence[tuple[BenchRun, int]], sales: Sequence[Sale]
) -> Finished:
    """Go through a project's year by date, its runs with their cost before sales on one day."""
    result = Finished()
    for each in opened:
        result.pool.put(each.units, each.value)
    to_come = [Pool() for _ in runs]
    for lot, (run, cost) in zip(to_come, runs, strict=True):
        lot.put(run.good, cost)
    for event in _in_order(runs, sales):
        match event:
            case BenchRun():
                lot = to_come.pop(0)
                result.pool.put(lot.units, lot.value)
            case Sale() if event.pieces > 0:
                result.sell(event, to_come)
            case Sale():
                result.take_back(event)
    return result


def _in_order(
    runs: Sequence[tuple[BenchRun, int]], sales: Sequence[Sale]
) -> Iterator[BenchRun | Sale]:
    events: list[tuple[float, int, int, BenchRun | Sale]] = [
        *((run.day, 0, run.row, run) for run, _ in runs),
        *((sale.day, 1, sale.row, sale) for sale in sales),
    ]
    for _, _, _, event in sorted(events, key=lambda each: each[:3]):
        yield event
