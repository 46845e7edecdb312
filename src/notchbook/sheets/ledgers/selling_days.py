"""Selling days: a day at a stall, a fair, an open workshop, and what it left."""

from __future__ import annotations

from typing import Annotated

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import Strength, no_number, of_values, state, twice, unknown
from notchbook.sheets.kit.settings import in_year
from notchbook.sheets.kit.values import Day, Name, Number, Text
from notchbook.sheets.kit.written import Written
from notchbook.sheets.ledgers.dated import OTHER_YEAR
from notchbook.sheets.ledgers.earnings import IN_YEAR, drives, income, of_channel


class SellingDayRow(Row):
    """A day of selling through a channel."""

    written = (Written("selling_days.csv"),)
    date: Annotated[Day, Given("the day of the sales")]
    channel: Annotated[Name, Given("the channel it was for", refers="Channels.channel")]
    hours: Annotated[
        Number | None,
        Given("spent on it, setting up and travel included", example="7.5"),
    ] = None
    note: Annotated[Text | None, Given("anything", example="rain until noon")] = None


_DAY = (x.where("date", "=", this.date), x.where("channel", "=", this.channel), *in_year())
_MINE = x.where("channel", "=", this.channel)


def _sum(column: str) -> x.Expression:
    return x.total("Sales ledger", column, *_DAY)


def pieces_to_pay(costs: x.Expression, left: x.Expression, pieces: x.Expression) -> x.Expression:
    """How many pieces pay costs where so many left so much; 0 where none can."""
    return when(left > 0, x.whole_up(costs * pieces / left), 0)


TABLE = table(
    "Selling days",
    SellingDayRow,
    computed("sales", show.MONEY, income(*_DAY), "Goods and postage charged, less returns."),
    computed("pieces", show.COUNT, _sum("pieces"), "Sold less given back."),
    computed(
        "after_goods",
        show.MONEY,
        _sum("proceeds") + _sum("slips") - _sum("materials"),
        "Of the sales, after fees, postage, packaging and the materials in the pieces.",
        header="after materials",
    ),
    computed(
        "day_costs",
        show.MONEY,
        x.total("Purchases", "borne", *_DAY) + drives(*_DAY),
        "Slips and drives of the day that name the channel.",
        header="costs of the day",
    ),
    computed(
        "shared_costs",
        show.MONEY,
        when(
            IN_YEAR,
            (of_channel("costs") - x.total("Selling days", "day_costs", _MINE, *in_year()))
            / x.count("Selling days", "date", _MINE, *in_year()),
            0,
        ),
        "What else the channel bears in the year, shared by its days.",
        header="share of other costs",
    ),
    computed("left", show.MONEY, this.after_goods - this.day_costs - this.shared_costs),
    computed(
        "left_an_hour",
        show.MONEY,
        this.left / this.hours,
        "Your own labor is not taken off.",
        header="left a selling hour",
    ),
    computed(
        "to_break_even",
        show.COUNT,
        when(
            this.pieces > 0,
            pieces_to_pay(this.day_costs + this.shared_costs, this.after_goods, this.pieces),
            pieces_to_pay(
                this.day_costs + this.shared_costs,
                of_channel("after_goods"),
                of_channel("pieces"),
            ),
        ),
        "Pieces, such as that day's, that pay its costs; on a day without any, such as the"
        " channel's. 0: no costs, or no number of them does.",
        header="to break even",
    ),
    computed("month", show.COUNT, x.call("MONTH", this.date)),
    state(
        no_number("hours"),
        OTHER_YEAR,
        unknown("channel", "Channels.channel", strength=Strength.LOOK),
        twice("Selling days", "date", "channel", strength=Strength.LOOK),
        *of_values(SellingDayRow),
    ),
    silent="date",
    spare=60,
    capacity=2_000,
    workings=("month",),
)
SHEET = Sheet(
    "Selling days",
    "A row for each day at a stall or a fair. Sales of its date and channel are its own.",
    (TABLE,),
    after="Production log",
    group="ledger",
)
