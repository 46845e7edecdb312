"""Pricing tiers: break-even, the price that is suggested, and what is left of it."""

from __future__ import annotations

from typing import Annotated

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.declare import Given, Row, Sheet, computed, table
from notchbook.sheets.kit.faults import NO_PROJECT, Strength, state, twice, unknown
from notchbook.sheets.kit.settings import setting
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


_KEPT = 1 - this.fee
_AIM = when(
    x.look_up("Tiers", "follows", tier=this.tier, otherwise="").equals("margin"),
    when(this.market > 0, x.call("MIN", this.for_margin, this.market), this.for_margin),
    when(this.market > 0, this.market, this.for_margin),
)

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
    computed("market", show.MONEY, _project("market"), header="market price here"),
    computed(
        "aim",
        show.MONEY,
        _AIM,
        "The market or the margin, as the tier follows.",
        header="price aimed at",
    ),
    computed(
        "suggested",
        show.MONEY,
        x.call("MAX", x.whole_up(x.call("MAX", this.aim, this.break_even) - setting.ending), 0)
        + setting.ending,
        "Never under break-even; rounded up to the price ending.",
    ),
    computed("price", show.MONEY, this.asked.or_else(this.suggested)),
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
        (this.profit + _project("labor")) / (_project("minutes") / x.Unit("hour")),
        "Profit and labor for an hour of work at this batch size.",
        header="earned an hour",
    ),
    state(
        NO_PROJECT,
        unknown("tier", "Tiers.tier", strength=Strength.OMIT),
        twice("Pricing tiers", "project", "tier"),
    ),
    silent="project",
    spare=20,
    capacity=3_000,
    workings=("aim",),
)
SHEET = Sheet(
    "Pricing tiers",
    "Type a price under asked to use it instead of the suggested one.",
    (TABLE,),
    after="Work steps",
    group="price",
    takes_rows=True,
)
