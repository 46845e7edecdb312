"""Channels and tiers: what a way of selling charges, what a kind of price brought."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import table
from notchbook.sheets.kit.faults import fault, names_header, state, twice, unknown
from notchbook.sheets.kit.settings import in_year, setting
from notchbook.sheets.kit.values import Factor, Money, Name, Positive, Share
from notchbook.sheets.kit.written import Reads, Written
from notchbook.sheets.ledgers.money import TAX_ELSEWHERE
from notchbook.sheets.ledgers.sales_totals import returned_value, sold_value


class ChannelRow(Row):
    """A place or way of selling, with what it charges."""

    key = ("channel",)
    written = (
        Written(
            "shop.yaml", "channels", "channel", "the ways of selling, at least one", needed=True
        ),
    )
    channel: Annotated[Name, Given("a way of selling", example="saturday market")]
    fee: Annotated[Share, Given("the share of the price it keeps", example="9.5%")]
    fixed_fee: Annotated[Money, Given("charged for each receipt", example="0.45")]
    packaging: Annotated[Money, Given("box, paper and tape for a piece", example="0.40")]
    postage: Annotated[Money, Given("paid by you for each receipt", example="9.80")]
    collects_sales_tax: Annotated[
        Literal["self", "marketplace"],
        Given("who collects it and pays it on", header="sales tax by", needed=True),
    ] = "self"


class TierRow(Row):
    """A kind of price, sold through one channel."""

    key = ("tier",)
    written = (
        Written("shop.yaml", "tiers", "tier", "the kinds of price, at least one", needed=True),
    )
    tier: Annotated[Name, Given("a kind of price", example="market stall")]
    channel: Annotated[
        Name, Given("the channel it is sold through", refers="Channels.channel", strict=True)
    ]
    margin: Annotated[Share | None, Given("the profit wanted", blank="the target margin")] = None
    least_quantity: Annotated[
        Positive,
        Given("sold from so many pieces at once", look=show.COUNT, reads=Reads.WHOLE, example="6"),
    ] = 1.0
    follows: Annotated[Literal["market", "margin"], Given("what the price follows first")] = (
        "market"
    )
    local_factor: Annotated[
        Factor | None, Given("what share of the price seen people pay there", blank="the project's")
    ] = None


CHANNELS = table(
    "Channels",
    ChannelRow,
    state(names_header("channel"), twice("Channels", "channel")),
    silent="channel",
    spare=6,
    capacity=100,
)


def _channel(name: str, otherwise: x.Operand = 0) -> x.Expression:
    return x.look_up("Channels", name, channel=this.channel, otherwise=otherwise)


QUARTERS = ("quarter 1", "quarter 2", "quarter 3", "quarter 4")


def _tax_due(quarter: str) -> x.Expression:
    def day(end: str) -> x.Expression:
        return x.look_up("Months and channels", end, label=quarter)

    collected = x.total(
        "Sales ledger",
        "sales_tax",
        x.where("tier", "=", this.tier),
        x.where("date", ">=", day("start")),
        x.where("date", "<=", day("end")),
    )
    return when(_channel("collects_sales_tax", "").equals("self"), collected, 0)


_OF_TIER = (x.where("tier", "=", this.tier), *in_year())

TIERS = table(
    "Tiers",
    TierRow,
    computed("margin_wanted", show.PERCENT, this.margin.or_else(setting.target_margin)),
    computed("fee", show.PERCENT, _channel("fee"), header="fee of the channel"),
    computed(
        "selling_cost",
        show.MONEY,
        _channel("packaging")
        + (_channel("fixed_fee") + _channel("postage")) / this.least_quantity.or_else(1),
        "Fixed fee and postage are shared by the pieces of the smallest order.",
        header="selling cost a piece",
    ),
    state(
        names_header("tier"),
        twice("Tiers", "tier"),
        unknown("channel", "Channels.channel"),
        fault("less than one", this.least_quantity < 1, "write 1 or more"),
        fault(
            "no margin left",
            1 - this.fee - this.margin_wanted <= 0,
            "the fee of its channel and the margin take the whole price; write a lower margin",
            "margin",
        ),
    ),
    computed("sales", show.MONEY, sold_value(*_OF_TIER), header="sales this year"),
    computed("returns", show.MONEY, returned_value(*_OF_TIER), header="returns this year"),
    computed("sales_tax", show.MONEY, x.total("Sales ledger", "sales_tax", *_OF_TIER)),
    computed("fees", show.MONEY, x.total("Sales ledger", "fee", *_OF_TIER), header="fees charged"),
    computed(
        "postage", show.MONEY, x.total("Sales ledger", "postage", *_OF_TIER), header="postage paid"
    ),
    *(
        computed(
            f"tax_{n}",
            show.MONEY,
            _tax_due(name),
            "Collected through a channel that leaves it to you to pay it on.",
            header=f"sales tax {name}",
        )
        for n, name in enumerate(QUARTERS, 1)
    ),
    computed(
        "tax_elsewhere",
        show.MONEY,
        when(_channel("collects_sales_tax", "").equals("marketplace"), TAX_ELSEWHERE, 0),
        "Kept by a marketplace while the accounts of Money are looked at.",
        header="sales tax never received",
    ),
    computed(
        "taxed_rows",
        show.COUNT,
        x.count("Sales ledger", "quantity", x.where("sales_tax", ">", 0), *_OF_TIER),
        "Where any sale holds sales tax, one without it is doubtful.",
        header="sales with sales tax",
    ),
    silent="tier",
    spare=6,
    capacity=100,
    details=(
        *("margin_wanted", "fee", "selling_cost", "sales", "returns", "sales_tax", "fees"),
        *("postage", "tax_1", "tax_2", "tax_3", "tax_4"),
    ),
    workings=("tax_elsewhere", "taxed_rows"),
)
