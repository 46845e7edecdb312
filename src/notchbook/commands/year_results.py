"""What the year really earned, as printed behind the form and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypedDict

from notchbook.shop.pipeline import Priced
from notchbook.trade.money import currency_decimals, round_money

_NAME = 24
_LABEL = 44


class ProjectResult(TypedDict):
    """A project in `year-end --json`; null where nothing was sold, or no steps tell it."""

    project: str
    pieces: float
    minutes: float | None
    earned: float
    per_hour: float | None
    per_hour_real: float | None
    planned_per_hour: float | None


def list_results(books: Priced) -> list[ProjectResult]:
    """List what each project really earned, beside what was planned."""
    decimals = currency_decimals(books.definitions.settings.currency)
    tables = books.filled.tables

    def money(value: float) -> float:
        return float(round_money(float(value), decimals))

    def where_any(value: float, known: float) -> float | None:
        return money(value) if known else None

    return [
        {
            "project": str(row.project),
            "pieces": round(float(row.sold), 6),
            "minutes": round(float(row.minutes_taken), 2) or None,
            "earned": money(row.earned),
            "per_hour": where_any(row.per_hour, row.hours),
            "per_hour_real": where_any(row.per_hour_real, row.hours),
            "planned_per_hour": where_any(row.planned_per_hour, row.planned_per_hour),
        }
        for row in tables["Results by project"].itertuples()
    ]


def format_results(books: Priced, full: bool) -> Iterator[str]:
    """Write the results in 80 columns: by project, or in full by channel and in all, too."""
    decimals = currency_decimals(books.definitions.settings.currency)

    def money(value: float, width: int = 10) -> str:
        return f"{float(value):>{width},.{decimals}f}"

    tables, lines = books.filled.tables, books.filled.lines
    yield f"{'What it really earned':<{_NAME}}   sold    earned   an hour   planned  what to do"
    for row in tables["Results by project"].itertuples():
        numbers = f"{row.sold:>7g}{money(row.earned)}{money(row.per_hour)}"
        yield (f"{row.project[:_NAME]:<{_NAME}}{numbers}{money(row.planned_per_hour)}  {row.todo}")
    if not full:
        return
    yield ""
    yield f"{'By channel':<{_NAME}}   sold      left     hours  left an hour"
    for row in tables["Results by channel"].itertuples():
        yield (
            f"{row.channel[:_NAME]:<{_NAME}}{row.pieces:>7g}{money(row.left)}{row.hours:>10,.1f}"
            + (money(row.left_an_hour, 14) if row.hours else "")
        )
    yield ""
    labels = {
        cell.name: each.label for each in books.book.lines["Results"].rows for cell in each.cells
    }
    for name in ("real_rate", "typed_rate", "fixed", "break_even", "safety", "left"):
        yield f"{labels[name]:<{_LABEL}}{money(float(lines['Results', name]), 14)}"
