"""Sales ledger: a line for every sale, return, deposit and piece kept."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language.expressions import (
    Expression,
    blank,
    call,
    look_up,
    missing,
    text_in,
    this,
    when,
)
from notchbook.sheets.declare import (
    COUNT,
    DATE,
    MONEY,
    NAME,
    TEXT,
    WORD,
    Given,
    Row,
    Sheet,
    computed,
    table,
)
from notchbook.sheets.settings import state_in_year
from notchbook.sheets.values import AnyMoney, Day, Money, Name, Quantity, Text

KINDS = ("sale", "return", "deposit", "own use")


class SaleRow(Row):
    """A line of a receipt."""

    date: Annotated[Day, Given("date", DATE, "the day it was paid")]
    receipt: Annotated[Text, Given("receipt", WORD, "the receipt's number")]
    project: Annotated[Name, Given("project", NAME, "what was sold", "Projects.project")]
    tier: Annotated[Name, Given("tier", NAME, "at which kind of price", "Tiers.tier")]
    kind: Annotated[
        Literal["sale", "return", "deposit", "own use"],
        Given("kind", WORD, "blank: sale", KINDS, strict=True),
    ] = "sale"
    quantity: Annotated[Quantity, Given("quantity", COUNT, "pieces; below zero for a return")]
    price: Annotated[Money, Given("price", MONEY, "a piece, before sales tax")]
    discount: Annotated[Money, Given("discount", MONEY, "off the whole row")] = 0.0
    sales_tax: Annotated[AnyMoney, Given("sales tax", MONEY, "collected on the row")] = 0.0
    fee: Annotated[AnyMoney | None, Given("fee", MONEY, "as really charged; blank: estimated")] = (
        None
    )
    postage: Annotated[
        Money | None, Given("postage", MONEY, "as really paid; blank: estimated")
    ] = None
    postage_charged: Annotated[
        AnyMoney, Given("postage charged", MONEY, "what the buyer paid for it")
    ] = 0.0
    return_of: Annotated[Text | None, Given("return of", WORD, "the receipt that is returned")] = (
        None
    )
    unit_cost: Annotated[
        Money | None, Given("unit cost", MONEY, "kept from the time of the sale; blank: today's")
    ] = None
    unit_materials: Annotated[
        Money | None,
        Given("unit materials", MONEY, "goods bought in one piece, kept from the time of the sale"),
    ] = None
    note: Annotated[Text | None, Given("note", TEXT, "anything")] = None


def _channel(column: str) -> Expression:
    return look_up("Channels", column, channel=this("channel"))


_SOLD = this("gross") > 0
_SENT = call("AND", _SOLD, this("kind").differs("deposit"))
_BACK = this("kind").equals("return")

_ESTIMATED = call(
    "OR",
    call("AND", blank(this("fee")), this("fee_taken") > 0),
    call("AND", blank(this("postage")), this("postage_taken") > 0),
)

TABLE = table(
    "Sales ledger",
    SaleRow,
    computed(
        "channel",
        "channel",
        NAME,
        look_up("Tiers", "channel", tier=this("tier"), otherwise=""),
    ),
    computed(
        "gross",
        "gross",
        MONEY,
        when(
            this("kind").equals("own use"),
            0,
            this("quantity") * this("price")
            - when(this("quantity") < 0, -this("discount"), this("discount")),
        ),
        "After discount, without postage and sales tax; a discount makes a refund smaller.",
    ),
    computed(
        "fee_taken",
        "fee taken",
        MONEY,
        when(
            blank(this("fee")),
            when(_SOLD, this("gross") * _channel("fee") + _channel("fixed_fee"), 0),
            this("fee"),
        ),
        "As typed, else estimated from the channel.",
    ),
    computed(
        "postage_taken",
        "postage taken",
        MONEY,
        when(blank(this("postage")), when(_SENT, _channel("postage"), 0), this("postage")),
        "As typed, else estimated from the channel.",
    ),
    computed(
        "net",
        "net",
        MONEY,
        this("gross") + this("postage_charged") - this("fee_taken") - this("postage_taken"),
    ),
    computed(
        "cost",
        "cost",
        MONEY,
        when(
            this("kind").equals("deposit"),
            0,
            this("quantity")
            * (
                when(
                    blank(this("unit_cost")),
                    look_up("Projects", "unit_cost", project=this("project")),
                    this("unit_cost"),
                )
                + when(_SENT, _channel("packaging"), 0)
            ),
        ),
        "Full cost with packaging; today's unit cost until one is kept.",
    ),
    computed("profit", "profit", MONEY, this("net") - this("cost")),
    computed("month", "month", COUNT, call("MONTH", this("date"))),
    computed(
        "state",
        "state",
        WORD,
        when(
            call(
                "OR",
                blank(this("price")),
                text_in("quantity", "price", "discount", "fee", "postage", "postage_charged"),
            ),
            "no number",
            state_in_year(
                when(
                    missing("Projects", project=this("project")),
                    "no project",
                    when(
                        this("channel").equals(""),
                        "no tier",
                        when(
                            call(
                                "OR",
                                call("AND", _BACK, this("quantity") > 0),
                                call("AND", call("NOT", _BACK), this("quantity") < 0),
                            ),
                            "wrong sign",
                            when(_ESTIMATED, "estimated", ""),
                        ),
                    ),
                )
            ),
        ),
        "no number, other year, no project, no tier and wrong sign (a return is below zero, all"
        " else above) want a correction; estimated: type the real fee and postage.",
    ),
    silent="date",
    spare=300,
    capacity=10_000,
)
SHEET = Sheet(
    "Sales ledger",
    "One line for each piece on a receipt, dated when paid. Grey cells work themselves out.",
    (TABLE,),
    group="ledger",
    takes_rows=True,
)
