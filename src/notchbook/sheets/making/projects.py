"""Projects: what is made, what it costs, what it earns, and whether it is worth making."""

from __future__ import annotations

from typing import Annotated

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.declare import Given, Row, Sheet, computed, planned, table
from notchbook.sheets.kit.faults import Strength, fault, names_header, state, twice
from notchbook.sheets.kit.settings import labor_for, overhead_for, setting
from notchbook.sheets.kit.values import Batch, Factor, Name, Share, Text
from notchbook.sheets.kit.written import PROJECT, Written
from notchbook.sheets.ledgers.finished_goods import FINISHED_GOODS


class ProjectRow(Row):
    """A thing that is made."""

    key = ("project",)
    written = (Written(PROJECT),)
    project: Annotated[Name, Given("the name that all sheets use", example="herb rail")]
    title: Annotated[
        Text | None, Given("as a buyer would call it", example="Windowsill herb rail", needed=True)
    ] = None
    batch: Annotated[Batch, Given("how many are made at a time", example="6")]
    local_factor: Annotated[
        Factor | None, Given("what share of the price seen people pay here", blank="the shop's")
    ] = None
    spoilage: Annotated[Share, Given("the share that goes wrong", example="5%")] = 0.0
    cautions: Annotated[
        Text | None,
        Given("printed on the shop sheet", several=True, example="[narrow rips, spray finish]"),
    ] = None


def of_good_ones(cost: x.Expression, spoilage: x.Expression) -> x.Expression:
    """What a good piece costs where a share of all that are made goes wrong."""
    return cost / (1 - spoilage)


def _of(table_name: str, column: str, **more: str) -> x.Expression:
    return x.total(table_name, column, project=this.project, **more)


_MINE = x.where("project", "=", this.project)
_CUT_SUM = (
    _of("Cut list", "make")
    + x.products("Cut list", ("make", "length"), _MINE)
    + x.products("Cut list", ("make", "length", "width"), _MINE)
    + x.products("Cut list", ("make", "length", "width", "thickness"), _MINE)
    + x.products("Laid surfaces", ("width", "height"), _MINE)
    + x.products("Laid surfaces", ("strip_thickness", "strip_width", "strip_length"), _MINE)
    + _of("Laid surfaces", "waste")
)
_MAIN = {"project": this.project, "tier": setting.main_tier}

_FAULTS = (
    names_header("project"),
    twice("Projects", "project"),
    fault(
        "no parts",
        (x.count("Cut list", "part", _MINE) + x.count("Laid surfaces", "surface", _MINE)).equals(0),
        "write its parts on Cut list",
        "project",
        Strength.NOTICE,
    ),
    fault(
        "no steps",
        x.count("Work steps", "step", _MINE).equals(0),
        "write its work on Work steps",
        "project",
        Strength.NOTICE,
    ),
)

