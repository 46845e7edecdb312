"""Projects: what is made, what it costs, what it earns, and whether it is worth making."""

from __future__ import annotations

from typing import Annotated, ClassVar

from notchbook.language.expressions import (
    Expression,
    average,
    blank,
    call,
    count,
    greatest,
    join,
    least,
    products,
    rounded,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.kit.declare import (
    CHECKSUM,
    COUNT,
    FACTOR,
    MINUTES,
    MONEY,
    NAME,
    PERCENT,
    TEXT,
    WORD,
    Given,
    Row,
    Sheet,
    computed,
    planned,
    table,
)
from notchbook.sheets.kit.settings import labor_for, overhead_for, setting
from notchbook.sheets.kit.values import Batch, Factor, Name, Share, Text
from notchbook.sheets.ledgers.finished_goods import FINISHED_GOODS


class ProjectRow(Row):
    """A thing that is made."""

    key: ClassVar[tuple[str, ...]] = ("project",)
    project: Annotated[Name, Given("project", NAME, "the name that all other sheets use")]
    title: Annotated[Text | None, Given("title", TEXT, "as a buyer would call it")] = None
    batch: Annotated[Batch, Given("batch", COUNT, "how many are made at a time")]
    local_factor: Annotated[
        Factor | None, Given("local factor", FACTOR, "blank: the shop's; see Settings")
    ] = None
    spoilage: Annotated[Share, Given("spoilage", PERCENT, "the share that goes wrong")] = 0.0
    cautions: Annotated[Text | None, Given("cautions", TEXT, "printed on the shop sheet")] = None


def of_good_ones(cost: Expression, spoilage: Expression) -> Expression:
    """What a good piece costs where a share of all that are made goes wrong."""
    return cost / (1 - spoilage)


def _of(table_name: str, column: str, **more: str) -> Expression:
    return total(table_name, column, project=this("project"), **more)


_MINE = where("project", "=", this("project"))
_CUT_SUM = (
    _of("Cut list", "make")
    + products("Cut list", ("make", "length"), _MINE)
    + products("Cut list", ("make", "length", "width"), _MINE)
    + products("Cut list", ("make", "length", "width", "thickness"), _MINE)
    + products("Laid surfaces", ("width", "height"), _MINE)
    + products("Laid surfaces", ("strip_thickness", "strip_width", "strip_length"), _MINE)
    + _of("Laid surfaces", "waste")
)
_MAIN = {"project": this("project"), "tier": setting("main_tier")}


TABLE = table(
    "Projects",
    ProjectRow,
    computed("seen", "prices seen", COUNT, count("Seen prices", "price", _MINE)),
    computed("seen_low", "lowest seen", MONEY, least("Seen prices", "price", _MINE)),
    computed("seen_average", "average seen", MONEY, average("Seen prices", "price", _MINE)),
    computed("seen_high", "highest seen", MONEY, greatest("Seen prices", "price", _MINE)),
    computed(
        "market",
        "market price here",
        MONEY,
        this("seen_average")
        * when(blank(this("local_factor")), setting("local_factor"), this("local_factor")),
        "What it should bring here (0: no price seen).",
    ),
    computed("material", "material", MONEY, _of("Material takeoff", "wood_cost") / this("batch")),
    computed("hardware", "hardware", MONEY, _of("Consumables", "cost", kind="hardware")),
    computed("consumables", "consumables", MONEY, _of("Consumables", "cost", kind="consumable")),
    computed("tools", "tool wear", MONEY, _of("Consumables", "cost", kind="tool")),
    computed(
        "minutes",
        "minutes a unit",
        MINUTES,
        _of("Work steps", "unit_minutes") + _of("Material takeoff", "prep_minutes") / this("batch"),
        "Set-up and preparation are shared by the batch.",
    ),
    computed("labor", "labor", MONEY, labor_for(this("minutes"))),
    computed("overhead", "overhead", MONEY, overhead_for(this("minutes"))),
    computed(
        "unit_materials",
        "materials a unit",
        MONEY,
        of_good_ones(this("material") + this("hardware") + this("consumables"), this("spoilage")),
        "What of the cost is goods bought; the tax form knows no labor of your own.",
    ),
    computed(
        "unit_cost",
        "unit cost",
        MONEY,
        of_good_ones(
            this("material")
            + this("hardware")
            + this("consumables")
            + this("tools")
            + this("labor")
            + this("overhead"),
            this("spoilage"),
        ),
        "All costs of a good piece at this batch size.",
    ),
    computed(
        "outlay",
        "outlay for the batch",
        MONEY,
        _of("Material takeoff", "outlay"),
        "Whole boards and packs to buy after what is on hand.",
    ),
    computed("price", "price (main tier)", MONEY, total("Pricing tiers", "price", **_MAIN)),
    computed("profit", "profit (main tier)", MONEY, total("Pricing tiers", "profit", **_MAIN)),
    computed("per_hour", "earned an hour", MONEY, total("Pricing tiers", "per_hour", **_MAIN)),
    computed(
        "verdict",
        "verdict",
        WORD,
        when(
            this("price").equals(0),
            "no price yet",
            when(
                this("minutes").equals(0),
                "no steps yet",
                when(
                    this("per_hour") >= setting("worth_per_hour"),
                    "worth making",
                    when(this("per_hour") >= setting("skip_per_hour"), "borderline", "skip"),
                ),
            ),
        ),
    ),
    computed(
        "reason",
        "reason",
        TEXT,
        join(
            "earns ",
            rounded(this("per_hour"), 0),
            " an hour at ",
            setting("main_tier"),
            "; worth making from ",
            rounded(setting("worth_per_hour"), 0),
        ),
    ),
    computed("cut_sum", "cut list sum", CHECKSUM, _CUT_SUM, "Changes when a part does."),
    computed(
        "stale",
        "plan state",
        WORD,
        when(
            call(
                "OR",
                rounded(this("cut_sum") - this("planned_sum"), 6).differs(0),
                rounded(setting("saw_sum") - setting("planned_saw_sum"), 6).differs(0),
                count("Cut list", "changed", _MINE, where("changed", "=", "changed")) > 0,
                count("Laid surfaces", "changed", _MINE, where("changed", "=", "changed")) > 0,
            ),
            "stale",
            "",
        ),
        "stale: parts or saw settings changed since the cuts were planned; compile again.",
    ),
    *FINISHED_GOODS,
    computed(
        "other_batch",
        "other batch",
        COUNT,
        when(this("batch").differs(this("planned_batch")), 1, 0),
        "1: the batch is another one than at the last compile.",
    ),
    planned("planned_batch", "batch of the plan", COUNT, "the batch when planned"),
    planned("most_units", "planned up to", COUNT, "Yield holds plans for 1 to so many pieces"),
    planned("planned_sum", "cut list sum of the plan", CHECKSUM, "the cut list sum when planned"),
    silent="project",
    spare=20,
    prints_to="income",
)

SHEET = Sheet(
    "Projects",
    "What you make. A new project typed below, with its parts on Cut list, is planned at the next"
    " compile.",
    (TABLE,),
    group="plan",
    takes_rows=True,
)
