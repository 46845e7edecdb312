"""A year's books: stocks first, then runs, then the finished pieces of each project."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from notchbook.books.finished_pieces import Finished, go_through_pieces
from notchbook.books.pool import NOTHING, Pool
from notchbook.books.raw_stock import NO_UNITS, Missing, YearCost, go_through_stocks
from notchbook.books.rows import BenchRun, Opened, YearRows

NO_GOOD_PIECE = "run without a good piece"


@dataclass
class GoodsBooks:
    """What a year's goods cost: each sale, each run, the rest, and what is left."""

    stocks: Mapping[str, Pool] = field(default_factory=dict)
    pieces: Mapping[str, Pool] = field(default_factory=dict)
    in_work: Mapping[str, int] = field(default_factory=dict)
    taken: Mapping[tuple[int, str], int] = field(default_factory=dict)
    runs: dict[int, int] = field(default_factory=dict)
    sales: dict[int, int] = field(default_factory=dict)
    estimates: dict[int, int] = field(default_factory=dict)
    unmade: dict[int, float] = field(default_factory=dict)
    year_costs: list[YearCost] = field(default_factory=list)
    missing: list[Missing] = field(default_factory=list)

    @property
    def year_cost(self) -> int:
        """Cost of goods that no piece carries."""
        return sum(each.value for each in self.year_costs)

    @property
    def estimated(self) -> int:
        """What pieces cost that no count and no run covers; no stock lost it."""
        return sum(self.estimates.values())

    @property
    def left(self) -> int:
        """The value of all that is left: stocks, finished pieces, and what is in work."""
        pools = (*self.stocks.values(), *self.pieces.values())
        return sum(each.value for each in pools) + sum(self.in_work.values())


def keep_books(year: YearRows) -> GoodsBooks:
    """Keep the books of a year."""
    raw = go_through_stocks(year)
    in_work = _added(year.in_work)
    runs: defaultdict[str, list[tuple[BenchRun, int]]] = defaultdict(list)
    result = GoodsBooks(raw.pools, {}, in_work, raw.taken, year_costs=raw.year_costs)
    for run in sorted(year.runs, key=lambda each: (each.day, each.row)):
        cost = result.runs[run.row] = raw.cost_of(run.row) + in_work.pop(run.project, 0)
        runs[run.project].append((run, cost))
        if run.good <= NOTHING and cost:
            result.year_costs.append(YearCost(run.project, NO_GOOD_PIECE, cost, run.row))
    result.missing = [each for missing in raw.missing.values() for each in missing]
    result.pieces = {
        project: _finish(project, year, runs[project], result) for project in _projects(year)
    }
    return result


def _projects(year: YearRows) -> list[str]:
    made = {each.project for each in year.runs}
    return sorted(
        {each.name for each in year.pieces} | made | {each.project for each in year.sales}
    )


def _finish(
    project: str, year: YearRows, runs: list[tuple[BenchRun, int]], result: GoodsBooks
) -> Pool:
    """Go through the pieces of a project; note what its rows cost."""
    opened = [each for each in year.pieces if each.name == project]
    if (value := sum(each.value for each in opened)) and _units(opened) <= NOTHING:
        result.year_costs.append(YearCost(project, NO_UNITS, value))
        opened = []
    found: Finished = go_through_pieces(
        opened,
        [(run, cost) for run, cost in runs if run.good > NOTHING],
        [each for each in year.sales if each.project == project],
    )
    result.sales |= found.costs
    result.estimates |= found.estimated
    result.unmade |= found.unmade
    return found.pool


def _units(opened: Iterable[Opened]) -> float:
    return sum(each.units for each in opened)


def _added(opened: Iterable[Opened]) -> dict[str, int]:
    result: dict[str, int] = {}
    for each in opened:
        result[each.name] = result.get(each.name, 0) + each.value
    return result


def take_off(values: Mapping[str, int], amount: int) -> dict[str, int]:
    """Take an amount off several values, by their size, to the last of the smallest amounts.

    No value comes below 0.
    """
    whole_of = Pool(float(sum(values.values())), min(amount, sum(values.values())))
    result = {}
    for name, value in values.items():
        result[name] = value - whole_of.take(float(value))[1]
    return result
