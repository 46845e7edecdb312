"""Stocks as bought: at the moving average of the day, what is missing paid by the next slip."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from notchbook.books.pool import NOTHING, Pool, whole
from notchbook.books.rows import Slip, Used, YearRows

NO_STOCK = "slip that names no stock"
NO_PACKS = "slip without packs, and nothing of it was there"
NO_UNITS = "opening count without a quantity"
GIVEN_BACK = "slip of goods given back"
NOT_USED = "stock that no project uses, and that was not counted at the close"


@dataclass(frozen=True, slots=True)
class YearCost:
    """Cost of goods of the year that no piece carries: of what, why, and how much."""

    name: str
    why: str
    value: int
    row: int = -1


@dataclass(slots=True)
class Missing:
    """What a run took that no slip has paid for yet."""

    used: Used
    units: float


@dataclass
class RawStock:
    """All stocks after a year, and what each run took of each, in money."""

    pools: defaultdict[str, Pool] = field(default_factory=lambda: defaultdict(Pool))
    missing: defaultdict[str, list[Missing]] = field(default_factory=lambda: defaultdict(list))
    taken: dict[tuple[int, str], int] = field(default_factory=dict)
    year_costs: list[YearCost] = field(default_factory=list)

    def cost_of(self, run: int) -> int:
        """Add up what a run took."""
        return sum(value for (row, _), value in self.taken.items() if row == run)

    def buy(self, slip: Slip) -> None:
        """Pay for what runs took before, oldest first; the rest goes into the pool."""
        pool, units, value = self.pools[slip.stock], slip.units, slip.value
        pool.average = value / units
        missing = self.missing[slip.stock]
        while missing and units > NOTHING:
            first = missing[0]
            covered = min(first.units, units)
            paid = value if covered >= units - NOTHING else whole(value * covered / units)
            self._charge(first.used, paid)
            units, value, first.units = units - covered, value - paid, first.units - covered
            if first.units <= NOTHING:
                del missing[0]
        if units > NOTHING:
            pool.put(units, value)

    def change_value(self, slip: Slip, why: str) -> None:
        """Let a slip raise or lower what is there by its value, units given back taken off.

        What that leaves below 0, or without a unit, is cost of the year.
        """
        pool = self.pools[slip.stock]
        pool.units = max(pool.units + slip.units, 0.0)
        pool.put(0.0, slip.value)
        if pool.is_empty or pool.value < 0:
            self.year_costs.append(YearCost(slip.stock, why, pool.value, slip.row))
            pool.put(0.0, -pool.value)

    def use(self, used: Used) -> None:
        """Take units at the average; what is not there waits for the next slip."""
        units, value = self.pools[used.stock].take(used.units)
        self._charge(used, value)
        if used.units - units > NOTHING:
            self.missing[used.stock].append(Missing(used, used.units - units))

    def _charge(self, used: Used, value: int) -> None:
        key = used.run, used.stock
        self.taken[key] = self.taken.get(key, 0) + value


def go_through_stocks(year: YearRows) -> RawStock:
    """Go through the year by date; on one day what comes in goes before what is taken."""
    result = RawStock()
    for opened in year.stocks:
        result.pools[opened.name].put(opened.units, opened.value)
    for name, pool in result.pools.items():
        if pool.is_empty and pool.value:
            result.year_costs.append(YearCost(name, NO_UNITS, pool.value))
            pool.value = 0
    for _, _, _, event in sorted(_events(year), key=lambda each: each[:3]):
        match event:
            case Used():
                result.use(event)
            case Slip(stock=""):
                result.year_costs.append(YearCost("", NO_STOCK, event.value, event.row))
            case Slip() if event.units > 0 and event.value >= 0:
                result.buy(event)
            case Slip():
                result.change_value(event, GIVEN_BACK if event.units else NO_PACKS)
    _leave_out_unused(year, result)
    return result


def _events(year: YearRows) -> Iterator[tuple[float, int, int, Slip | Used]]:
    for slip in year.slips:
        yield slip.day, 0 if slip.units else 1, slip.row, slip
    for used in year.used:
        if used.units > NOTHING:
            yield used.day, 2, used.run, used


def _leave_out_unused(year: YearRows, result: RawStock) -> None:
    """Make cost of the year of stocks that nothing uses, as far as nobody counted them."""
    known = {*year.in_projects, *(each.stock for each in year.used)}
    for name, pool in result.pools.items():
        if name in known or pool.is_empty:
            continue
        _, value = pool.take(max(pool.units - year.counted.get(name, 0.0), 0.0))
        if value:
            result.year_costs.append(YearCost(name, NOT_USED, value))
