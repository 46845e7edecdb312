"""Mileage: business miles, at the rate of their day."""

from __future__ import annotations

from typing import Annotated

from notchbook.language.expressions import call, text_in, this, total, when, where
from notchbook.sheets.kit.declare import (
    AMOUNT,
    DATE,
    MONEY,
    RATE,
    TEXT,
    WORD,
    Given,
    Row,
    Sheet,
    computed,
    table,
)
from notchbook.sheets.kit.settings import setting, state_in_year
from notchbook.sheets.kit.values import Day, Number, Text


class MileageRow(Row):
    """A drive for the business."""

    date: Annotated[Day, Given("date", DATE, "the day of the drive")]
    purpose: Annotated[Text, Given("purpose", TEXT, "where and what for")]
    miles: Annotated[Number, Given("miles", AMOUNT, "there and back")]


TABLE = table(
    "Mileage",
    MileageRow,
    computed(
        "rate",
        "rate a mile",
        RATE,
        total(
            "Tax tables",
            "value",
            where("table", "=", "mileage"),
            where("first", "<=", this("date")),
            where("last", ">=", this("date")),
        ),
        "The standard rate on that day, from Tax tables.",
    ),
    computed("amount", "amount", MONEY, this("miles") * this("rate")),
    computed(
        "state",
        "state",
        WORD,
        when(
            text_in("miles"),
            "no number",
            state_in_year(
                when(
                    call("AND", this("rate").equals(0), setting("tax").differs("none")),
                    "no rate",
                    "",
                )
            ),
        ),
    ),
    silent="date",
    spare=100,
    capacity=10_000,
)
SHEET = Sheet(
    "Mileage",
    "Drives for the business. Use this or the real cost of the car, never both.",
    (TABLE,),
    group="ledger",
    takes_rows=True,
    landscape=False,
)
