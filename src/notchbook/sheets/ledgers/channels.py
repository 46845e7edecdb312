"""Channels and tiers: what a way of selling charges, what a kind of price brought."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from notchbook.language.expressions import (
    Expression,
    Operand,
    blank,
    look_up,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.kit.declare import (
    COUNT,
    MONEY,
    NAME,
    PERCENT,
    WORD,
    Given,
    Row,
    computed,
    table,
)
from notchbook.sheets.kit.settings import in_year, setting
from notchbook.sheets.kit.values import Money, Name, Positive, Share
from notchbook.sheets.ledgers.sales_totals import returned_value, sold_value


class ChannelRow(Row):
    """A place or way of selling, with what it charges."""

    key: ClassVar[tuple[str, ...]] = ("channel",)
    channel: Annotated[Name, Given("channel", NAME, "a way of selling")]
    fee: Annotated[Share, Given("fee", PERCENT, "the share of the price it keeps")]
    fixed_fee: Annotated[Money, Given("fixed fee", MONEY, "charged for each receipt")]
    packaging: Annotated[Money, Given("packaging", MONEY, "box, paper and tape for a piece")]
    postage: Annotated[Money, Given("postage", MONEY, "paid by you for each receipt")]
    collects_sales_tax: Annotated[
        Literal["self", "marketplace"],
        Given(
            "sales tax by",
            WORD,
            "who collects it and pays it on",
            ("self", "marketplace"),
            strict=True,
        ),
    ] = "self"


class TierRow(Row):
    """A kind of price, sold through one channel."""

    key: ClassVar[tuple[str, ...]] = ("tier",)
    tier: Annotated[Name, Given("tier", NAME, "a kind of price")]
    channel: Annotated[
        Name,
        Given("channel", NAME, "the channel it is sold through", "Channels.channel", strict=True),
    ]
    margin: Annotated[
        Share | None, Given("margin", PERCENT, "the profit wanted; blank: the target margin")
    ] = None
    least_quantity: Annotated[
        Positive, Given("least quantity", COUNT, "sold from so many pieces at once")
    ] = 1.0
    follows: Annotated[
        Literal["market", "margin"],
        Given("follows", WORD, "what the price follows first", ("market", "margin"), strict=True),
    ] = "market"


CHANNELS = table("Channels", ChannelRow, silent="channel", spare=6, capacity=100)


def _channel(name: str, otherwise: Operand = 0) -> Expression:
    return look_up("Channels", name, channel=this("channel"), otherwise=otherwise)


QUARTERS = ("quarter 1", "quarter 2", "quarter 3", "quarter 4")


def _tax_due(quarter: str) -> Expression:
    def day(end: str) -> Expression:
        return look_up("Months and channels", end, label=quarter)

    collected = total(
        "Sales ledger",
        "sales_tax",
        where("tier", "=", this("tier")),
        where("date", ">=", day("start")),
        where("date", "<=", day("end")),
    )
    return when(_channel("collects_sales_tax", "").equals("self"), collected, 0)


_OF_TIER = (where("tier", "=", this("tier")), *in_year())

TIERS = table(
    "Tiers",
    TierRow,
    computed(
        "margin_wanted",
        "margin wanted",
        PERCENT,
        when(blank(this("margin")), setting("target_margin"), this("margin")),
    ),
    computed("fee", "fee of the channel", PERCENT, _channel("fee")),
    computed(
        "selling_cost",
        "selling cost a piece",
        MONEY,
        _channel("packaging")
        + (_channel("fixed_fee") + _channel("postage"))
        / when(blank(this("least_quantity")), 1, this("least_quantity")),
        "Fixed fee and postage are shared by the pieces of the smallest order.",
    ),
    computed("sales", "sales this year", MONEY, sold_value(*_OF_TIER)),
    computed("returns", "returns this year", MONEY, returned_value(*_OF_TIER)),
    computed("sales_tax", "sales tax", MONEY, total("Sales ledger", "sales_tax", *_OF_TIER)),
    computed("fees", "fees charged", MONEY, total("Sales ledger", "fee", *_OF_TIER)),
    computed("postage", "postage paid", MONEY, total("Sales ledger", "postage", *_OF_TIER)),
    *(
        computed(
            f"tax_{n}",
            f"sales tax {name}",
            MONEY,
            _tax_due(name),
            "Collected through a channel that leaves it to you to pay it on.",
        )
        for n, name in enumerate(QUARTERS, 1)
    ),
    silent="tier",
    spare=6,
    capacity=100,
)
