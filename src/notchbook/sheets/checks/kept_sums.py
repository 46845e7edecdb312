"""Whether the ledgers are still those that the books of the last compile were kept from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from notchbook.language import expressions as x
from notchbook.sheets.checks.lines import added, check_line, tie
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import LineCell, LineRow


def _dated(table: str, *columns: str) -> list[x.Expression]:
    """Sums that change when a number of a row does, or its day."""
    return [x.products(table, ("date", each)) for each in columns]


def _of_stocks(column: str) -> x.Expression:
    """A sum that changes when a row names another stock."""
    return x.products("Stock", (column, "moving_average"))


def _of_projects(column: str) -> x.Expression:
    """A sum that changes when a row names another project."""
    return x.products("Projects", (column, "books_each"))


_SUMS: Mapping[str, list[x.Expression]] = {
    "Purchases": [*_dated("Purchases", "amount", "use_tax", "packs"), _of_stocks("bought")],
    "Production log": [*_dated("Production log", "made", "spoiled"), _of_projects("made")],
    "Counts": [
        *_dated("Counts", "quantity", "value"),
        *(of("opening") for of in (_of_stocks, _of_projects)),
    ],
    "Sales ledger": [*_dated("Sales ledger", "quantity"), _of_projects("sold")],
}


SUMS_KEPT: Mapping[str, x.Expression] = {
    f"books_{table.lower().replace(' ', '_')}_planned": x.rounded(added(terms), 2)
    for table, terms in _SUMS.items()
}
"""By the line that keeps it: what the rows of a ledger come to."""


def _kept(line: str, table: str) -> LineRow:
    row = tie(
        line.removesuffix("_planned"),
        f"{table}: changed since books cost was worked out",
        x.rounded(SUMS_KEPT[line] - check_line(line), 2),
        f"{table}: books cost is that of the last compile; compile again",
    )
    return replace(row, cells=(*row.cells, LineCell(line, show.KEPT, role=Role.PLANNED)))


KEPT_SUMS = tuple(_kept(line, table) for line, table in zip(SUMS_KEPT, _SUMS, strict=True))
"""A check a ledger."""
