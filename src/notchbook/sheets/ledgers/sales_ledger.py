"""Sales ledger: a line for every sale, return, deposit and piece kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from notchbook.language.expressions import (
    Expression,
    RowNumber,
    blank,
    call,
    look_up,
    missing,
    text_in,
    this,
    when,
)
from notchbook.sheets.kit.declare import (
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
from notchbook.sheets.kit.settings import state_in_year
from notchbook.sheets.kit.values import AnyMoney, Day, Money, Name, Quantity, Receipt, Text
from notchbook.sheets.ledgers.receipts import (
    BACK,
    DEPOSIT_BACK,
    FIRST_OF_RECEIPT,
    LINE_KEY,
    RETURN_STATE,
    TWICE,
)

TEXT_LINE = replace(NAME, width=30)
KINDS = ("sale", "return", "deposit", "own use")


class SaleRow(Row):
    """A line of a receipt."""

    date: Annotated[Day, Given("date", DATE, "the day it was paid")]
    receipt: Annotated[Receipt, Given("receipt", WORD, "the receipt's number")]
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
    return_of: Annotated[
        Receipt | None, Given("return of", WORD, "the receipt that is returned")
    ] = None
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
_ONCE = this("first_of_receipt").equals(1)
_MATERIALS = this("quantity") * when(
    blank(this("unit_materials")),
    look_up("Projects", "unit_materials", project=this("project")),
    this("unit_materials"),
)


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
            when(
                _SOLD,
                this("gross") * _channel("fee") + when(_ONCE, _channel("fixed_fee"), 0),
                0,
            ),
            this("fee"),
        ),
        "As typed, else estimated from the channel, its fixed fee once a receipt.",
    ),
    computed(
        "postage_taken",
        "postage taken",
        MONEY,
        when(
            blank(this("postage")),
            when(call("AND", _SENT, _ONCE), _channel("postage"), 0),
            this("postage"),
        ),
        "As typed, else estimated from the channel, once a receipt.",
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
            call("OR", this("kind").equals("deposit"), this("deposit_back").differs(0)),
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
    computed("number", "row", COUNT, RowNumber(), "Which row of the table it is."),
    computed(
        "first_of_receipt",
        "first of receipt",
        COUNT,
        FIRST_OF_RECEIPT,
        "1: fixed fee and postage of the whole receipt are estimated here.",
    ),
    computed(
        "line_key",
        "line of the receipt",
        TEXT_LINE,
        LINE_KEY,
        "Each stands once in the ledger.",
    ),
    computed(
        "deposit_back",
        "deposits given back",
        COUNT,
        DEPOSIT_BACK,
        "A return of a deposit brings back no piece.",
    ),
    computed(
        "deposit_materials",
        "materials not sold",
        MONEY,
        when(this("deposit_back").equals(0), 0, _MATERIALS),
        "Taken off the materials of the pieces sold, for deposits given back.",
    ),
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
                                call("AND", BACK, this("quantity") > 0),
                                call("AND", call("NOT", BACK), this("quantity") < 0),
                            ),
                            "wrong sign",
                            when(
                                TWICE,
                                "twice",
                                when(
                                    RETURN_STATE.differs(""),
                                    RETURN_STATE,
                                    when(_ESTIMATED, "estimated", ""),
                                ),
                            ),
                        ),
                    ),
                )
            ),
        ),
        "no number, other year, no project, no tier, wrong sign (a return is below zero, all else"
        " above), twice (the same line of a receipt), before sale and not so sold (more given back"
        " than its receipt sold) want a correction; no receipt: type which one is returned;"
        " estimated: type the real fee and postage.",
    ),
    silent="date",
    spare=300,
    capacity=10_000,
    prints_to="profit",
)
SHEET = Sheet(
    "Sales ledger",
    "One line for each piece on a receipt, dated when paid. Grey cells work themselves out.",
    (TABLE,),
    group="ledger",
    takes_rows=True,
)
