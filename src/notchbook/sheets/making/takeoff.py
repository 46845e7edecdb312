"""Material takeoff: what each project wants of each stock, and what is to be bought for it."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.settings import in_year
from notchbook.sheets.making.offcuts import OTHER_OFFCUTS
from notchbook.sheets.making.plan_sheets import cost_of_wood
from notchbook.sheets.making.stock_used import made_since_compile
from notchbook.sheets.making.wood_kinds import IS_WOOD


def _stock(column: str) -> x.Expression:
    return x.look_up("Stock", column, stock=this.stock)


def _project(column: str) -> x.Expression:
    return x.look_up("Projects", column, project=this.project)


def _planned(column: str, units: x.Own) -> x.Expression:
    """The plan of so many: the largest plan repeated, and the plan of what is left over."""

    def row(units: x.Expression) -> x.Expression:
        return x.total("Yield", column, project=this.project, stock=this.stock, units=units)

    repeats = x.call("INT", units / this.most_units)
    left_over = x.call("MOD", units, this.most_units)
    return repeats * row(this.most_units) + row(left_over)


_A_UNIT = x.total("Consumables", "unit_amount", project=this.project, stock=this.stock)


def _next_stock(column: str) -> x.Expression:
    return x.look_up("Next materials", column, stock=this.stock)


_RECLAIMED = x.look_up("Stock", "reclaimed", stock=this.stock, otherwise="").equals("yes")
_TOO_MUCH = _RECLAIMED & (this.need - this.spared > this.there_now)
_TOO_MUCH_TOGETHER = _RECLAIMED & (this.need > this.there_now)
_LESS_THAN_PLANNED = this.there_now < _stock("planned_there")

FOR_NEXT = (
    computed(
        "next_begun",
        show.COUNT,
        x.look_up("Next batches", "begun", project=this.project),
        header="begun for next batches",
    ),
    computed(
        "next_need",
        show.AMOUNT,
        when(IS_WOOD, _planned("boards", this.next_begun), this.next_begun * _A_UNIT),
        "As planned on Yield for the pieces that are begun.",
        header="for next batches",
    ),
    computed(
        "next_cost",
        show.MONEY,
        when(
            IS_WOOD,
            cost_of_wood(
                this.next_need, _planned("offcut_boards", this.next_begun), _stock("each")
            ),
            this.next_need * _stock("each"),
        ),
        "Boards less their usable offcuts as Settings say, packs by the piece.",
        header="stock used for next batches",
    ),
    computed(
        "next_prep",
        show.MINUTES,
        when(IS_WOOD, this.next_need * _stock("prep_minutes"), 0),
        header="preparation for next batches (min)",
    ),
    computed(
        "next_outlay",
        show.MONEY,
        when(
            _RECLAIMED,
            0,
            x.whole_up(x.call("MAX", this.next_need - _next_stock("there_now"), 0) / _stock("pack"))
            * _stock("price"),
        ),
        "Whole boards and packs for this project alone.",
        header="outlay for next batches",
    ),
)
"""What the numbers on Next batches take of each stock."""

TABLE = table(
    "Material takeoff",
    None,
    planned("project", show.NAME, "the project"),
    planned("stock", show.NAME, "a stock that it uses"),
    computed("kind", show.WORD, x.look_up("Stock", "kind", stock=this.stock, otherwise="")),
    computed("batch", show.COUNT, _project("batch")),
    computed("most_units", show.COUNT, _project("most_units"), header="planned up to"),
    computed(
        "need",
        show.AMOUNT,
        when(
            IS_WOOD,
            _planned("boards", this.batch),
            this.batch * _A_UNIT,
        ),
        "Boards and sheets as planned on Yield; pieces and units for the rest.",
        header="needed for the batch",
    ),
    computed(
        "offcut_boards",
        show.AMOUNT,
        when(IS_WOOD, _planned("offcut_boards", this.batch), 0),
        "By volume.",
        header="usable offcuts (boards)",
    ),
    computed("unit_need", show.AMOUNT, this.need / this.batch, header="needed a unit"),
    computed(
        "new_use",
        show.AMOUNT,
        this.unit_need * made_since_compile(this.project, *in_year()),
        "By runs that the last compile did not see, at this batch size.",
        header="used since the compile",
    ),
    computed(
        "new_use_since",
        show.AMOUNT,
        this.unit_need
        * made_since_compile(this.project, x.where("date", ">", _stock("moves_after"))),
        "As used since the compile, after the day the stock was counted.",
        header="used since the count",
    ),
    computed("each", show.RATE, _stock("each")),
    computed(
        "wood_cost",
        show.MONEY,
        when(IS_WOOD, cost_of_wood(this.need, this.offcut_boards, this.each), 0),
        "Boards valued at the Stock price, there or not.",
    ),
    computed(
        "used_cost",
        show.MONEY,
        when(IS_WOOD, this.wood_cost, this.need * this.each),
        header="cost of stock used",
    ),
    computed(
        "prep_minutes",
        show.MINUTES,
        when(IS_WOOD, this.need * _stock("prep_minutes"), 0),
        header="preparation (min)",
    ),
    computed("there_now", show.AMOUNT, _stock("there_now")),
    computed(
        "used_up",
        show.COUNT,
        when(_TOO_MUCH & _LESS_THAN_PLANNED, 1, 0),
        "1: reclaimed stock that the plan counted on is there no more.",
    ),
    computed(
        "spared",
        show.COUNT,
        when(OTHER_OFFCUTS | this.batch.differs(_project("planned_batch")), 0, this.fewer),
        "Boards that are not needed, as Cut plan uses offcuts; costs count them.",
        header="spared by offcuts",
    ),
    computed(
        "to_buy",
        show.COUNT,
        when(
            _RECLAIMED,
            0,
            x.whole_up(x.call("MAX", this.need - this.spared - this.there_now, 0) / _stock("pack")),
        ),
        header="packs to buy",
    ),
    computed("outlay", show.MONEY, this.to_buy * _stock("price")),
    planned("fewer", show.COUNT, "boards that offcuts spared when planned", header="planned less"),
    computed(
        "state",
        show.WORD,
        when(
            x.look_up("Projects", "stale", project=this.project, otherwise="").equals("stale")
            | (
                IS_WOOD
                & x.look_up("Stock", "stale", stock=this.stock, otherwise="").equals("stale")
            ),
            "stale",
            when(_TOO_MUCH, "not enough", ""),
        ),
        "stale: compile again; not enough: reclaimed stock that is not there.",
    ),
    *FOR_NEXT,
    capacity=3_000,
    details=("wood_cost", "prep_minutes"),
    workings=(
        *("batch", "most_units", "offcut_boards", "unit_need", "new_use", "new_use_since"),
        *("used_up", "fewer", *(each.name for each in FOR_NEXT)),
    ),
)

_ALL_STALE = x.count("Projects", "stale", x.where("stale", "=", "stale")) + x.count(
    "Stock", "stale", x.where("stale", "=", "stale")
)

TOGETHER = table(
    "Bought together",
    None,
    planned("stock", show.NAME, "a stock that any project uses"),
    computed("kind", show.WORD, x.look_up("Stock", "kind", stock=this.stock, otherwise="")),
    planned("boards", show.COUNT, "all batches cut together", header="boards in one plan"),
    computed(
        "need",
        show.AMOUNT,
        when(IS_WOOD, this.boards, _stock("claimed")),
        "Boards and sheets of one plan for all projects; pieces and units for the rest.",
        header="needed",
    ),
    computed(
        "apart",
        show.AMOUNT,
        _stock("claimed"),
        "Each project planned for itself, as Yield has it.",
        header="needed if cut apart",
    ),
    computed("there_now", show.AMOUNT, _stock("there_now")),
    computed(
        "to_buy",
        show.COUNT,
        when(
            _RECLAIMED, 0, x.whole_up(x.call("MAX", this.need - this.there_now, 0) / _stock("pack"))
        ),
        header="packs to buy",
    ),
    computed("outlay", show.MONEY, this.to_buy * _stock("price")),
    computed(
        "state",
        show.WORD,
        when(
            IS_WOOD,
            x.cases(
                (_ALL_STALE > 0, "stale"),
                (x.total("Projects", "other_batch") > 0, "other batch"),
                (_TOO_MUCH_TOGETHER, when(_LESS_THAN_PLANNED, "other count", "not enough")),
            ),
            "",
        ),
        "stale: parts, saw or stock changed; other batch: a batch did; other count: reclaimed"
        " stock is there no more. Compile again; until then the list is that of the last compile.",
    ),
    capacity=1_000,
)
SHEET = Sheet(
    "Material takeoff",
    "Each project at its batch size. Costs count all boards, what to buy only those not there"
    " now. On the right: all batches from one shopping list; clear all filters to read it.",
    (TABLE, TOGETHER),
    after="Laid surfaces",
    group="price",
)
