"""Mileage: drives for the business, at the rate of their day or at the shop's own."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, Table, table
from notchbook.sheets.kit.discovery import Terms
from notchbook.sheets.kit.faults import Strength, look, no_number, of_values, state, unknown
from notchbook.sheets.kit.settings import YEAR_END, YEAR_START, setting
from notchbook.sheets.kit.values import Day, Name, Number, Text
from notchbook.sheets.kit.written import Written
from notchbook.sheets.ledgers.dated import OTHER_YEAR
from notchbook.sheets.ledgers.looks import OF_A_DRIVE, OK_NOTE


class MileageRow(Row):
    """A drive for the business."""

    written = (Written("mileage.csv", in_mm={"miles": "km"}),)
    date: Annotated[Day, Given("the day of the drive")]
    purpose: Annotated[Text, Given("where and what for", example="market and back")]
    miles: Annotated[Number, Given("there and back", header="distance ({distance})", example="18")]
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

_STANDARD = x.total(
    "Tax tables",
    "value",
    x.where("table", "=", "mileage"),
    x.where("first", "<=", this.date),
    x.where("last", ">=", this.date),
)
_NO_RATE = look(
    "no rate",
    this.rate.equals(0) & (_RATES > 0),
    "Tax tables hold no rate for its day; write another",
    "date",
)


def _table(tax: str) -> Table:
    by_form = tax == "us"
    return table(
        "Mileage",
        MileageRow,
        computed(
            "rate",
            show.RATE,
            _STANDARD if by_form else setting.mile_rate + 0,
            "The standard rate on that day, from Tax tables." if by_form else "From Settings.",
            header="rate a {one_distance}",
        ),
        computed("amount", show.MONEY, this.miles * this.rate),
        state(
            no_number("miles"),
            OTHER_YEAR,
            *((_NO_RATE,) if by_form else ()),
            unknown("channel", "Channels.channel", strength=Strength.LOOK),
            *of_values(MileageRow),
            *OF_A_DRIVE,
        ),
        silent="date",
        spare=100,
        capacity=10_000,
    )


def sheet_for(terms: Terms) -> Sheet:
    """The sheet, with the form's rates or the shop's own."""
    return Sheet(
        "Mileage",
        "Drives for the business. Use this or the real cost of the car, never both; parking and"
        " tolls count beside it.",
        (_table(terms.tax),),
        after="Selling days",
        group="ledger",
        landscape=False,
    )
