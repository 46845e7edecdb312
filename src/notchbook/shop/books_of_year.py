"""The books of goods kept from a shop's tables, and what they tell written into these."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import isnan
from typing import Any

import numpy as np

from notchbook.books.keeping import GoodsBooks, keep_books
from notchbook.books.pool import whole
from notchbook.books.rows import BenchRun, Opened, Sale, Slip, YearRows
from notchbook.language.evaluate import Values, evaluate
from notchbook.sheets.checks.kept_sums import SUMS_KEPT
from notchbook.sheets.kit.calculate import Filled
from notchbook.sheets.making.stock_used import runs_took

LEDGER = "Sales ledger"
FILLED = frozenset(
    {
        (LEDGER, "books_cost"),
        *(("Stock", name) for name in ("books_value", "not_paid", "moving_average")),
        *(("Projects", name) for name in ("books_value", "books_each")),
        *(("Year-end", name) for name in ("year_cost", "estimated_goods", "other_left")),
        *(("Checks", name) for name in SUMS_KEPT),
    }
)
"""All columns and lines that the books write."""


def fill_books(filled: Filled, units: Mapping[str, int]) -> GoodsBooks:
    """Keep the books of the year, write what they tell into planned columns and lines."""
    smallest = float(filled.lines["Settings", "smallest"])
    year = read_year(filled, smallest)
    books = keep_books(year)
    tables, lines = filled.tables, filled.lines
    tables[LEDGER]["books_cost"] = _costs_a_piece(year, books, len(tables[LEDGER]), smallest)
    left = _fill_left(filled, books, smallest)
    told = {
        "year_cost": books.year_cost,
        "estimated_goods": books.estimated,
        "other_left": books.left - left,
    }
    lines |= {("Year-end", name): value * smallest for name, value in told.items()}
    values = Values(tables, lines, units)
    for name, rule in SUMS_KEPT.items():
        lines["Checks", name] = float(evaluate(rule, values))
    return books


def _costs_a_piece(year: YearRows, books: GoodsBooks, rows: int, smallest: float) -> Any:
    """A piece's cost in each row of the ledger; nothing costs what moves no piece."""
    costs = np.full(rows, np.nan)
    for sale in year.sales:
        costs[sale.row] = books.sales[sale.row] / sale.pieces * smallest if sale.pieces else 0.0
    return costs


def _fill_left(filled: Filled, books: GoodsBooks, smallest: float) -> int:
    """Write what is left of each stock and project; return what that comes to in all."""
    missing: defaultdict[str, float] = defaultdict(float)
    for each in books.missing:
        missing[each.used.stock] += each.units
    stock, projects = filled.tables["Stock"], filled.tables["Projects"]
    names, makes = stock["stock"].map(str.casefold), projects["project"].map(str.casefold)
    values = [books.stocks[name].value if name in books.stocks else 0 for name in names]
    worth = [
        (books.pieces[name].value if name in books.pieces else 0) + books.in_work.get(name, 0)
        for name in makes
    ]
    stock["books_value"] = [value * smallest for value in values]
    projects["books_value"] = [value * smallest for value in worth]
    stock["not_paid"] = [
        0.0 if reclaimed == "yes" else missing[name]
        for name, reclaimed in zip(names, stock["reclaimed"], strict=True)
    ]
    stock["moving_average"] = [
        _average(books.stocks, name, each, smallest)
        for name, each in zip(names, stock["each"], strict=True)
    ]
    projects["books_each"] = [
        _average(books.pieces, name, each, smallest)
        for name, each in zip(makes, projects["unit_materials"], strict=True)
    ]
    return sum(values) + sum(worth)


def _average(pools: Mapping[str, Any], name: str, otherwise: float, smallest: float) -> float:
    """What one costs by the books, `otherwise` where they know none of it."""
    pool = pools.get(name)
    known = pool is not None and pool.average is not None
    return float(pool.average * smallest if pool is not None and known else otherwise)


