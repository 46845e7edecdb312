"""Purchases: every slip of the year, by category."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, Table, table
from notchbook.sheets.kit.discovery import Terms
from notchbook.sheets.kit.faults import Strength, missing, no_number, of_values, state, unknown
from notchbook.sheets.kit.values import AnyMoney, Day, Money, Name, Number, Text
from notchbook.sheets.kit.written import Written
from notchbook.sheets.ledgers.dated import OTHER_YEAR
from notchbook.sheets.ledgers.earnings import BORNE
from notchbook.sheets.ledgers.looks import OF_A_SLIP, OK_NOTE
from notchbook.sheets.ledgers.slip_totals import COST_OF_SLIP
from notchbook.tax.forms import meant_words


class PurchaseRow(Row):
    """A line of a slip."""

    written = (Written("purchases.csv"),)
    date: Annotated[Day, Given("the day it was paid")]
    vendor: Annotated[Text, Given("who was paid", look=show.NAME, example="Yard A")]
    what: Annotated[Text, Given("what it was for", look=show.NOTE, example="boards")]
    category: Annotated[
        Name,
        Given(
            "decides where it stands on Year-end",
            refers="Months and channels.category",
            example="materials",
        ),
    ]
    amount: Annotated[AnyMoney, Given("paid, sales tax included", example="41.50")]
    stock: Annotated[
        Name | None, Given("the stock it was, where it was any", refers="Stock.stock")
    ] = None
    packs: Annotated[Number | None, Given("how many packs of it", example="10")] = None
    receipt: Annotated[
        Text | None, Given("the slip's number", look=show.WORD, example="A-1180")
    ] = None
    use_tax: Annotated[
        Money | None,
        Given(
            "owed on it to the tax office, where the seller took no sales tax; part of its cost",
            example="3.10",
        ),
    ] = None
    payee: Annotated[
        Name | None,
        Given(
            "who was paid for work, where it is not the vendor", look=show.LABEL, example="Jo Ash"
        ),
    ] = None
    tool: Annotated[Name | None, Given("the tool it was", refers="Tool depreciation.tool")] = None
    channel: Annotated[
        Name | None,
        Given("the channel it was for, where it was any", refers="Channels.channel"),
    ] = None
    account: Annotated[
        Name | None,
        Given("the account it was paid from, see Money", look=show.WORD, example="bank"),
    ] = None
    note: Annotated[Text | None, Given("anything", look=show.NOTE, example="for two projects")] = (
        None
    )
    ok: Annotated[Literal["yes"] | None, Given(OK_NOTE)] = None


_OF_YEAR = "Months and channels"


def _category(column: str) -> x.Expression:
    """What the year says of the slip's category, in either spelling."""
    other = x.look_up(_OF_YEAR, column, also=this.category, otherwise="")
    return x.look_up(_OF_YEAR, column, category=this.category, otherwise=other)


_NO_CATEGORY = missing(_OF_YEAR, category=this.category) & missing(_OF_YEAR, also=this.category)

_LINE = computed("line", show.WORD, _category("line"), header="line of the form")


def _table(tax: str) -> Table:
    return table(
        "Purchases",
        PurchaseRow,
        *((_LINE,) if tax == "us" else ()),
        computed("pack_price", show.MONEY, COST_OF_SLIP / this.packs, header="a pack"),
        computed(
            "above",
            show.MONEY,
            when(
                this.pack_price.equals(0),
                0,
                x.rounded(this.pack_price - x.look_up("Stock", "price", stock=this.stock), 4),
            ),
            "What a pack cost above its price on Stock.",
            header="above the price",
        ),
        computed(
            "counts_as",
            show.WORD,
            _category("counts_as"),
            "Goods, selling, tool, overhead or none: how Results takes it.",
        ),
        computed(
            "paid_to",
            show.NAME,
            when(x.blank(this.payee), this.vendor, this.payee),
            "The payee, else the vendor.",
        ),
        computed("borne", show.MONEY, BORNE, "What its channel bears of it, on Results."),
        state(
            no_number("amount", "packs", "use_tax"),
            OTHER_YEAR,
            unknown(
                "category",
                "Months and channels.category",
                when=_NO_CATEGORY,
                strength=Strength.LOOK,
                meant=(*meant_words("us").items(), *meant_words("none").items()),
            ),
            unknown("stock", "Stock.stock", strength=Strength.LOOK),
            unknown("tool", "Tool depreciation.tool", strength=Strength.LOOK),
            unknown("channel", "Channels.channel", strength=Strength.LOOK),
            *of_values(PurchaseRow),
            *OF_A_SLIP,
        ),
        silent="date",
        spare=300,
        capacity=10_000,
        details=("pack_price", "above"),
        workings=("counts_as", "paid_to", "borne"),
    )


def sheet_for(terms: Terms) -> Sheet:
    """The sheet; a country without a form has no lines."""
    return Sheet(
        "Purchases",
        "Every slip, dated when paid. Name the stock and packs, and its last price shows on Stock.",
        (_table(terms.tax),),
        after="Sales ledger",
        group="ledger",
    )
