"""All sheets, in their order; the tests check the rules of every book that they make.

A book is made when it is asked for: cutting long rules into steps takes a tenth of a second.
"""

from __future__ import annotations

from functools import cache

from notchbook.base.spelling import Spelling
from notchbook.language.kinds import RuleError, kind_of
from notchbook.language.order import in_order
from notchbook.sheets import start
from notchbook.sheets.checks import sheet as checks
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.kit.discovery import Terms, sheets_for
from notchbook.sheets.kit.steps import in_steps
from notchbook.sheets.spelled import spell_book
from notchbook.sheets.tax.tool_depreciation import LEAST_YEARS


def book_for(
    tax: str = Terms.tax,
    year: int = Terms.year,
    tool_years: int = LEAST_YEARS,
    spelling: Spelling | None = None,
    filed: bool = False,
) -> Book:
    """Return the sheets of a country's tax rules in a year.

    Tool depreciation shows so many years from this one on. The words are spelled as they were
    written, or as a shop does. Where the year was filed its lines stand as filed, too.
    """
    terms = Terms(tax, year, tool_years, filed)
    return _written(terms) if spelling is None else _spelled(terms, spelling)


@cache
def _written(terms: Terms) -> Book:
    *linked, pages = sheets_for(terms, checks.sheet(terms.tax))
    return in_steps(Book((start.sheet(linked), *linked, pages)))


@cache
def _spelled(terms: Terms, spelling: Spelling) -> Book:
    return spell_book(_written(terms), spelling)


def check(book: Book) -> None:
    """See that every rule and chart names known things of fitting kinds, and no rule needs itself.

    Raises RuleError for an unknown name, a kind that does not fit, or a circle of rules.
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
