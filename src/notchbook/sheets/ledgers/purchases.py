"""Purchases: every slip of the year, by category."""

from __future__ import annotations

from typing import Annotated

from notchbook.language.expressions import (
    call,
    known,
    look_up,
    rounded,
    text_in,
    this,
    when,
)
from notchbook.sheets.kit.declare import (
    AMOUNT,
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
from notchbook.sheets.kit.values import AnyMoney, Day, Name, Number, Text


class PurchaseRow(Row):
    """A line of a slip."""

    date: Annotated[Day, Given("date", DATE, "the day it was paid")]
    vendor: Annotated[Text, Given("vendor", NAME, "who was paid")]
    what: Annotated[Text, Given("what", TEXT, "what it was for")]
    category: Annotated[
        Name,
        Given("category", NAME, "decides the line of the tax form", "Months and channels.category"),
    ]
    amount: Annotated[AnyMoney, Given("amount", MONEY, "paid, sales tax included")]
    stock: Annotated[
        Name | None, Given("stock", NAME, "the stock it was, where it was any", "Stock.stock")
    ] = None
    packs: Annotated[Number | None, Given("packs", AMOUNT, "how many packs of it")] = None
    receipt: Annotated[Text | None, Given("receipt", WORD, "the slip's number")] = None
    tool: Annotated[
        Name | None, Given("tool", NAME, "the tool it was", "Tool depreciation.tool")
    ] = None
    note: Annotated[Text | None, Given("note", TEXT, "anything")] = None


TABLE = table(
    "Purchases",
    PurchaseRow,
    computed(
        "line",
        "line of the form",
        WORD,
        look_up("Months and channels", "line", category=this("category"), otherwise=""),
    ),
    computed("pack_price", "a pack", MONEY, this("amount") / this("packs")),
    computed(
        "above",
        "above the price",
        MONEY,
        when(
            this("pack_price").equals(0),
            0,
            rounded(this("pack_price") - look_up("Stock", "price", stock=this("stock")), 4),
        ),
        "What a pack cost above its price on Stock.",
    ),
    computed(
        "state",
        "state",
        WORD,
        when(
            text_in("amount", "packs"),
            "no number",
            state_in_year(
                when(
                    this("line").equals(""),
                    "no category",
                    when(
                        call("NOT", known("stock", "Stock", stock=this("stock"))),
                        "no stock",
                        when(
                            call("NOT", known("tool", "Tool depreciation", tool=this("tool"))),
                            "no tool",
                            "",
                        ),
                    ),
                )
            ),
        ),
    ),
    silent="date",
    spare=300,
    capacity=10_000,
)
SHEET = Sheet(
    "Purchases",
    "Every slip, dated when paid. Name the stock and packs, and its last price shows on Stock.",
    (TABLE,),
    group="ledger",
    takes_rows=True,
)
