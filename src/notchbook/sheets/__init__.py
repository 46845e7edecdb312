"""All sheets, in their order, checked when this package is imported."""

from __future__ import annotations

from functools import cache

from notchbook.language.kinds import RuleError, kind_of
from notchbook.language.order import in_order
from notchbook.sheets import settings_sheet, start
from notchbook.sheets.checks import sheet as checks
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.ledgers import (
    counts,
    mileage,
    months_and_channels,
    production_log,
    purchases,
    sales_ledger,
    statements,
)
from notchbook.sheets.making import (
    batch_sizes,
    consumables,
    cut_list,
    laid_surfaces,
    marks,
    plan_sheets,
    pricing_tiers,
    projects,
    seen_prices,
    shop_sheets,
    stock,
    takeoff,
    work_steps,
)
from notchbook.sheets.tax import tax_tables, tool_depreciation, year_end

_BEFORE_TOOLS = (
    settings_sheet.SHEET,
    stock.SHEET,
    projects.SHEET,
    seen_prices.SHEET,
    cut_list.SHEET,
    laid_surfaces.SHEET,
    takeoff.SHEET,
    consumables.SHEET,
    work_steps.SHEET,
    pricing_tiers.SHEET,
    sales_ledger.SHEET,
    purchases.SHEET,
    production_log.SHEET,
    mileage.SHEET,
    counts.SHEET,
    statements.SHEET,
)
_AFTER_YEAR_END = (
    months_and_channels.SHEET,
    checks.SHEET,
    plan_sheets.CUT_PLAN_SHEET,
    batch_sizes.YIELD_SHEET,
    marks.SHEET,
    tax_tables.SHEET,
)


@cache
def book_for(tax: str, year: int, tool_years: int = tool_depreciation.LEAST_YEARS) -> Book:
    """The sheets of a country's tax rules in a year, every rule checked.

    Tool depreciation shows so many years from this one on.

    Raises RuleError for an unknown name, a kind that does not fit, or a circle of rules.
    """
    of_country = (tool_depreciation.sheet(tax, tool_years), year_end.sheet(tax, year))
    rest = (*_BEFORE_TOOLS, *of_country, *_AFTER_YEAR_END)
    book = Book((start.sheet(rest), *rest, shop_sheets.SHEET))
    check(book)
    return book


def check(book: Book) -> None:
    """Every rule and chart names known things of fitting kinds, and no rule needs itself.

    Raises RuleError.
    """
    for sheet in book.sheets:
        for chart in sheet.charts:
            chart.check(book.tables)
    for owner, name, rule, has_rows in book.rules():
        table = owner if has_rows else None
        expected = book.column_kind(owner, name) if has_rows else book.line_kind(owner, name)
        try:
            found = kind_of(rule, table, book)
        except RuleError as error:
            raise RuleError(f"{owner}.{name}: {error}") from error
        if (found.value == "text") is not (expected.value == "text") or found.value == "truth":
            raise RuleError(
                f"{owner}.{name} shows {expected.value} but its rule gives {found.value}"
            )
    in_order(book.needs)


BOOKS = {tax: book_for(tax, 2026) for tax in ("us", "none")}
