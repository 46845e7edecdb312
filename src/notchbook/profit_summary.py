"""The year's profit summary, as printed and as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import Any, TypedDict

from notchbook.gathering import gather
from notchbook.language.functions import from_serial
from notchbook.money import currency_decimals, round_money
from notchbook.sheets.declare import DATE, MONEY
from notchbook.sheets.year_end import BASIS, CAUTION
from notchbook.shop import Priced, checks_of, price_of

WIDTH = 80
_AMOUNT = 14


@dataclass(frozen=True, slots=True)
class Entry:
    """An amount of Year-end: under which heading, its printed number, label, and where it goes."""

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


@dataclass(frozen=True, slots=True)
class Books:
    """The year's books with everything worked out, and what wants a look in their file."""

    priced: Priced
    look: list[str]


def read_books(folder: Path, as_of: date | None) -> Books:
    """The year's books, from the workbook as last saved where there is one, else from the files.

    Raises DefinitionError with all problems of files and cells.
    """
    gathered = gather(folder, as_of)
    return Books(price_of(gathered), gathered.look)


def summary(books: Priced) -> Summary:
    """The lines of the form, the estimates and the checks."""
    found = list(entries(books))
    return {
        "year": books.definitions.settings.year,
        "lines": [
            {"line": each.mark or each.label, "label": each.label, "amount": each.amount}
            for each in found
            if each.of_form
        ],
        "estimates": [
            {"label": each.label, "amount": each.amount} for each in found if not each.of_form
        ],
        "checks": checks_of(books),
    }


def entries(books: Priced) -> Iterator[Entry]:
    """The amounts of Year-end in their order; the due dates of payments carry the payment."""
    decimals = currency_decimals(books.definitions.settings.currency)
    values = books.filled.lines

    def money(name: str) -> float | int:
        exact = round_money(float(values["Year-end", name]), decimals)
        return float(exact) if decimals else int(exact)

    heading, rows = "", books.book.lines["Year-end"].rows
    numbered = any(row.mark for row in rows)
    in_result = not numbered
    for row in rows:
        if row.heading:
            heading = row.label
        for cell in row.cells:
            of_form = bool(row.mark) if numbered else in_result
            if cell.look is MONEY:
                yield Entry(heading, row.mark, row.label, money(cell.name), of_form)
            elif cell.look is DATE and values["Year-end", cell.name]:
                due = from_serial(float(values["Year-end", cell.name]))
                yield Entry(heading, "", f"payment due {due}", money("payment"), False)
            in_result = in_result and cell.name != "net_profit"


def summary_text(books: Priced) -> str:
    """The summary in 80 columns; amounts of nothing beside the form are left out."""
    settings = books.definitions.settings
    decimals = currency_decimals(settings.currency)
    told = [f"{settings.shop}, {settings.year}, amounts in {settings.currency}"[:WIDTH]]
    shown = [each for each in entries(books) if each.of_form or each.amount]
    for heading, group in groupby(shown, key=lambda each: each.heading):
        told += ["", heading]
        for each in group:
            label = f"{each.mark:<5}{each.label}" if each.mark else each.label
            amount = f"{each.amount:>{_AMOUNT},.{decimals}f}"
            told.append(f"{label[: WIDTH - _AMOUNT - 1]:<{WIDTH - _AMOUNT}}{amount}")
    checks = checks_of(books)
    ties = sum(1 for each in checks if each["ok"])
    told += ["", f"{ties} of {len(checks)} checks OK", *textwrap.wrap(f"{CAUTION} {BASIS}", WIDTH)]
    return "\n".join(told)
