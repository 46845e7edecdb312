"""Fairs: days at a stall, a ledger of its own."""

from __future__ import annotations

from typing import Annotated

from notchbook.language import expressions as x
from notchbook.language.expressions import this
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import look, no_number, state
from notchbook.sheets.kit.settings import in_year
from notchbook.sheets.kit.values import Day, Name, Number, Text
from notchbook.sheets.kit.written import Written
from notchbook.sheets.ledgers.dated import OTHER_YEAR


class FairRow(Row):
    """A day at a stall."""

    written = (Written("fairs.csv"),)
    date: Annotated[Day, Given("the day of the fair")]
    channel: Annotated[Name, Given("the channel it belongs to", refers="Channels.channel")]
    hours: Annotated[Number, Given("at the stall", example="6")] = 0.0
    note: Annotated[Text | None, Given("anything", example="rain")] = None


TABLE = table(
    "Fairs",
    FairRow,
    computed("month", show.COUNT, x.call("MONTH", this.date)),
    state(
        no_number("hours"),
        OTHER_YEAR,
        look("over a day", this.hours > x.Unit("hour"), "write hours"),
    ),
    silent="date",
    spare=20,
    capacity=1_000,
    workings=("month",),
)
SHEET = Sheet(
    "Fairs",
    "One line for each day at a stall.",
    (TABLE,),
    after="Production log",
    group="ledger",
)
HOURS = x.total("Fairs", "hours", *in_year())