TABLE = table(
    "Projects",
    ProjectRow,
    computed("seen", show.COUNT, x.count("Seen prices", "price", _MINE), header="prices seen"),
    computed("seen_low", show.MONEY, x.least("Seen prices", "price", _MINE), header="lowest seen"),
    computed(
        "seen_average", show.MONEY, x.average("Seen prices", "price", _MINE), header="average seen"
    ),
    computed(
        "seen_high", show.MONEY, x.greatest("Seen prices", "price", _MINE), header="highest seen"
    ),
    computed(
        "market",
        show.MONEY,
        this.seen_average * this.local_factor.or_else(setting.local_factor),
        "What it should bring here (0: no price seen).",
        header="market price here",
    ),
    computed("material", show.MONEY, _of("Material takeoff", "wood_cost") / this.batch),
    computed("hardware", show.MONEY, _of("Consumables", "cost", kind="hardware")),
    computed("consumables", show.MONEY, _of("Consumables", "cost", kind="consumable")),
    computed("tools", show.MONEY, _of("Consumables", "cost", kind="tool"), header="tool wear"),
    computed(
        "minutes",
        show.MINUTES,
        _of("Work steps", "unit_minutes") + _of("Material takeoff", "prep_minutes") / this.batch,
        "Set-up and preparation are shared by the batch.",
        header="minutes a unit",
    ),
    computed("labor", show.MONEY, labor_for(this.minutes)),
    computed("overhead", show.MONEY, overhead_for(this.minutes)),
    computed(
        "unit_materials",
        show.MONEY,
        of_good_ones(this.material + this.hardware + this.consumables, this.spoilage),
        "What of the cost is goods bought; the tax form knows no labor of your own.",
        header="materials a unit",
    ),
    computed(
        "unit_cost",
        show.MONEY,
        of_good_ones(
            this.material
            + this.hardware
            + this.consumables
            + this.tools
            + this.labor
            + this.overhead,
            this.spoilage,
        ),
        "All costs of a good piece at this batch size.",
    ),
    computed(
        "outlay",
        show.MONEY,
        _of("Material takeoff", "outlay"),
        "Whole boards and packs to buy after what is on hand.",
        header="outlay for the batch",
    ),
    computed(
        "price", show.MONEY, x.total("Pricing tiers", "price", **_MAIN), header="price (main tier)"
    ),
    computed(
        "profit",
        show.MONEY,
        x.total("Pricing tiers", "profit", **_MAIN),
        header="profit (main tier)",
    ),
    computed(
        "per_hour",
        show.MONEY,
        x.total("Pricing tiers", "per_hour", **_MAIN),
        header="earned an hour",
    ),
    computed(
        "verdict",
        show.WORD,
        x.cases(
            (this.price.equals(0), "no price yet"),
            (this.minutes.equals(0), "no steps yet"),
            (this.per_hour >= setting.worth_per_hour, "worth making"),
            (this.per_hour >= setting.skip_per_hour, "borderline"),
            otherwise="skip",
        ),
    ),
    computed(
        "reason",
        show.TEXT,
        x.join(
            "earns ",
            x.rounded(this.per_hour, 0),
            " an hour at ",
            setting.main_tier,
            "; worth making from ",
            x.rounded(setting.worth_per_hour, 0),
        ),
    ),
    computed(
        "stale",
        show.WORD,
        when(
            x.rounded(this.cut_sum - this.planned_sum, 6).differs(0)
            | x.rounded(setting.saw_sum - setting.planned_saw_sum, 6).differs(0)
            | (x.count("Cut list", "changed", _MINE, x.where("changed", "=", "changed")) > 0)
            | (x.count("Laid surfaces", "changed", _MINE, x.where("changed", "=", "changed")) > 0),
            "stale",
            "",
        ),
        "stale: parts or saw settings changed since the cuts were planned; compile again.",
        header="plan state",
    ),
    *FINISHED_GOODS,
    state(*_FAULTS),
    computed(
        "cut_sum", show.CHECKSUM, _CUT_SUM, "Changes when a part does.", header="cut list sum"
    ),
    computed(
        "other_batch",
        show.COUNT,
        when(this.batch.differs(this.planned_batch), 1, 0),
        "1: the batch is another one than at the last compile.",
    ),
    planned("planned_batch", show.COUNT, "the batch when planned", header="batch of the plan"),
    planned(
        "most_units",
        show.COUNT,
        "Yield holds plans for 1 to so many pieces",
        header="planned up to",
    ),
    planned(
        "planned_sum",
        show.CHECKSUM,
        "the cut list sum when planned",
        header="cut list sum of the plan",
    ),
    silent="project",
    spare=20,
    prints_to="income",
    workings=("cut_sum", "other_batch", "planned_batch", "most_units", "planned_sum"),
)

SHEET = Sheet(
    "Projects",
    "What you make. A new project typed below, with its parts on Cut list, is planned at the next"
    " compile.",
    (TABLE,),
    after="Stock",
    group="plan",
    takes_rows=True,
)
