"""Costs kept from the time of a sale: blank ones in the Sales ledger get the present cost."""

from __future__ import annotations

from collections.abc import Mapping
from math import isnan
from typing import Any

from notchbook.sheets.kit.calculate import Filled

LEDGER = "Sales ledger"
COSTS = ("unit_cost", "unit_materials")
COSTS_KEPT = frozenset((LEDGER, name) for name in COSTS)


def fill_sale_costs(filled: Filled) -> list[dict[str, object]]:
    """Fill in the blank costs of dated sales of known projects; tell what was filled.

    A return takes the cost of the sale it names, as far as that has one; all else takes what
    the project costs now. What was typed or kept before is left alone.
    """
    sales, projects = filled.tables[LEDGER], filled.tables["Projects"]
    now = {
        str(row["project"]).casefold(): {name: float(row[name]) for name in COSTS}
        for row in projects.to_dict("records")
    }
    columns: dict[str, list[Any]] = {name: sales[name].tolist() for name in COSTS}
    stray = {row for row, name in filled.stray.get(LEDGER, {}) if name in COSTS}
    sold = _sold(sales, columns)
    frozen = []
    names = ("date", "project", "receipt", "return_of")
    for row, (day, project, receipt, returned) in enumerate(
        zip(*(sales[name].tolist() for name in names), strict=True)
    ):
        costs = sold.get((returned, project.casefold())) or now.get(project.casefold())
        if costs is None or isnan(day) or row in stray:
            continue
        blank = [name for name in COSTS if isnan(columns[name][row])]
        for name in blank:
            columns[name][row] = round_kept(costs[name])
        if blank:
            kept = {name: columns[name][row] for name in blank}
            frozen.append({"sheet": LEDGER, "row": f"{receipt}, {project}", **kept})
    for name in COSTS:
        sales[name] = columns[name]
    return frozen


def _sold(sales: Any, columns: Mapping[str, list[Any]]) -> dict[tuple[str, str], dict[str, float]]:
    """Collect the kept costs of earlier sales, by receipt and project."""
    found: dict[tuple[str, str], dict[str, float]] = {}
    for row, (receipt, project) in enumerate(
        zip(sales["receipt"].tolist(), sales["project"].tolist(), strict=True)
    ):
        costs = {name: float(columns[name][row]) for name in COSTS}
        if receipt and not any(isnan(cost) for cost in costs.values()):
            found.setdefault((receipt, project.casefold()), costs)
    return found


def round_kept(cost: float) -> float:
    """Round to the 15 digits that every spreadsheet program keeps."""
    return float(f"{cost:.15g}")
