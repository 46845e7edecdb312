"""The lines of Next batches: the hours and the money there are, and what the numbers come to."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from pydantic import BaseModel

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Role, given_columns
from notchbook.sheets.kit.declare import (
    LineCell,
    LineRow,
    Lines,
    heading,
    line,
    typed,
)
from notchbook.sheets.kit.settings import in_year, setting
from notchbook.sheets.kit.values import Day, Money, Number

LIMITS = "Next limits"
"""The lines of the sheet."""


class NextLimits(BaseModel):
    """The hours and the money there are, and the day by which all is to be sold."""

    hours: Annotated[
        Number | None, Given("at the bench", header="hours there are", blank="no limit")
    ] = None
    money: Annotated[
        Money | None, Given("boards and packs", header="money there is", blank="no limit")
    ] = None
    until: Annotated[
        Day | None,
        Given("sold by then", header="until", blank="by Settings"),
    ] = None


BINDING = ("hours", "money")
"""Those that may leave out what could be sold."""


def next_line(name: str) -> x.Line:
    """A line of the sheet."""
    return x.Line(LIMITS, name)


def differ(now: x.MayBeBlank, then: x.MayBeBlank) -> x.Expression:
    """1 where two values differ, a blank one from 0 too."""
    nothing = -x.as_node(1)
    return when(x.rounded(now.or_else(nothing) - then.or_else(nothing), 6).differs(0), 1, 0)


def _sum(column: str, of: str = "Next batches") -> x.Expression:
    return x.total(of, column)


def _left(limit: str, used: str) -> x.Expression:
    return when(x.blank(next_line(limit)), 0, next_line(limit) - next_line(used))


_TYPED = {column.name: column for column in given_columns(NextLimits)}
_DAYS = x.Unit("week")
_NO_LIMIT = "none where there is no limit"
_SAID = replace(show.LINE, width=10)  # as wide as the numbers above; the words run on
SAYS = tuple(f"says_{n}" for n in range(1, 4))
"""The lines that say what the last compile found."""
PLANNED_LIMITS = tuple(f"planned_{name}" for name in NextLimits.model_fields)
"""The lines that hold with which limits it was planned."""


def _planned_line(name: str, label: str, look: show.Look, note: str) -> LineRow:
    return LineRow(label, (LineCell(name, look, role=Role.PLANNED),), note)


def _folded_line(
    name: str, label: str, look: show.Look, rule: x.Expression, note: str = ""
) -> LineRow:
    return replace(line(name, label, look, rule, note), folded=True)


LINES = Lines(
    LIMITS,
    ("what there is", "value", "what it means"),
    (
        *(typed(column) for column in _TYPED.values()),
        heading("With these numbers"),
        line("pieces", "pieces made", show.COUNT, _sum("makes")),
        line(
            "hours_used",
            "hours used",
            show.AMOUNT,
            (
                _sum("minutes")
                - _sum("next_prep", "Material takeoff")
                + _sum("prep_minutes", "Next materials")
            )
            / x.Unit("hour"),
        ),
        line("hours_left", "hours left", show.AMOUNT, _left("hours", "hours_used"), _NO_LIMIT),
        line("money_used", "money used", show.MONEY, _sum("cost", "Next materials"), "whole packs"),
        line("money_left", "money left", show.MONEY, _left("money", "money_used"), _NO_LIMIT),
        line("brings_in", "brings in", show.MONEY, _sum("brings_in"), "after stock used and wear"),
        line(
            "per_hour",
            "earned an hour",
            show.MONEY,
            when(
                next_line("hours_used") > 0,
                next_line("brings_in") / next_line("hours_used") - setting.overhead_rate,
                0,
            ),
            "after overhead",
        ),
        heading("How many sell"),
        line(
            "now",
            "counted from",
            show.DATE,
            x.call("MAX", setting.as_of, x.greatest("Sales ledger", "date", *in_year())),
            "as of, or the last sale",
        ),
        line(
            "sell_weeks",
            "weeks to sell in",
            show.AMOUNT,
            when(
                x.blank(next_line("until")),
                setting.sell_weeks,
                x.call("MAX", next_line("until") - next_line("now"), 0) / _DAYS,
            ),
        ),
        line(
            "sales_from",
            "sales counted since",
            show.DATE,
            x.call(
                "MAX",
                next_line("now") - setting.weeks * _DAYS + 1,
                x.least("Sales ledger", "date", *in_year()),
            ),
        ),
        line(
            "weeks_counted",
            "weeks of sales",
            show.AMOUNT,
            (next_line("now") - next_line("sales_from") + 1) / _DAYS,
        ),
        heading("As the last compile found"),
        *(LineRow("", (LineCell(name, _SAID, role=Role.PLANNED),), optional=True) for name in SAYS),
        *(
            replace(_planned_line(name, f"{column.header} then", column.look, ""), folded=True)
            for name, column in zip(PLANNED_LIMITS, _TYPED.values(), strict=True)
        ),
        _folded_line(
            "changed",
            "changed since",
            show.COUNT,
            x.rounded(
                differ(next_line("hours"), next_line("planned_hours"))
                + differ(next_line("money"), next_line("planned_money"))
                + differ(next_line("until"), next_line("planned_until"))
                + _sum("otherwise")
                + _sum("otherwise", "Next materials"),
                0,
            ),
            "above 0: the proposal is old",
        ),
        _folded_line("instead", "made otherwise", show.COUNT, _sum("instead")),
    ),
)
