"""Results by channel: what each way of selling left, and for an hour of selling."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.declare import table
from notchbook.sheets.kit.settings import in_year, setting
from notchbook.sheets.ledgers.earnings import drives, income
from notchbook.sheets.ledgers.slip_totals import slip_costs

_MINE = (x.where("channel", "=", this.channel), *in_year())
_FEES = x.where("category", "=", "fees")
_POSTAGE = x.where("category", "=", "postage")
_SELLING = x.where("counts_as", "=", "selling")
_OF_ROWS = x.where("ok", "<>", "yes")
"""Slips of fees and postage that may tell what the rows of the Sales ledger hold."""


def _sold(column: str) -> x.Expression:
    return x.total("Sales ledger", column, *_MINE)


def _slips(*kinds: x.Where) -> x.Expression:
    """Slips that name the channel, and count."""
    return x.total("Purchases", "borne", *_MINE, *kinds)


def _unnamed(*kinds: x.Where) -> x.Expression:
    """Selling slips of the year that name no channel."""
    slips = (*kinds, _SELLING, *in_year())
    named = x.where("channel", "<>", "")
    return slip_costs(*slips) - slip_costs(*slips, named)


def _shared(slips: x.Expression, base: str) -> x.Expression:
    """The channel's part of slips that name none, by sales."""
    return slips * this(base) / x.total("Results by channel", base)


BY_CHANNEL = table(
    "Results by channel",
    None,
    planned("channel", show.NAME, "the channel"),
    computed("sales", show.MONEY, income(*_MINE), "Goods and postage charged, less returns."),
    computed("pieces", show.COUNT, _sold("pieces"), header="sold"),
    computed(
        "proceeds",
        show.MONEY,
        _sold("proceeds"),
        "After fees, postage, packaging and its selling slips.",
    ),
    computed("materials", show.MONEY, _sold("materials"), "Of the pieces, as kept with the sales."),
    computed(
        "fixed",
        show.MONEY,
        _slips(x.where("counts_as", "=", "overhead")) + drives(*_MINE),
        "Slips and drives that name the channel and that no piece causes.",
        header="its slips and drives",
    ),
    computed("left", show.MONEY, this.proceeds - this.materials - this.fixed),
    computed(
        "hours",
        show.AMOUNT,
        x.total("Selling days", "hours", *_MINE),
        header="selling hours",
    ),
    computed(
        "left_an_hour",
        show.MONEY_OR_NONE,
        this.left / this.hours,
        header="left a selling hour",
    ),
    computed("wear", show.MONEY, _sold("wear"), header="tool wear"),
    computed(
        "bench_hours",
        show.AMOUNT,
        _sold("bench_minutes") / x.Unit("hour"),
        "Of the pieces sold: as the log has it, else as planned.",
    ),
    computed(
        "per_hour",
        show.MONEY,
        (this.left - this.wear - setting.overhead_rate * this.bench_hours)
        / (this.bench_hours + this.hours),
        "For all hours, at the bench and selling, with the typed overhead rate.",
        header="earned an hour",
    ),
    computed(
        "fees_typed", show.MONEY, x.total("Sales ledger", "fee", *_MINE), header="fees of its sales"
    ),
    computed(
        "postage_typed",
        show.MONEY,
        x.total("Sales ledger", "postage", *_MINE),
        header="postage of its sales",
    ),
    computed("base", show.MONEY, x.call("MAX", this.sales, 0), "What slips are shared by."),
    computed("fee_base", show.MONEY, when(this.fees_typed.equals(0), this.base, 0)),
    computed("postage_base", show.MONEY, when(this.postage_typed.equals(0), this.base, 0)),
    computed("fee_share", show.MONEY, _shared(_unnamed(_FEES, _OF_ROWS), "fee_base")),
    computed("postage_share", show.MONEY, _shared(_unnamed(_POSTAGE, _OF_ROWS), "postage_base")),
    computed(
        "fee_slips",
        show.MONEY,
        when(this.fees_typed.equals(0), _slips(_FEES), 0) + this.fee_share,
        "Where there are any, no fee of its sales is estimated.",
    ),
    computed(
        "postage_slips",
        show.MONEY,
        when(this.postage_typed.equals(0), _slips(_POSTAGE), 0) + this.postage_share,
        "Where there are any, no postage of its sales is estimated.",
    ),
    computed(
        "selling_slips",
        show.MONEY,
        _slips(_SELLING)
        + _shared(_unnamed() - _unnamed(_FEES, _OF_ROWS) - _unnamed(_POSTAGE, _OF_ROWS), "base")
        + this.fee_share
        + this.postage_share,
        "Those that name it, and its share of those that name none.",
    ),
    computed("slip_rate", show.RATE, this.selling_slips / this.sales, "For money of sales."),
    computed("costs", show.MONEY, this.selling_slips + this.fixed, "Slips and drives in all."),
    computed("after_goods", show.MONEY, this.proceeds + _sold("slips") - this.materials),
    capacity=100,
    details=("pieces", "proceeds", "materials", "fixed", "hours", "wear", "bench_hours"),
    workings=(
        *("fees_typed", "postage_typed", "base", "fee_base", "postage_base"),
        *("fee_share", "postage_share", "fee_slips", "postage_slips"),
        *("selling_slips", "slip_rate", "costs", "after_goods"),
    ),
)
