"""How the cost of goods comes about, as rows of files: every movement, and what each run took."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from notchbook.books.rows import YearRows
from notchbook.definitions.editing.writing import number
from notchbook.language.functions import from_serial
from notchbook.sheets.making.stock_used import LOG, runs_took
from notchbook.shop.books_of_year import LEDGER, read_year
from notchbook.shop.pipeline import Priced
from notchbook.trade.money import currency_decimals

COSTS, USED = "costs.csv", "used.csv"
COSTS_HEAD = ("what", "date", "stock", "project", "of", "quantity", "cost")
USED_HEAD = ("run", "date", "project", "made", "stock", "units", "cost", "without_a_slip")


class CostFiles:
    """The rows of costs.csv and used.csv for a shop's year."""

    def __init__(self, priced: Priced) -> None:
        self._books, self._tables = priced.books, priced.filled.tables
        self._smallest = float(priced.filled.lines["Settings", "smallest"])
        self._decimals = currency_decimals(priced.definitions.settings.currency)
        self._days = [
            from_serial(float(priced.filled.lines["Settings", name])).isoformat()
            for name in ("year_start", "year_end")
        ]
        self._year: YearRows = read_year(priced.filled, self._smallest)
        self._spelled = {
            name.casefold(): name
            for table, column in (
                *((table, "stock") for table in ("Counts", "Purchases", "Stock used", "Stock")),
                *((table, "project") for table in (LEDGER, "Production log", "Counts", "Projects")),
            )
            for name in self._tables[table][column]
        }

    def costs(self) -> list[list[str]]:
        """Write every movement of goods; what comes in is above 0, and all of them make 0."""
        return [
            *self._opened(),
            *self._bought(),
            *self._sold(),
            *self._year_costs(),
            *self._left(),
        ]

    def used(self) -> list[list[str]]:
        """Write what each run took of each stock, at the moving average of its day."""
        missing = {(each.used.run, each.used.stock): each.units for each in self._books.missing}
        return [
            [
                str(each.run + 1),
                from_serial(each.day).isoformat(),
                each.project,
                number(self._cells(LOG, each.run)["made"]),
                each.stock,
                number(each.units),
                self._money(self._books.taken.get((each.run, each.stock.casefold()), 0)),
                number(round(missing.get((each.run, each.stock.casefold()), 0.0), 6)),
            ]
            for each in runs_took(self._tables)
            if self._of_year(each.day)
        ]

    def _of_year(self, day: float) -> bool:
        return self._days[0] <= from_serial(day).isoformat() <= self._days[1]

    def _money(self, value: int) -> str:
        return f"{value * self._smallest:.{self._decimals}f}"

    def _row(self, what: str, day: str, value: int, units: float = 0.0, **more: str) -> list[str]:
        names = (self._spelled.get(more.get(each, ""), "") for each in ("stock", "project"))
        quantity = number(round(units, 6)) if units else ""
        return [what, day, *names, more.get("of", ""), quantity, self._money(value)]

    def _cells(self, table: str, row: int) -> Any:
        return self._tables[table].iloc[row]

    def _day(self, table: str, row: int) -> str:
        return from_serial(self._cells(table, row)["date"]).isoformat()

    def _opened(self) -> Iterator[list[str]]:
        for each in self._year.stocks:
            yield self._row("opening", self._days[0], each.value, each.units, stock=each.name)
        for what, its in (("opening", self._year.pieces), ("opening in work", self._year.in_work)):
            for each in its:
                yield self._row(what, self._days[0], each.value, each.units, project=each.name)

    def _bought(self) -> Iterator[list[str]]:
        for each in self._year.slips:
            cells = self._cells("Purchases", each.row)
            yield self._row(
                "bought",
                self._day("Purchases", each.row),
                each.value,
                each.units,
                stock=each.stock,
                of=" ".join(filter(None, (cells["vendor"], cells["receipt"]))),
            )

    def _sold(self) -> Iterator[list[str]]:
        for each in self._year.sales:
            if not each.pieces:
                continue
            day, receipt = self._day(LEDGER, each.row), self._cells(LEDGER, each.row)["receipt"]
            what = "own use" if each.own_use else "sold" if each.pieces > 0 else "given back"
            said = {"project": each.project, "of": receipt}
            yield self._row(what, day, -self._books.sales[each.row], -each.pieces, **said)
            if estimated := self._books.estimates.get(each.row):
                yield self._row("estimated, as no run made it", day, estimated, **said)

    def _year_costs(self) -> Iterator[list[str]]:
        for each in self._books.year_costs:
            name = self._spelled.get(each.name, "")
            of = ": ".join(filter(None, (name, each.why)))
            yield self._row("cost of the year", self._days[1], -each.value, of=of)

    def _left(self) -> Iterator[list[str]]:
        books, day = self._books, self._days[1]
        for name, pool in books.stocks.items():
            if pool.units or pool.value:
                yield self._row("left", day, -pool.value, -pool.units, stock=name)
        for name, pool in books.pieces.items():
            if pool.units or pool.value:
                yield self._row("left", day, -pool.value, -pool.units, project=name)
        for name, value in books.in_work.items():
            yield self._row("left in work", day, -value, project=name)
