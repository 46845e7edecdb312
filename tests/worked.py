"""A book worked out from a few rows, for checks of rules against published figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from notchbook.language.value_kinds import Kind
from notchbook.measure import CONVERSIONS, Units
from notchbook.sheets import book_for
from notchbook.sheets.kit.calculate import Filled, calculate, frame, plain
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import LineCell
from notchbook.sheets.ledgers.months_and_channels import period_rows
from notchbook.sheets.making.stock_used import USED, kept_takes
from notchbook.sheets.results.sheet import results_rows
from notchbook.sheets.tax.tax_tables import figure_rows
from notchbook.shop.books_of_year import FILLED, fill_books
from notchbook.shop.kept_use import KeptUse, take_new_runs
from notchbook.shop.mark_rows import build_reading_rows

Rows = Mapping[str, Sequence[Mapping[str, Any]]]
SETTINGS: dict[str, Any] = {
    "shop": "Test bench",
    "year": 2026,
    "as_of": date(2026, 6, 1),
    "currency": "USD",
    "units": "inch",
    "show_fractions_to": 0.03125,
    "paper": "letter",
    "labor_rate": 60,
    "overhead_rate": 0,
    "kerf": 0.125,
    "squaring": 0.125,
    "end_trim": 0.25,
    "shortest_rip": 12,
    "usable_offcut": 12,
    "local_factor": 1,
    "target_margin": 0.5,
    "ending": 0,
    "offcuts": "whole",
    "main_tier": "stall",
    "worth_per_hour": 30,
    "skip_per_hour": 15,
    "check_prices_after": 90,
    "least_sold": 3,
    "off_by": 0.2,
    "least_runs": 2,
    "least_spoiled": 2,
    "raise_below": 0.9,
    "raise_days": 14,
    "overhead_share": 0.5,
    "price_off": 3,
    "same_slip_days": 7,
    "count_from": 0.01,
    "stock_method": "inventory",
    "tax": "us",
    "other_income": 0,
    "home_use": 0,
    "home_area": 0,
    "carried_179": 0,
    "other_earned": 0,
    "other_wages": 0,
    "last_year_income": 0,
    "income_tax_rate": 0,
    "written_off": 0,
    "smallest": 0.01,
    "tolerance": 0.005,
}
CHANNEL = {"channel": "street", "fee": 0, "fixed_fee": 0, "packaging": 0, "postage": 0}
Names = tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]
NAMES: Names = (("street",), ("thing",), ("stall",))
TIER = {"tier": "stall", "channel": "street", "least_quantity": 1, "follows": "margin"}


def worked(
    rows: Rows,
    units: Units = "inch",
    names: Names = NAMES,
    only: Sequence[str] = (),
    **settings: Any,
) -> Filled:
    """All sheets worked out over the given rows, or `only` some tables; other ones are empty.

    `names` are the channels, projects and tiers that the year is summed up by.
    """
    said = SETTINGS | settings | {"units": units}
    book = book_for(said["tax"], said["year"], filed="filed" in settings)
    periods = period_rows(said["tax"], said["year"], *names)
    standing = {"Tax tables": figure_rows(said["tax"])}
    standing |= results_rows(*names[:2])
    standing |= {"Channels": [CHANNEL], "Tiers": [TIER], "Months and channels": periods}
    rows = standing | dict(rows)
    marks = [dict(row) | {"row": n} for n, row in enumerate(rows.get("Marks", ()), 1)]
    rows |= {"Marks": marks, "Readings": build_reading_rows(marks)}
    tables = {name: frame(table, rows.get(name, ())) for name, table in book.tables.items()}
    lines: dict[tuple[str, str], float | str] = {
        (block, cell.name): plain(said.get(cell.name, _unplanned(cell)))
        for block, its in book.lines.items()
        for cell in its.cells.values()
        if cell.rule is None
    }
    filled = Filled(tables, lines, {})
    conversions = {name: by_unit[units] for name, by_unit in CONVERSIONS.items()}
    if only:
        own = {(table, name) for table, name, _, _ in book.rules() if table in only}
        reached = {
            read
            for table, _, rule, _ in book.rules()
            if table in only
            for read in book.reach(rule, table)
        }
        calculate(book, filled, conversions, needed=own | reached)
        return filled
    calculate(book, filled, conversions)
    take_new_runs(book, filled, KeptUse(kept_takes(filled.tables[USED].to_dict("records"))))
    fill_books(filled, conversions)
    used = {(USED, column.name) for column in book.tables[USED].columns}
    calculate(book, filled, conversions, changed=FILLED | used)
    return filled


def project(batch: int = 1, **more: Any) -> dict[str, Any]:
    """A row of Projects named `thing`."""
    return {"project": "thing", "batch": batch, "spoilage": 0, "most_units": 24} | more


def value(filled: Filled, table: str, column: str, row: int = 0) -> Any:
    """One worked-out value."""
    return filled.tables[table][column].tolist()[row]


def _unplanned(cell: LineCell) -> float | str | None:
    """What a single value holds that nothing was said of."""
    if cell.role is not Role.PLANNED:
        return None
    return "" if cell.look.kind is Kind.TEXT else 0