def read_year(filled: Filled, smallest: float) -> YearRows:
    """Read the rows of the year from the tables; names as one writes them in small letters."""
    tables = filled.tables
    first, last = (float(filled.lines["Settings", name]) for name in ("year_start", "year_end"))

    def rows(table: str) -> Iterator[tuple[int, Any]]:
        """Yield the rows of a ledger that are of the year."""
        for n, row in enumerate(tables[table].itertuples()):
            if first <= row.date <= last:
                yield n, row

    def amount(value: float) -> int:
        return 0 if isnan(value) else whole(value / smallest)

    packs = dict(zip(_small(tables["Stock"]["stock"]), tables["Stock"]["pack"], strict=True))
    counts = [row for row in tables["Counts"].itertuples() if not isnan(row.quantity)]

    def opened(kind: str, in_work: bool) -> list[Opened]:
        return [
            Opened(name.casefold(), row.quantity, amount(_typed(row.value) + row.proposed))
            for row in counts
            for name in [getattr(row, kind)]
            if row.count == "opening"
            and name
            and (row.stage == "in work") is in_work
            and not (kind == "project" and row.stock)
        ]

    counted: defaultdict[str, float] = defaultdict(float)
    for row in counts:
        if row.count == "closing" and row.stock:
            counted[row.stock.casefold()] += row.quantity
    return YearRows(
        stocks=[*opened("stock", False), *opened("stock", True)],
        pieces=opened("project", False),
        in_work=opened("project", True),
        slips=[
            Slip(
                n,
                row.date,
                row.stock.casefold(),
                _typed(row.packs) * _typed(packs.get(row.stock.casefold(), 1.0), 1.0),
                amount(_typed(row.amount) + _typed(row.use_tax)),
            )
            for n, row in rows("Purchases")
            if row.counts_as == "goods"
        ],
        used=[
            replace(each, project=each.project.casefold(), stock=each.stock.casefold())
            for each in runs_took(tables)
            if first <= each.day <= last
        ],
        runs=[
            BenchRun(n, row.date, row.project.casefold(), max(_typed(row.good), 0.0))
            for n, row in rows("Production log")
        ],
        sales=list(_read_sales(filled, rows(LEDGER), smallest)),
        in_projects=_in_projects(tables),
        counted=counted,
    )


def _read_sales(filled: Filled, rows: Iterator[tuple[int, Any]], smallest: float) -> Iterator[Sale]:
    """Yield what went and came back; a deposit, or one given back, moves no piece."""
    projects = filled.tables["Projects"]
    now = dict(zip(_small(projects["project"]), projects["unit_materials"], strict=True))
    found = [(n, row) for n, row in rows if row.kind != "deposit" and not isnan(row.quantity)]
    sold: defaultdict[tuple[str, str], list[int]] = defaultdict(list)
    for n, row in found:
        if row.kind != "return" and row.receipt:
            sold[row.receipt.casefold(), row.project.casefold()].append(n)
    for n, row in found:
        project = row.project.casefold()
        yield Sale(
            n,
            row.date,
            project,
            0.0 if row.deposit_back else row.quantity,
            _typed(row.unit_materials, now.get(project, 0.0)) / smallest,
            own_use=row.kind == "own use",
            sold_in=sold[row.return_of.casefold(), project] if row.kind == "return" else (),
        )


def _in_projects(tables: Mapping[str, Any]) -> frozenset[str]:
    """Name the stocks that a plan or a use of any project takes, or that a part may be cut from."""
    cut_from = (name for each in tables["Cut list"]["stocks"] for name in each.split(";"))
    laid = (name for each in tables["Laid surfaces"]["stocks"] for name in each.split(";"))
    taken = tables["Material takeoff"]["stock"]
    return frozenset(name.strip().casefold() for name in (*taken, *cut_from, *laid))


def _small(names: Any) -> Iterator[str]:
    return (name.casefold() for name in names)


def _typed(value: float, otherwise: float = 0.0) -> float:
    return otherwise if isnan(value) else value
