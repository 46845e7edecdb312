"""Sales ledger: a line for every sale, return, deposit and piece kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed, planned
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import Strength, look, no_number, of_values, state, unknown
from notchbook.sheets.kit.values import AnyMoney, Day, Money, Name, Quantity, Receipt, Text
from notchbook.sheets.kit.written import Written
from notchbook.sheets.ledgers.dated import OTHER_YEAR
from notchbook.sheets.ledgers.earnings import EARNINGS
from notchbook.sheets.ledgers.looks import OF_A_SALE, OK_NOTE, USUAL, unless_ok
from notchbook.sheets.ledgers.receipts import (
    BACK,
    BEFORE_SALE,
    DEPOSIT_BACK,
    FIRST_OF_RECEIPT,
    LINE_KEY,
    NO_RECEIPT,
    NO_SUCH_RECEIPT,
    NOT_SO_SOLD,
    TWICE,
)
from notchbook.sheets.ledgers.sales_totals import PAID

TEXT_LINE = replace(show.NAME, width=30)


class SaleRow(Row):
    """A line of a receipt."""

    written = (Written("sales.csv"),)
    date: Annotated[Day, Given("the day it was paid")]
    receipt: Annotated[Receipt, Given("the receipt's number", example="2026-014")]
    project: Annotated[Name, Given("what was sold", refers="Projects.project")]
    tier: Annotated[Name, Given("at which kind of price", refers="Tiers.tier")]
    kind: Annotated[
        Literal["sale", "return", "deposit", "own use"],
        Given("what kind of line it is", blank="sale"),
    ] = "sale"
    quantity: Annotated[Quantity, Given("pieces; below zero for a return", example="2")]
    price: Annotated[Money, Given("a piece, before sales tax", example="32.00")]
    discount: Annotated[Money, Given("off the whole row", example="2.00")] = 0.0
    sales_tax: Annotated[AnyMoney, Given("collected on the row", example="4.48")] = 0.0
    fee: Annotated[
        AnyMoney | None, Given("as really charged", blank="estimated", example="3.49")
    ] = None
    postage: Annotated[Money | None, Given("as really paid", blank="estimated", example="9.80")] = (
        None
    )
    postage_charged: Annotated[AnyMoney, Given("what the buyer paid for it", example="8.00")] = 0.0
    return_of: Annotated[
        Receipt | None, Given("the receipt that is returned", example="2026-014")
    ] = None
    unit_cost: Annotated[
        Money | None, Given("kept from the time of the sale", blank="today's", example="18.75")
    ] = None
    unit_materials: Annotated[
        Money | None,
        Given("goods bought in one piece, kept from the time of the sale", example="6.20"),
    ] = None
    account: Annotated[
        Name | None,
        Given("the account it was paid into, see Money", look=show.WORD, example="till"),
    ] = None
    note: Annotated[Text | None, Given("anything", example="paid in cash")] = None
    ok: Annotated[Literal["yes"] | None, Given(OK_NOTE)] = None


def _channel(column: str) -> x.Expression:
    return x.look_up("Channels", column, channel=this.channel)


_COLLECTS = x.look_up("Channels", "collects_sales_tax", channel=this.channel, otherwise="")
_TAX_KEPT = when(_COLLECTS.equals("marketplace"), 0, this.sales_tax)
_SOLD = this.gross > 0
_SENT = _SOLD & this.kind.differs("deposit")
_ONCE = this.first_of_receipt.equals(1)

_ESTIMATED = (x.blank(this.fee) & (this.fee_taken > 0)) | (
    x.blank(this.postage) & (this.postage_taken > 0)
)

_FAULTS = (
    no_number(
        *("price", "quantity", "discount", "sales_tax", "fee", "postage", "postage_charged"),
        blank_too="price",
    ),
    OTHER_YEAR,
    unknown("project", "Projects.project", strength=Strength.LOOK),
    unknown("tier", "Tiers.tier", strength=Strength.LOOK),
    look(
        "wrong sign",
        (BACK & (this.quantity >= 0)) | (~BACK & (this.quantity <= 0)),
        "a return is below zero, all else above it; write it so",
        "quantity",
    ),
    *unless_ok(look("twice", TWICE, "the same line of a receipt; delete one of them", "receipt")),
    look("before sale", BEFORE_SALE, "it is returned before its receipt's day; write it", "date"),
    look(
        "not so sold",
        NOT_SO_SOLD,
        "fewer were sold on its receipt; write what came back",
        "return_of",
    ),
    *of_values(SaleRow),
    look(
        "too much off",
        this.discount > x.call("ABS", this.quantity * this.price),
        "it is more than the row's price; write the discount of the whole row",
    ),
    *OF_A_SALE,
)

TABLE = table(
    "Sales ledger",
    SaleRow,
    computed("channel", show.NAME, x.look_up("Tiers", "channel", tier=this.tier, otherwise="")),
    computed(
        "gross",
        show.MONEY,
        when(
            this.kind.equals("own use"),
            0,
            this.quantity * this.price - when(this.quantity < 0, -this.discount, this.discount),
        ),
        "After discount, without postage and sales tax; a discount makes a refund smaller.",
    ),
    computed(
        "fee_taken",
        show.MONEY,
        this.fee.or_else(
            when(_SOLD, this.gross * _channel("fee") + when(_ONCE, _channel("fixed_fee"), 0), 0)
        ),
        "As typed, else estimated from the channel, its fixed fee once a receipt.",
    ),
    computed(
        "postage_taken",
        show.MONEY,
        this.postage.or_else(when(_SENT & _ONCE, _channel("postage"), 0)),
        "As typed, else estimated from the channel, once a receipt.",
    ),
    computed(
        "net",
        show.MONEY,
        PAID - this.fee_taken - this.postage_taken,
    ),
    computed(
        "cost",
        show.MONEY,
        when(
            this.kind.equals("deposit") | this.deposit_back.differs(0),
            0,
            this.quantity
            * (
                this.unit_cost.or_else(x.look_up("Projects", "unit_cost", project=this.project))
                + when(_SENT, _channel("packaging"), 0)
            ),
        ),
        "Full cost with packaging; today's unit cost until one is kept.",
    ),
    computed("profit", show.MONEY, this.net - this.cost),
    computed(
        "usual",
        show.MONEY,
        USUAL,
        "As asked at this kind of price, else as other sales of it were, else as seen.",
        header="usual price",
    ),
    computed(
        "moved",
        show.MONEY,
        PAID + _TAX_KEPT - this.fee.or_else(0) - this.postage.or_else(0),
        "Paid with the sales tax that is yours, less fee and postage as typed.",
        header="into the account",
    ),
    computed("month", show.COUNT, x.call("MONTH", this.date)),
    computed("number", show.COUNT, x.RowNumber(), "Which row of the table it is.", header="row"),
    computed(
        "first_of_receipt",
        show.COUNT,
        FIRST_OF_RECEIPT,
        "1: fixed fee and postage of the whole receipt are estimated here.",
    ),
    computed(
        "line_key",
        TEXT_LINE,
        LINE_KEY,
        "Each stands once in the ledger.",
        header="line of the receipt",
    ),
    computed(
        "deposit_back",
        show.COUNT,
        DEPOSIT_BACK,
        "A return of a deposit brings back no piece.",
        header="deposits given back",
    ),
    computed(
        "deposit_materials",
        show.MONEY,
        when(
            this.deposit_back.equals(0) | ~x.blank(this.books_cost),
            0,
            this.quantity * x.look_up("Projects", "unit_materials", project=this.project),
        ),
        "Taken off the materials sold since the last compile, for deposits given back.",
        header="materials not sold",
    ),
    *EARNINGS,
    planned(
        "books_cost",
        show.MONEY,
        "what the goods in a piece cost by the books, at moving averages; costs.csv of ledgers"
        " tells how it comes about",
        header="books cost a piece",
    ),
    state(
        *_FAULTS,
        otherwise=x.cases(
            (NO_RECEIPT, "no receipt"),
            (NO_SUCH_RECEIPT, "other receipt"),
            (_ESTIMATED, "estimated"),
        ),
        note="no receipt: type which one is returned; other receipt: it is not in this ledger,"
        " such as one of last year; estimated: type the real fee and postage.",
    ),
    silent="date",
    spare=300,
    capacity=10_000,
    details=("channel", "gross", "fee_taken", "postage_taken", "cost", "books_cost"),
    workings=(
        *("usual", "moved", "month", "number", "first_of_receipt", "line_key"),
        *("deposit_back", "deposit_materials", *(each.name for each in EARNINGS)),
    ),
)
SHEET = Sheet(
    "Sales ledger",
    "One line for each item on a receipt, dated when paid. Gray cells calculate themselves.",
    (TABLE,),
    after="Pricing tiers",
    group="ledger",
)
