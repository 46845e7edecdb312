"""Sales ledger: a line for every sale, return, deposit and piece kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from notchbook.language.expressions import (
    Expression,
    Operand,
    RowNumber,
    blank,
    call,
    join,
    look_up,
    missing,
    text_in,
    this,
    total,
    when,
    where,
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

TEXT_LINE = replace(NAME, width=30)
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


def _of_receipt(column: str, otherwise: Operand, receipt: Expression) -> Expression:
    """From the first row of a receipt."""
    return look_up("Sales ledger", column, receipt=receipt, otherwise=otherwise)


def _line_key(receipt: Expression, kind: Operand) -> Expression:
    return join(receipt, "/", this("project"), "/", this("tier"), "/", kind)


_SOLD = this("gross") > 0
_SENT = call("AND", _SOLD, this("kind").differs("deposit"))
_BACK = this("kind").equals("return")
_ONCE = this("first_of_receipt").equals(1)
_MATERIALS = this("quantity") * when(
    blank(this("unit_materials")),
    look_up("Projects", "unit_materials", project=this("project")),
    this("unit_materials"),
)


def _pieces(receipt_column: str, kind: str) -> Expression:
    """Pieces of this row's project on a receipt, or given back from it."""
    return total(
        "Sales ledger",
        "quantity",
        where(receipt_column, "=", this("return_of")),
        where("project", "=", this("project")),
        where("kind", "=", kind),
    )


_RETURN_STATE = when(
    call("OR", call("NOT", _BACK), _of_receipt("receipt", "", this("return_of")).equals("")),
    "",
    when(
        _of_receipt("date", 0, this("return_of")) > this("date"),
        "before sale",
        when(
            call(
                "AND",
                this("deposit_back").equals(0),
                _pieces("receipt", "sale") + _pieces("return_of", "return") < 0,
            ),
            "not so sold",
            "",
        ),
    ),
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
        when(_of_receipt("number", 0, this("receipt")).equals(this("number")), 1, 0),
        "1: fixed fee and postage of the whole receipt are estimated here.",
    ),
    computed(
        "line_key",
        "line of the receipt",
        TEXT_LINE,
        _line_key(this("receipt"), when(blank(this("kind")), "sale", this("kind"))),
        "Each stands once in the ledger.",
    ),
    computed(
        "deposit_back",
        "deposits given back",
        COUNT,
        when(
            call("AND", _BACK, _of_receipt("kind", "", this("return_of")).equals("deposit")),
            this("quantity"),
            0,
        ),
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
                                call("AND", _BACK, this("quantity") > 0),
                                call("AND", call("NOT", _BACK), this("quantity") < 0),
                            ),
                            "wrong sign",
                            when(
                                look_up(
                                    "Sales ledger", "number", line_key=this("line_key")
                                ).differs(this("number")),
                                "twice",
                                when(
                                    _RETURN_STATE.differs(""),
                                    _RETURN_STATE,
                                    when(
                                        call("AND", _BACK, blank(this("return_of"))),
                                        "no receipt",
                                        when(_ESTIMATED, "estimated", ""),
                                    ),
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
)
SHEET = Sheet(
    "Sales ledger",
    "One line for each piece on a receipt, dated when paid. Grey cells work themselves out.",
    (TABLE,),
    group="ledger",
    takes_rows=True,
)
