"""Stocks as bought: at the moving average of the day, what is missing paid by the next slip."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from notchbook.books.rows import Slip, Used, YearRows
from notchbook.books.shelf import NOTHING, Shelf, whole

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

    shelves: defaultdict[str, Shelf] = field(default_factory=lambda: defaultdict(Shelf))
    missing: defaultdict[str, list[Missing]] = field(default_factory=lambda: defaultdict(list))
    taken: dict[tuple[int, str], int] = field(default_factory=dict)
    year_costs: list[YearCost] = field(default_factory=list)

    def cost_of(self, run: int) -> int:
        """Add up what a run took."""
        return sum(value for (row, _), value in self.taken.items() if row == run)

    def buy(self, slip: Slip) -> None:
        """Pay for what runs took before, oldest first; the rest goes on the shelf."""
        shelf, units, value = self.shelves[slip.stock], slip.units, slip.value
        shelf.average = value / units
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
            shelf.put(units, value)

    def change_value(self, slip: Slip, why: str) -> None:
        """Let a slip raise or lower what is there by its value, units given back taken off.

        What that leaves below 0, or without a unit, is cost of the year.
        """
        shelf = self.shelves[slip.stock]
        shelf.units = max(shelf.units + slip.units, 0.0)
        shelf.put(0.0, slip.value)
        if shelf.is_empty or shelf.value < 0:
            self.year_costs.append(YearCost(slip.stock, why, shelf.value, slip.row))
            shelf.put(0.0, -shelf.value)

    def use(self, used: Used) -> None:
        """Take units at the average; what is not there waits for the next slip."""
        units, value = self.shelves[used.stock].take(used.units)
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
        result.shelves[opened.name].put(opened.units, opened.value)
    for name, shelf in result.shelves.items():
        if shelf.is_empty and shelf.value:
            result.year_costs.append(YearCost(name, NO_UNITS, shelf.value))
            shelf.value = 0
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
    for name, shelf in result.shelves.items():
        if name in known or shelf.is_empty:
            continue
        _, value = shelf.take(max(shelf.units - year.counted.get(name, 0.0), 0.0))
        if value:
            result.year_costs.append(YearCost(name, NOT_USED, value))
