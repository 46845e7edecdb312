"""Pricing tiers: break-even, the price that is suggested, and what is left of it."""

from __future__ import annotations

from typing import Annotated

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import NO_PROJECT, Strength, state, twice, unknown
from notchbook.sheets.kit.settings import money_words, setting
from notchbook.sheets.kit.values import Money, Name


class PriceRow(Row):
    """A project at a tier, with the price that is asked."""

    key = ("project", "tier")
    project: Annotated[Name, Given("the project", refers="Projects.project", strict=True)]
    tier: Annotated[Name, Given("the kind of price", refers="Tiers.tier", strict=True)]
    asked: Annotated[
        Money | None, Given("the price you ask", blank="the suggested one", example="32.00")
    ] = None


def _project(column: str) -> x.Expression:
    return x.look_up("Projects", column, project=this.project)


def _tier(column: str) -> x.Expression:
    return x.look_up("Tiers", column, tier=this.tier)


def _of_sales(column: str) -> x.Expression:
    return x.total("Sales ledger", column, *_SALES)


BELOW = "below break-even"
_KEPT = 1 - this.fee
_SALES = (
    x.where("project", "=", this.project),
    x.where("tier", "=", this.tier),
    *(x.where("kind", "<>", other) for other in ("return", "own use", "deposit")),
)
_FACTOR = when(
    _tier("local_factor") > 0,
    _tier("local_factor"),
    when(_project("local_factor") > 0, _project("local_factor"), setting.local_factor),
)
_FOLLOWS_MARGIN = x.look_up("Tiers", "follows", tier=this.tier, otherwise="").equals("margin")
_AIM = when(
    this.market > 0,
    when(_FOLLOWS_MARGIN, x.call("MIN", this.for_margin, this.market), this.market),
    x.call("MAX", this.for_margin, this.got),
)
_UP = x.call("MAX", x.whole_up(this.aim - setting.ending), 0) + setting.ending
_DOWN = x.whole_down(this.aim - setting.ending) + setting.ending
_FITS = this.market.equals(0) | (x.rounded(_UP - this.market, 6) <= 0)

TABLE = table(
    "Pricing tiers",
    PriceRow,
    computed("cost", show.MONEY, _project("unit_cost"), header="unit cost"),
    computed("fee", show.PERCENT, _tier("fee")),
    computed("selling", show.MONEY, _tier("selling_cost"), header="selling cost"),
    computed(
        "break_even",
        show.MONEY,
        (this.cost + this.selling) / _KEPT,
        "Below this price each piece loses money.",
    ),
    computed(
        "for_margin",
        show.MONEY,
        (this.cost + this.selling) / (_KEPT - _tier("margin_wanted")),
        header="price for the margin",
    ),
    computed(
        "market",
        show.MONEY,
        _project("seen_average") * _FACTOR,
        "What people pay there: the average seen, times the local factor (0: no price seen).",
        header="market price here",
    ),
    computed(
        "got",
        show.MONEY,
        when(
            this.market.equals(0) & (_of_sales("quantity") >= setting.least_sold),
            x.products("Sales ledger", ("quantity", "price"), *_SALES) / _of_sales("quantity"),
            0,
        ),
        "Where no price was seen: the average that enough sold pieces brought, before discounts.",
        header="average got",
    ),
    computed(
        "aim",
        show.MONEY,
        _AIM,
        "The market or the margin, as the tier follows; what people pay is the limit.",
        header="price aimed at",
    ),
    computed(
        "suggested",
        show.MONEY,
        when(
            _FITS,
            _UP,
            when((this.aim < setting.ending) | (_DOWN <= 0), this.market, _DOWN),
        ),
        "Rounded up to the price ending, down where that would pass what people pay.",
    ),
    computed("price", show.MONEY, this.asked.or_else(this.suggested)),
    computed(
        "loses",
        show.LABEL,
        x.cases(
            (
                x.rounded(this.price - this.break_even, 6) < 0,
                x.join("loses ", money_words(-this.profit), " a piece"),
            ),
            (x.rounded(this.suggested - this.break_even, 6) < 0, "suggested would lose"),
        ),
        "What people pay does not cover the cost there: ask more, make it cheaper, or leave it.",
        header="a loss",
    ),
    computed("proceeds", show.MONEY, this.price * _KEPT - this.selling),
    computed("profit", show.MONEY, this.proceeds - this.cost),
    computed("margin", show.PERCENT, this.profit / this.price),
    computed("markup", show.PERCENT, (this.price - this.cost) / this.cost),
    computed(
        "multiple", show.FACTOR, this.price / _project("unit_materials"), header="times materials"
    ),
    computed(
        "per_hour",
        show.MONEY,
        (this.profit + _project("good_labor")) / (_project("good_minutes") / x.Unit("hour")),
        "Profit and labor for an hour of work at this batch size.",
        header="earned an hour",
    ),
    state(
        NO_PROJECT,
        unknown("tier", "Tiers.tier", strength=Strength.OMIT),
        twice("Pricing tiers", "project", "tier"),
        otherwise=when(x.rounded(this.price - this.break_even, 6) < 0, BELOW, ""),
        note="below break-even: each piece sold at this price loses money.",
    ),
    silent="project",
    spare=20,
    capacity=3_000,
    leads=("project", "tier", "asked", "suggested", "price", "loses", "profit", "per_hour"),
    workings=("aim",),
)
SHEET = Sheet(
    "Pricing tiers",
    "Type a price under asked to use it instead of the suggested one.",
    (TABLE,),
    after="Work steps",
    group="price",
)
