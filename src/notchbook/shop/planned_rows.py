"""Planned rows: what the planner found and what the data files say, as frames for the sheets."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import nan
from typing import TYPE_CHECKING, Any

import numpy as np

from notchbook.definitions import Definitions
from notchbook.language.evaluate import Values, evaluate
from notchbook.language.value_kinds import Kind
from notchbook.measure import CONVERSIONS
from notchbook.plan_views.plan_words import make_plan_words
from notchbook.planning.saw.effort import measure_saw_work
from notchbook.sheets.checks.sheet import KNOWN_ROWS, TYPED_OVER, known_rows_line
from notchbook.sheets.kit.calculate import Filled, frame, mark_stray, plain
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.kit.shop_settings import ShopSettings
from notchbook.sheets.ledgers.accounts import BY_ACCOUNT, account_rows
from notchbook.sheets.ledgers.channels import ChannelRow, TierRow
from notchbook.sheets.ledgers.months_and_channels import people_paid, period_rows
from notchbook.sheets.making.batch_sizes import compared_rows
from notchbook.sheets.making.consumables import UseRow
from notchbook.sheets.making.next_limits import LIMITS, PLANNED_LIMITS
from notchbook.sheets.making.projects import ProjectRow
from notchbook.sheets.making.stock import StockRow
from notchbook.sheets.results.sheet import results_rows
from notchbook.sheets.tax.tax_tables import figure_rows
from notchbook.shop.cut_plan_rows import build_bought_together_rows, build_cut_plan_rows
from notchbook.shop.from_one import say_from_dearest
from notchbook.shop.laid_surface_rows import build_laid_surface_rows
from notchbook.shop.mark_rows import build_cut_list_rows, build_mark_rows, build_reading_rows
from notchbook.shop.plans import LEAST_YIELD
from notchbook.shop.shop_sheet_rows import build_shop_sheet_rows
from notchbook.shop.use_rates import common_use_rates, find_use_rates
from notchbook.trade.nominal import nominal_inches

if TYPE_CHECKING:
    from notchbook.shop.plans import Plans

Rows = list[dict[str, Any]]
_MOST_REPEATED = 10  # times the rows of Yield; no next batch is larger


def fill_book(
    definitions: Definitions, book: Book, plans: Plans, there: Mapping[str, float]
) -> Filled:
    """Fill a book's given and planned cells, ready to be calculated.

    `there` says what lies on the shelf of each stock.
    """
    rows = _build_what_prices_need(definitions, book, plans)
    marks = rows["Marks"] = build_mark_rows(definitions)
    rows["Readings"] = build_reading_rows(marks)
    rows["Batch sizes"] = compared_rows(_read_batches(definitions))
    rows["Cut plan"] = build_cut_plan_rows(plans, there, make_plan_words(definitions))
    taken = {row["stock"] for row in rows["Material takeoff"]}
    used = [stock for stock in there if stock in taken]
    rows["Next materials"] = [{"stock": stock} for stock in used]
    rows["Bought together"] = build_bought_together_rows(plans.together, used)
    channels = [row.channel for row in definitions.table("Channels", ChannelRow)]
    rows["Months and channels"] = _build_periods(definitions, channels)
    ledgers = (definitions.cells(name) for name in ("Sales ledger", "Purchases"))
    rows[BY_ACCOUNT] = account_rows(definitions.cells("Money"), *ledgers)
    rows |= results_rows(channels, definitions.projects)
    rows["At a glance"] = [{"project": project} for project in definitions.projects]
    rows |= build_shop_sheet_rows(definitions, plans, rows["Material takeoff"], marks, there)
    for row in rows["Stock"]:
        row["planned_there"] = there.get(str(row["stock"]))
    return _filled(definitions, book, rows)


def fill_given(definitions: Definitions, book: Book) -> Filled:
    """Fill only what the maker states, for what no plan decides."""
    return _filled(definitions, book, {name: definitions.cells(name) for name in book.tables})


def fill_prices(definitions: Definitions, book: Book, plans: Plans) -> Filled:
    """Fill only those cells that costs and prices are worked out from."""
    return _filled(definitions, book, _build_what_prices_need(definitions, book, plans))


def _build_what_prices_need(
    definitions: Definitions, book: Book, plans: Plans
) -> dict[str, Iterable[Any]]:
    rows: dict[str, Iterable[Any]] = {name: definitions.cells(name) for name in book.tables}
    rows["Stock"] = _build_stock(definitions, plans)
    rows["Projects"] = _build_projects(definitions, plans)
    rows["Cut list"] = build_cut_list_rows(definitions, plans.jobs)
    rows["Laid surfaces"] = build_laid_surface_rows(definitions)
    rows["Material takeoff"] = _build_takeoff(definitions, plans)
    rows["Next batches"] = _build_next_batches(definitions, plans)
    rows["Yield"] = _build_yield(plans)
    rows["Tax tables"] = figure_rows(definitions.settings.tax)
    return rows


def _filled(definitions: Definitions, book: Book, rows: Mapping[str, Iterable[Any]]) -> Filled:
    tables = {name: frame(table, list(rows[name])) for name, table in book.tables.items()}
    for name, stray in definitions.stray.items():
        mark_stray(tables[name], stray)
    filled = Filled(tables, {}, {}, definitions.stray)
    _fill_settings(definitions.settings, book, filled)
    _fill_typed_lines(definitions, book, filled)
    _fill_what_was_planned(definitions, book, filled)
    return filled


def units_of(settings: ShopSettings) -> dict[str, int]:
    """Return the unit conversions of the shop."""
    return {name: by_unit[settings.units] for name, by_unit in CONVERSIONS.items()}


def _fill_settings(settings: ShopSettings, book: Book, filled: Filled) -> None:
    for name, cell in book.lines["Settings"].cells.items():
        if cell.role is Role.GIVEN:
            value = plain(getattr(settings, name))
            filled.lines["Settings", name] = value


def _fill_typed_lines(definitions: Definitions, book: Book, filled: Filled) -> None:
    """Fill in the typed cells of all other sheets of lines."""
    for sheet, lines in book.lines.items():
        for name, cell in lines.cells.items():
            if cell.role is Role.GIVEN and sheet != "Settings":
                filled.lines[sheet, name] = plain(definitions.lines.get((sheet, name)))


def _fill_what_was_planned(definitions: Definitions, book: Book, filled: Filled) -> None:
    """Fill in what the plan was made for, by the rules that tell it stale later."""
    for block, its in book.lines.items():
        for cell in its.cells.values():
            if cell.role is Role.PLANNED:  # until all is worked out
                filled.lines[block, cell.name] = "" if cell.look.kind is Kind.TEXT else 0.0
    units = units_of(definitions.settings)

    def now(table: str, column: str) -> Any:
        rule = book.tables[table].by_name[column].whole
        assert rule is not None
        return evaluate(rule, Values(filled.tables, filled.lines, units, filled.tables[table]))

    filled.tables["Stock"]["planned_size"] = now("Stock", "size_sum")
    filled.tables["Projects"]["planned_sum"] = now("Projects", "cut_sum")
    for table in ("Stock", "Cut list", "Laid surfaces"):
        filled.tables[table]["planned_key"] = now(table, "plan_key")
    saw = book.lines["Settings"].cells["saw_sum"].whole
    assert saw is not None
    saw_sum = float(evaluate(saw, Values({}, filled.lines, units)))
    filled.lines["Settings", "planned_saw_sum"] = saw_sum
    offcut_sum = float(np.nansum(now("Offcuts", "size_sum")))
    filled.lines["Settings", "planned_offcut_sum"] = offcut_sum
    for kind, use in common_use_rates().items():
        filled.lines["Settings", f"use_{kind}"] = use
    filled.lines |= {(LIMITS, name): nan for name in PLANNED_LIMITS}
    filled.lines["Checks", TYPED_OVER] = float(definitions.typed_over)
    for table, column in KNOWN_ROWS.items():
        known = float(filled.tables[table][column].notna().sum())
        filled.lines["Checks", known_rows_line(table)] = known


def _build_stock(definitions: Definitions, plans: Plans) -> Rows:
    rows = []
    kinds = {row.stock: row.kind for row in definitions.table("Stock", StockRow)}
    share = definitions.settings.offcuts == "share"
    rates = find_use_rates(plans.cuts.values(), kinds, spare_offcuts=share)
    for row in definitions.cells("Stock"):
        nominal: tuple[object, object] = (None, None)
        if row["nominal"] and definitions.settings.units == "inch":
            nominal = nominal_inches(str(row["nominal"]))
        rate, source = rates.get(str(row["stock"]), (None, ""))
        rows.append(
            row
            | {"nominal_thickness": nominal[0], "nominal_width": nominal[1]}
            | {"planned_use": rate, "planned_from": source}
        )
    return rows


def _build_projects(definitions: Definitions, plans: Plans) -> Rows:
    """Build the rows of Projects; a plan is cut with the saw that it was made for."""

    def planned(row: Mapping[str, Any]) -> dict[str, Any]:
        name = str(row["project"])
        work = measure_saw_work(plans.cuts[name], plans.jobs[name].saw)
        return {
            "most_units": plans.most_units(name),
            "planned_batch": row["batch"],
            "saw_minutes": float(work.minutes),
            "from_one": say_from_dearest(plans, name),
            "offcuts_used": sum(plans.count_offcuts(name).values()) or None,
        }

    return [{**row, **planned(row)} for row in definitions.cells("Projects")]


def _read_batches(definitions: Definitions) -> dict[str, int]:
    return {row.project: row.batch for row in definitions.table("Projects", ProjectRow)}


def _build_takeoff(definitions: Definitions, plans: Plans) -> Rows:
    """Build a row for each project and each stock that any of its plans or uses takes."""
    used: dict[str, dict[str, None]] = {project: {} for project in definitions.projects}
    for project, found in plans.yields.items():
        for row in found if project in used else ():  # plans may be of a shop that had others
            used[project] |= {stock: None for stock, boards in row.boards.items() if boards}
    for project, plan in plans.at_saw.items():
        boards = {board.stock for board in plans.jobs[project].boards}
        used[project] |= {cut.stock: None for cut in plan.cuts() if cut.stock in boards}
    for use in definitions.table("Consumables", UseRow):
        if use.stock:
            used[use.project][use.stock] = None
    return [
        {"project": project, "stock": stock, "fewer": _count_fewer(plans, project, stock)}
        for project, stocks in used.items()
        for stock in stocks
    ]


def _count_fewer(plans: Plans, project: str, stock: str) -> int | None:
    """Count the boards of a stock that offcuts save a project's batch.

    Where these are enough, boards that are not there are saved, too, which its plan was short of.
    """
    at_saw = plans.at_saw.get(project)
    if at_saw is None:
        return None
    if at_saw.short:
        needed = plans.cuts[project].count_boards(stock)
    else:
        needed = plans.yields[project][at_saw.units - 1].boards.get(stock, 0)
    return needed - at_saw.count_boards(stock) or None


def _build_next_batches(definitions: Definitions, plans: Plans) -> Rows:
    """Build a row for each project, none of which is made before that is worked out."""
    rows = []
    for row in definitions.cells("Next batches"):
        planned = len(plans.yields.get(str(row["project"]), ())) or LEAST_YIELD
        rows.append(row | {"make": 0, "most": _MOST_REPEATED * planned})
    return rows


def _build_yield(plans: Plans) -> Rows:
    rows: Rows = []
    for project, found in plans.yields.items():
        stocks = dict.fromkeys(
            stock for row in found for stock, boards in row.boards.items() if boards
        )
        rows += [
            {
                "project": project,
                "stock": stock,
                "units": row.units,
                "boards": row.boards.get(stock, 0),
                "offcut_boards": row.offcut_boards.get(stock, 0),
            }
            for stock in stocks
            for row in found
        ]
    return rows


def _build_periods(definitions: Definitions, channels: list[str]) -> Rows:
    settings = definitions.settings
    tiers = [row.tier for row in definitions.table("Tiers", TierRow)]
    people = people_paid(definitions.cells("Purchases"))
    return period_rows(settings.tax, settings.year, channels, definitions.projects, tiers, people)
