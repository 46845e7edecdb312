"""The year's profit summary, as printed and as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any, NotRequired, TypedDict

from notchbook.commands.year_results import ProjectResult, format_results, list_results
from notchbook.gathering import gather
from notchbook.language.functions import from_serial
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.show import DATE, MONEY
from notchbook.sheets.tax.estimates import TOLD_FIRST
from notchbook.sheets.tax.typed_over import is_watch
from notchbook.sheets.tax.year_end import CAUTION, basis
from notchbook.shop.filed_lines import as_filed
from notchbook.shop.pipeline import Priced, list_book_notices, list_checks, price_gathered
from notchbook.tax.forms import lines_not_here
from notchbook.trade.money import currency_decimals, round_money

if TYPE_CHECKING:
    from notchbook.workbook.read.typed import TypedBook

WIDTH = 80
_AMOUNT = 14
_RESULT = ("net_profit",)  # is told where it is 0, too


@dataclass(frozen=True, slots=True)
class SummaryLine:
    """An amount of Year-end: its name, heading, printed number, label, and where it goes."""

    name: str
    heading: str
    mark: str
    label: str
    amount: float | int
    of_form: bool


class Summary(TypedDict):
    """What `year-end --json` prints."""

    year: int
    lines: list[dict[str, Any]]
    estimates: list[dict[str, Any]]
    checks: list[dict[str, Any]]
    results: list[ProjectResult]
    filed: NotRequired[str]  # the day, once the year is


@dataclass(frozen=True, slots=True)
class Books:
    """The year's books with everything worked out, and what wants a look in their file."""

    priced: Priced
    look: list[str]
    notices: list[str]


def read_books(folder: Path, as_of: date | None) -> Books:
    """Read the year's books, from the workbook as last saved where there is one, else the files.

    Everything is worked out anew; where the workbook's own numbers differ, that wants a look.
    Raises DefinitionError with all problems of files and cells.
    """
    gathered = gather(folder, as_of)
    priced = price_gathered(gathered)
    look, notices = list(gathered.look), list_book_notices(priced)
    if gathered.old is not None:
        held = _read_own_numbers(gathered.old.typed, priced)
        if held and all(value is None for _, value in held.values()):
            notices.insert(0, _NO_VALUES)
        else:
            differing = _find_differences(held, priced)
            notices[:0] = _leave_out_goods(differing, priced)
            look += _list_differences(differing, priced)
    return Books(priced, look, notices)


_NO_VALUES = (
    "the workbook was saved by a program that does not calculate, so Year-end shows nothing there;"
    " the amounts here are worked out anew"
)


def _read_own_numbers(typed: TypedBook, priced: Priced) -> dict[str, tuple[str, object]]:
    """Read what the file itself says on Year-end, and where."""
    from notchbook.workbook.read.own_numbers import own_numbers

    return own_numbers(typed, priced.book.lines["Year-end"])


def _find_differences(
    held: dict[str, tuple[str, object]], priced: Priced
) -> dict[str, tuple[str, object]]:
    """Find the numbers of Year-end that the file holds otherwise than they are worked out."""
    least = _almost_half(currency_decimals(priced.definitions.settings.currency))
    lines = priced.filled.lines
    return {
        name: (place, value)
        for name, (place, value) in held.items()
        if not is_watch(name)
        and (
            not isinstance(value, int | float)
            or abs(value - float(lines["Year-end", name])) >= least
        )
    }


def _leave_out_goods(differing: dict[str, tuple[str, object]], priced: Priced) -> list[str]:
    """Take out the lines that follow from books cost where it is of the last compile; tell it."""
    if "goods_sold" not in differing:
        return []
    decimals = currency_decimals(priced.definitions.settings.currency)
    held = differing["goods_sold"][1]
    said = f"{held:,.{decimals}f}" if isinstance(held, int | float) else "nothing"
    cells = priced.book.lines["Year-end"].cells
    for name in list(differing):
        rule = cells[name].rule
        if rule is None or _BOOKS_COST in priced.book.reach(rule, None):
            del differing[name]
    return [
        f"the workbook's cost of goods, {said}, is by the books of the last compile; worked out"
        f" anew it is {float(priced.filled.lines['Year-end', 'goods_sold']):,.{decimals}f}, and"
        " profit and estimates follow it; compile again"
    ]


_BOOKS_COST = ("Sales ledger", "books_cost")


def _list_differences(differing: dict[str, tuple[str, object]], priced: Priced) -> Iterator[str]:
    """Tell each difference with its cell and both amounts."""
    decimals = currency_decimals(priced.definitions.settings.currency)
    rows = priced.book.lines["Year-end"].rows
    labels = {cell.name: row.label for row in rows for cell in row.cells}
    for name, (place, value) in differing.items():
        known = isinstance(value, int | float)
        said = f"{value:,.{decimals}f}" if known else (value or "nothing")
        yield (
            f"{place}: the file says {said} for {labels[name]}, worked out anew it is"
            f" {float(priced.filled.lines['Year-end', name]):,.{decimals}f}; compile again"
        )


