"""Mileage: business miles, at the rate of their day."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import Strength, look, no_number, of_values, state, unknown
from notchbook.sheets.kit.settings import YEAR_END, YEAR_START, setting
from notchbook.sheets.kit.values import Day, Name, Number, Text
from notchbook.sheets.kit.written import Written
from notchbook.sheets.ledgers.dated import OTHER_YEAR
from notchbook.sheets.ledgers.looks import OF_A_DRIVE, OK_NOTE


class MileageRow(Row):
    """A drive for the business."""

    written = (Written("mileage.csv"),)
    date: Annotated[Day, Given("the day of the drive")]
    purpose: Annotated[Text, Given("where and what for", example="market and back")]
    miles: Annotated[Number, Given("there and back", example="18")]
    channel: Annotated[
        Name | None,
        Given("the channel it was for, where it was any", refers="Channels.channel"),
    ] = None
    ok: Annotated[Literal["yes"] | None, Given(OK_NOTE)] = None


_RATES = x.count(
    "Tax tables",
    "value",
    x.where("table", "=", "mileage"),
    x.where("first", "<=", YEAR_END),
    x.where("last", ">=", YEAR_START),
)
"""Of the year: none before they are published, which Checks tells once."""

TABLE = table(
    "Mileage",
    MileageRow,
    computed(
        "rate",
        show.RATE,
        x.total(
            "Tax tables",
            "value",
            x.where("table", "=", "mileage"),
            x.where("first", "<=", this.date),
            x.where("last", ">=", this.date),
        ),
        "The standard rate on that day, from Tax tables.",
        header="rate a mile",
    ),
    computed("amount", show.MONEY, this.miles * this.rate),
    state(
        no_number("miles"),
        OTHER_YEAR,
        look(
            "no rate",
            this.rate.equals(0) & setting.tax.differs("none") & (_RATES > 0),
            "Tax tables hold no rate for its day; write another",
            "date",
        ),
        unknown("channel", "Channels.channel", strength=Strength.LOOK),
        *of_values(MileageRow),
        *OF_A_DRIVE,
    ),
    silent="date",
    spare=100,
    capacity=10_000,
)
SHEET = Sheet(
    "Mileage",
    "Drives for the business. Use this or the real cost of the car, never both.",
    (TABLE,),
    after="Selling days",
    group="ledger",
    landscape=False,
)
