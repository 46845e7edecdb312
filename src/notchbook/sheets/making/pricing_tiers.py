"""Pricing tiers: break-even, the price that is suggested, and what is left of it."""

from __future__ import annotations

from typing import Annotated, ClassVar

from notchbook.language.expressions import (
    Expression,
    Unit,
    blank,
    call,
    look_up,
    missing,
    this,
    when,
    whole_up,
)
from notchbook.sheets.kit.declare import (
    FACTOR,
    MONEY,
    NAME,
    PERCENT,
    WORD,
    Given,
    Row,
    Sheet,
    computed,
    table,
)
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.kit.values import Money, Name


class PriceRow(Row):
    """A project at a tier, with the price that is asked."""

    key: ClassVar[tuple[str, ...]] = ("project", "tier")
    project: Annotated[Name, Given("project", NAME, "the project", "Projects.project", strict=True)]
    tier: Annotated[Name, Given("tier", NAME, "the kind of price", "Tiers.tier", strict=True)]
    asked: Annotated[
        Money | None, Given("asked", MONEY, "the price you ask; blank: the suggested one")
    ] = None


def _project(column: str) -> Expression:
    return look_up("Projects", column, project=this("project"))


def _tier(column: str) -> Expression:
    return look_up("Tiers", column, tier=this("tier"))


_KEPT = 1 - this("fee")
_AIM = when(
    look_up("Tiers", "follows", tier=this("tier"), otherwise="").equals("margin"),
    when(this("market") > 0, call("MIN", this("for_margin"), this("market")), this("for_margin")),
    when(this("market") > 0, this("market"), this("for_margin")),
)

TABLE = table(
    "Pricing tiers",
    PriceRow,
    computed("cost", "unit cost", MONEY, _project("unit_cost")),
    computed("fee", "fee", PERCENT, _tier("fee")),
    computed("selling", "selling cost", MONEY, _tier("selling_cost")),
    computed(
        "break_even",
        "break even",
        MONEY,
        (this("cost") + this("selling")) / _KEPT,
        "Below this price each piece loses money.",
    ),
    computed(
        "for_margin",
        "price for the margin",
        MONEY,
        (this("cost") + this("selling")) / (_KEPT - _tier("margin_wanted")),
    ),
    computed("market", "market price here", MONEY, _project("market")),
    computed(
        "aim", "price aimed at", MONEY, _AIM, "The market or the margin, as the tier follows."
    ),
    computed(
        "suggested",
        "suggested",
        MONEY,
        call("MAX", whole_up(call("MAX", this("aim"), this("break_even")) - setting("ending")), 0)
        + setting("ending"),
        "Never under break-even; rounded up to the price ending.",
    ),
    computed("price", "price", MONEY, when(blank(this("asked")), this("suggested"), this("asked"))),
    computed("proceeds", "proceeds", MONEY, this("price") * _KEPT - this("selling")),
    computed("profit", "profit", MONEY, this("proceeds") - this("cost")),
    computed("margin", "margin", PERCENT, this("profit") / this("price")),
    computed("markup", "markup", PERCENT, (this("price") - this("cost")) / this("cost")),
    computed("multiple", "times materials", FACTOR, this("price") / _project("unit_materials")),
    computed(
        "per_hour",
        "earned an hour",
        MONEY,
        (this("profit") + _project("labor")) / (_project("minutes") / Unit("hour")),
        "Profit and labor for an hour of work at this batch size.",
    ),
    computed(
        "state",
        "state",
        WORD,
        when(
            missing("Projects", project=this("project")),
            "no project",
            when(
                missing("Tiers", tier=this("tier")),
                "no tier",
                when(_KEPT - _tier("margin_wanted") <= 0, "no margin left", ""),
            ),
        ),
        "no margin left: the fee and the margin wanted together take the whole price.",
    ),
    silent="project",
    spare=20,
    capacity=3_000,
)
SHEET = Sheet(
    "Pricing tiers",
    "Type a price under asked to use it instead of the suggested one.",
    (TABLE,),
    group="price",
    takes_rows=True,
)