def _almost_half(decimals: int) -> float:
    """From here on two amounts are not the same to the currency's smallest one."""
    return 0.49 * 10.0**-decimals


def summarize(books: Priced) -> Summary:
    """Summarize the year: the form, the estimates, the checks, what was earned."""
    found = list(list_lines(books))
    result: Summary = {
        "year": books.definitions.settings.year,
        "lines": [
            {"line": each.mark or each.label, "label": each.label, "amount": each.amount}
            for each in found
            if each.of_form
        ],
        "estimates": [
            {"label": each.label, "amount": each.amount} for each in found if not each.of_form
        ],
        "checks": list_checks(books),
        "results": list_results(books),
    }
    if books.definitions.settings.filed is not None:
        result["filed"] = books.definitions.settings.filed.isoformat()
    return result


def list_lines(books: Priced) -> Iterator[SummaryLine]:
    """List the amounts of Year-end in their order; payments carry their due dates.

    Lines of a return that was filed are what they were then.
    """
    decimals = currency_decimals(books.definitions.settings.currency)
    values, filed = books.filled.lines, as_filed(books.filled)

    def money(name: str) -> float | int:
        amount = filed.get(name, values["Year-end", name])
        exact = round_money(float(amount), decimals)
        return float(exact) if decimals else int(exact)

    heading, rows = "", books.book.lines["Year-end"].rows
    numbered = any(row.mark for row in rows)
    in_result = not numbered
    for row in rows:
        if row.heading:
            heading = row.label
        for cell in row.cells:
            of_form = bool(row.mark) if numbered else in_result
            if cell.look is MONEY and cell.role is Role.COMPUTED:
                amount = money(cell.name)
                yield SummaryLine(cell.name, heading, row.mark, row.label, amount, of_form)
            elif cell.look is DATE and values["Year-end", cell.name]:
                due = from_serial(float(values["Year-end", cell.name]))
                amount, label = money("payment"), f"payment due {due}"
                yield SummaryLine(cell.name, heading, "", label, amount, False)
            in_result = in_result and cell.name != "net_profit"


def format_summary(books: Priced, full: bool = False) -> str:
    """Write the summary in 80 columns: the form without lines of 0 and first things, or all."""
    settings = books.definitions.settings
    decimals = currency_decimals(settings.currency)

    def write(each: SummaryLine) -> str:
        label = f"{each.mark:<5}{each.label}" if each.mark else each.label
        amount = f"{each.amount:>{_AMOUNT},.{decimals}f}"
        return f"{label[: WIDTH - _AMOUNT - 1]:<{WIDTH - _AMOUNT}}{amount}"

    told = [f"{settings.shop}, {settings.year}, amounts in {settings.currency}"[:WIDTH]]
    lines = list(list_lines(books))
    shown = [
        each for each in lines if full or (each.of_form and (each.amount or each.name in _RESULT))
    ]
    for heading, group in groupby(shown, key=lambda each: each.heading):
        told += ["", heading, *map(write, group)]
    if not full and (first := [each for each in lines if each.name in TOLD_FIRST and each.amount]):
        told += ["", *map(write, first)]
    if settings.filed is not None:
        told += ["", *textwrap.wrap(_say_filed(books), WIDTH)]
    rests_on = basis(settings.tax, settings.year)
    return "\n".join(
        [
            *told,
            "",
            *format_results(books, full),
            "",
            *_left_out(books, full),
            *textwrap.wrap(f"{CAUTION[settings.tax]} {rests_on}", WIDTH),
        ]
    )


def _say_filed(books: Priced) -> str:
    """Say that the lines are those of the day they were filed, and which are others by now."""
    values, settings = books.filled.lines, books.definitions.settings
    differing = values["Checks", "filed_changed_named"]
    since = f"; by now they would be others: {differing}" if differing else ""
    return f"Lines as filed on {settings.filed}{since}."


def _left_out(books: Priced, full: bool) -> Iterator[str]:
    """Say what of the form is not here, and how the checks stand."""
    settings = books.definitions.settings
    yours = lines_not_here("us", settings.year) if settings.tax == "us" else ()
    if full and yours:
        named = ", ".join(f"{number} {label}" for label, number in yours)
        yield from textwrap.wrap(f"Lines you fill in yourself: {named}.", WIDTH)
        yield ""
    elif yours:
        yield f"Not shown: details, lines of 0, {len(yours)} that you fill in yourself; see --full."
    elif not full:
        yield "Not shown: details, and lines of 0; see --full."
    checks = list_checks(books)
    yield f"{sum(1 for each in checks if each['ok'])} of {len(checks)} checks OK"
