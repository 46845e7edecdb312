"""What a year's books have left, opened in the next one, where no whole count says it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from notchbook.base.sentences import listed
from notchbook.books.keeping import take_off
from notchbook.books.pool import whole
from notchbook.definitions.editing.writing import number, write_csv
from notchbook.sheets.ledgers.counts import CountRow
from notchbook.shop.pipeline import Priced
from notchbook.trade.money import currency_decimals

_COLUMNS = ("date", "stock", "project", "stage", "quantity", "value")
_AMOUNTS = ("quantity", "value")
_NOTHING = 1e-6
Spelled = Mapping[str, Mapping[str, str]]
"""By column, names in small letters as the definitions spell them."""


@dataclass
class OpeningStock:
    """Opening counts, and what to look at.

    `found` tells whether there was a closing count at all, `by_books` whether the books say what
    was left in its place.
    """

    rows: list[CountRow] = field(default_factory=list)
    look: list[str] = field(default_factory=list)
    found: bool = False
    by_books: bool = False

    def as_csv(self) -> str:
        """Write the counts as the file of a ledger."""
        return write_csv(_COLUMNS, map(_cells, self.rows))


def _cells(row: CountRow) -> list[str]:
    words = [row.stock or "", row.project or "", row.stage or ""]
    amounts = [number(getattr(row, each) or 0.0) for each in _AMOUNTS]
    return [row.date.isoformat(), *words, *amounts]


def open_by_books(result: OpeningStock, priced: Priced, spelled: Spelled, day: date) -> None:
    """Open what the books have left of each stock and project, in place of a count in part.

    What line 41 is below that, such as stock written off, goes off raw stocks first, by value.
    """
    settings, books = priced.definitions.settings, priced.books
    smallest = float(priced.filled.lines["Settings", "smallest"])
    closing = whole(float(priced.filled.lines["Year-end", "closing_stock"]) / smallest)
    off = max(books.left - closing, 0)
    raw = {name: pool.value for name, pool in books.stocks.items()}
    pieces = {name: pool.value for name, pool in books.pieces.items()}
    raw_left = take_off(raw, off)
    pieces_left = take_off(pieces, off - sum(raw.values()) + sum(raw_left.values()))
    begun = _begun(priced)
    told = [
        *(("stock", name, None, books.stocks[name].units, raw_left[name]) for name in raw),
        *(("project", name, None, books.pieces[name].units, pieces_left[name]) for name in pieces),
        *(("project", n, "in work", begun.get(n, 0.0), v) for n, v in books.in_work.items()),
    ]
    places = {name: n for names in spelled.values() for n, name in enumerate(names)}
    told.sort(key=lambda each: (each[0] == "project", places.get(each[1], len(places))))
    result.rows = [
        CountRow.model_validate(
            {"date": day, column: spelled[column].get(name, name), "stage": stage}
            | {"quantity": round(units, 6)}
            | {"value": round(value * smallest, currency_decimals(settings.currency))}
        )
        for column, name, stage, units, value in told
        if units > _NOTHING or value
    ]
    if result.rows:
        which = "was not counted whole" if result.found else "was not counted"
        result.look.append(
            f"the stock of {day.year - 1} {which}, so it opens with what its books have left, which"
            f" is its stock at the end; count and mend ledgers/counts.csv: {_said(result.rows)}"
        )


def _begun(priced: Priced) -> dict[str, float]:
    """Add up the pieces in work that the year opened with, by project."""
    counts = priced.filled.tables["Counts"]
    mine = counts[(counts["count"] == "opening") & (counts["stage"] == "in work")]
    return dict(mine.groupby(mine["project"].str.casefold())["quantity"].sum())


def open_at_nothing(result: OpeningStock, priced: Priced, spelled: Spelled, day: date) -> None:
    """Open what nobody counted at no value: the old year has its cost already."""
    counted = {(each.stock or each.project or "").casefold() for each in result.rows}
    books = priced.books
    left = [
        *(("stock", name, pool.units) for name, pool in books.stocks.items()),
        *(("project", name, pool.units) for name, pool in books.pieces.items()),
    ]
    rows = [
        CountRow.model_validate(
            {"date": day, column: spelled[column][name], "quantity": round(units, 6), "value": 0.0}
        )
        for column, name, units in left
        if units > _NOTHING and name not in counted and name in spelled[column]
    ]
    result.rows += rows
    if rows:
        result.look.append(
            "not counted, so opened with what the books expect, at no value, as the cost of goods"
            f" of {day.year - 1} has it already; count and mend ledgers/counts.csv: {_said(rows)}"
        )


def _said(rows: Sequence[CountRow]) -> str:
    return listed(f"{number(round(row.quantity, 2))} of {row.stock or row.project}" for row in rows)
