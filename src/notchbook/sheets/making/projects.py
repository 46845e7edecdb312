"""Projects: what is made, what it costs, what it earns, and whether it is worth making."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed, planned
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import Strength, fault, names_header, state, twice, unknown
from notchbook.sheets.kit.settings import labor_for, money_words, overhead_for, setting
from notchbook.sheets.kit.values import Batch, Factor, Name, Share, Text
from notchbook.sheets.kit.written import PROJECT, Written
from notchbook.sheets.ledgers.finished_goods import FINISHED_GOODS, PRICES
from notchbook.sheets.making.offcuts import OTHER_OFFCUTS
from notchbook.sheets.making.pricing_tiers import BELOW


class ProjectRow(Row):
    """A thing that is made."""

    key = ("project",)
    written = (Written(PROJECT, without=("made_from",)),)
    project: Annotated[Name, Given("the name that all sheets use", example="herb rail")]
    title: Annotated[
        Text | None, Given("as a buyer would call it", example="Windowsill herb rail", needed=True)
    ] = None
    batch: Annotated[Batch, Given("how many are made at a time", example="6")]
    local_factor: Annotated[
        Factor | None, Given("what share of the price seen people pay here", blank="the shop's")
    ] = None
    spoilage: Annotated[Share, Given("the share that goes wrong", example="5%")] = 0.0
    pace: Annotated[
        Factor,
        Given(
            "real minutes as a share of those of the steps: 120% takes a fifth longer",
            look=show.PERCENT,
            example="115%",
            blank="100%",
        ),
    ] = 1.0
    minutes_ok: Annotated[
        Literal["yes"] | None,
        Given("the minutes of its steps are right, however little of them its cuts leave"),
    ] = None
    cautions: Annotated[
        Text | None,
        Given("printed on the shop sheet", several=True, example="[narrow rips, spray finish]"),
    ] = None
    made_from: Annotated[
        Name | None,
        Given(
            "a new project gets the rows of the one named here at the next compile",
            refers="Projects.project",
        ),
    ] = None


def of_good_ones(cost: x.Expression, spoilage: x.Expression) -> x.Expression:
    """What a good piece costs where a share of all that are made goes wrong."""
    return cost / (1 - spoilage)


def _of(table_name: str, column: str, **more: str) -> x.Expression:
    return x.total(table_name, column, project=this.project, **more)


_MINE = x.where("project", "=", this.project)
LOSES = "a price loses"
_CUT_SUM = (
    _of("Cut list", "make")
    + x.products("Cut list", ("make", "length"), _MINE)
    + x.products("Cut list", ("make", "length", "width"), _MINE)
    + x.products("Cut list", ("make", "length", "width", "thickness"), _MINE)
    + x.products("Cut list", ("make", "layers", "thickness"), _MINE)
    + x.products("Cut list", ("make", "rough_length", "length"), _MINE)
    + x.products("Cut list", ("make", "rough_width", "width"), _MINE)
    + x.products("Cut list", ("make", "rough_thickness", "thickness"), _MINE)
    + x.products("Laid surfaces", ("width", "height"), _MINE)
    + x.products("Laid surfaces", ("strip_thickness", "strip_width", "strip_length"), _MINE)
    + _of("Laid surfaces", "waste")
)
_MAIN = {"project": this.project, "tier": setting.main_tier}

_MADE_COST = x.sum_of("material", "hardware", "consumables", "tools", "labor", "overhead")
_NO_PRICE = (this.market.equals(0)) & (this.got.equals(0)) & (this.asked.equals(0))

_FAULTS = (
    names_header("project"),
    twice("Projects", "project"),
    unknown("made_from", "Projects.project"),
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
        x.total("Pricing tiers", "market", **_MAIN),
        "What people pay here at the main tier (0: no price seen).",
        header="market price here",
    ),
    computed(
        "pace_taken",
        show.PERCENT,
        this.pace.or_else(1),
        "As typed, else 100 %.",
        header="pace used",
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
    planned(
        "saw_minutes",
        show.MINUTES,
        "settings and passes of the cutting plan, for the batch; compare the steps at the saw on"
        " Work steps",
        header="batch at the saw (min)",
    ),
    computed(
        "saw_share",
        show.PERCENT,
        this.saw_minutes / (this.minutes * this.batch),
        "What the cuts of the plan take of the minutes typed: a check, the typed ones count.",
        header="of it at the saw",
    ),
    computed("labor", show.MONEY, labor_for(this.minutes)),
    computed("overhead", show.MONEY, overhead_for(this.minutes)),
    computed(
        "spoilage_cost",
        show.MONEY,
        of_good_ones(_MADE_COST, this.spoilage) - _MADE_COST,
        "What spoiled pieces add to the cost of a good one.",
        header="spoiled pieces",
    ),
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
        _MADE_COST + this.spoilage_cost,
        "All costs of a good piece at this batch size.",
    ),
    computed(
        "good_minutes",
        show.MINUTES,
        of_good_ones(this.minutes, this.spoilage),
        "With its share of the minutes that go into spoiled pieces.",
        header="minutes a good piece",
    ),
    computed(
        "good_labor",
        show.MONEY,
        of_good_ones(this.labor, this.spoilage),
        header="labor a good piece",
    ),
    computed(
        "outlay",
        show.MONEY,
        _of("Material takeoff", "outlay"),
        "Whole boards and packs to buy after what is there now.",
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
        "break_even",
        show.MONEY,
        x.total("Pricing tiers", "break_even", **_MAIN),
        header="break even (main tier)",
    ),
    computed("got", show.MONEY, x.total("Pricing tiers", "got", **_MAIN), header="average got"),
    computed("asked", show.MONEY, x.total("Pricing tiers", "asked", **_MAIN), header="price asked"),
    computed(
        "verdict",
        show.WORD,
        x.cases(
            (_NO_PRICE, "no price seen"),
            (this.minutes.equals(0), "no steps yet"),
            (this.per_hour >= setting.worth_per_hour, "worth making"),
            (this.per_hour >= setting.skip_per_hour, "borderline"),
            otherwise="skip",
        ),
    ),
    computed(
        "reason",
        show.SENTENCE,
        when(
            _NO_PRICE,
            "type one on Seen prices, or what you ask on Pricing tiers",
            x.join(
                when(
                    this.market > 0,
                    x.join("people here pay ", money_words(this.market)),
                    when(
                        this.got > 0,
                        x.join("you got ", money_words(this.got)),
                        x.join("you ask ", money_words(this.asked)),
                    ),
                ),
                ", it needs ",
                money_words(this.break_even),
                " to break even; ",
                money_words(this.per_hour),
                " an hour",
                when(this.asked > 0, x.join(" at your ", money_words(this.asked)), ""),
            ),
        ),
    ),
    computed(
        "stale",
        show.WORD,
        when(
            x.rounded(this.cut_sum - this.planned_sum, 6).differs(0)
            | x.rounded(setting.saw_sum - setting.planned_saw_sum, 6).differs(0)
            | (x.count("Cut list", "changed", _MINE, x.where("changed", "=", "changed")) > 0)
            | (x.count("Laid surfaces", "changed", _MINE, x.where("changed", "=", "changed")) > 0)
            | (x.total("Material takeoff", "used_up", _MINE) > 0)
            | ((this.offcuts_used > 0) & OTHER_OFFCUTS),
            "stale",
            "",
        ),
        "stale: parts or saw settings changed since the cuts were planned, or reclaimed stock or"
        " offcuts that they count on are used up; compile again.",
        header="plan state",
    ),
    planned(
        "from_one",
        show.TEXT,
        "the most units whose parts of the dearest stock fit one board; *perhaps* where more are"
        " not ruled out",
        header="units from one board",
    ),
    *FINISHED_GOODS,
    state(
        *_FAULTS,
        otherwise=when(
            x.count("Pricing tiers", "state", _MINE, x.where("state", "=", BELOW)) > 0, LOSES, ""
        ),
        note="a price loses: at one of its tiers each piece loses money; see Pricing tiers.",
    ),
    *PRICES,
    computed(
        "cut_sum", show.CHECKSUM, _CUT_SUM, "Changes when a part does.", header="cut list sum"
    ),
    computed(
        "other_batch",
        show.COUNT,
        when(this.batch.differs(this.planned_batch), 1, 0),
        "1: the batch is another one than at the last compile.",
    ),
    computed(
        "saw_off",
        show.COUNT,
        when(
            this.minutes_ok.differs("yes")
            & (this.saw_share > 1 - setting.off_by)
            & (x.look_up("Estimates", "runs", project=this.project) < setting.least_runs),
            1,
            0,
        ),
        "1: the cuts leave next to nothing of the minutes typed, and the log does not say whether"
        " these are enough, nor does minutes ok.",
    ),
    planned(
        "offcuts_used",
        show.COUNT,
        "what the plan takes from Offcuts before a board",
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
    leads=("project", "verdict", "reason", "price", "per_hour", "batch"),
    details=(
        *("seen", "seen_low", "seen_average", "seen_high", "market", "break_even"),
        *("pace_taken", "material", "hardware", "consumables", "tools", "minutes"),
        *("saw_minutes", "saw_share", "labor"),
        *("overhead", "spoilage_cost", "unit_materials", "good_minutes", "good_labor"),
        *("outlay", "profit", "got", "asked", "opening", "made", "spoiled", "sold", "finished"),
        *("counted", "uncounted", "sell_through", "days_on_hand"),
        *("books_each", "books_value", "income"),
    ),
    workings=(
        *("price_rows", "price_sum", "price_high", "cut_sum", "other_batch", "planned_batch"),
        *(
            "saw_off",
            "offcuts_used",
            "most_units",
            "planned_sum",
            "since_sold",
            "since_kept",
            "not_counted",
        ),
    ),
)

SHEET = Sheet(
    "Projects",
    "What you make. A new project typed below, with its parts on Cut list, is planned at the next"
    " compile.",
    (TABLE,),
    after="Stock",
    group="plan",
)
