"""Material takeoff: what each project wants of each stock, and what is to be bought for it."""

from __future__ import annotations

from notchbook.language.expressions import (
    Expression,
    call,
    count,
    look_up,
    this,
    total,
    when,
    where,
    whole_up,
)
from notchbook.sheets.kit.declare import (
    AMOUNT,
    COUNT,
    MINUTES,
    MONEY,
    NAME,
    RATE,
    WORD,
    Sheet,
    computed,
    planned,
    table,
)
from notchbook.sheets.kit.settings import in_year
from notchbook.sheets.making.plan_sheets import cost_of_wood


def _stock(column: str) -> Expression:
    return look_up("Stock", column, stock=this("stock"))


def _project(column: str) -> Expression:
    return look_up("Projects", column, project=this("project"))


def _planned(column: str) -> Expression:
    """The plan of the batch: the largest plan repeated, and the plan of what is left over."""

    def row(units: Expression) -> Expression:
        return total("Yield", column, project=this("project"), stock=this("stock"), units=units)

    repeats = call("INT", this("batch") / this("most_units"))
    left_over = call("MOD", this("batch"), this("most_units"))
    return repeats * row(this("most_units")) + row(left_over)


_IS_WOOD = call("OR", this("kind").equals("lumber"), this("kind").equals("panel"))
_RECLAIMED = look_up("Stock", "reclaimed", stock=this("stock"), otherwise="").equals("yes")

TABLE = table(
    "Material takeoff",
    None,
    planned("project", "project", NAME, "the project"),
    planned("stock", "stock", NAME, "a stock that it uses"),
    computed("kind", "kind", WORD, look_up("Stock", "kind", stock=this("stock"), otherwise="")),
    computed("batch", "batch", COUNT, _project("batch")),
    computed("most_units", "planned up to", COUNT, _project("most_units")),
    computed(
        "need",
        "needed for the batch",
        AMOUNT,
        when(
            _IS_WOOD,
            _planned("boards"),
            this("batch")
            * total("Consumables", "unit_amount", project=this("project"), stock=this("stock")),
        ),
        "Boards and sheets as planned on Yield; pieces and units for the rest.",
    ),
    computed(
        "offcut_boards",
        "usable offcuts (boards)",
        AMOUNT,
        when(_IS_WOOD, _planned("offcut_boards"), 0),
        "By volume.",
    ),
    computed(
        "year_need",
        "used this year",
        AMOUNT,
        this("need")
        / this("batch")
        * total("Production log", "made", where("project", "=", this("project")), *in_year()),
        "By the pieces on the production log, at this batch size.",
    ),
    computed("each", "each", RATE, _stock("each")),
    computed(
        "wood_cost",
        "wood cost",
        MONEY,
        when(
            _IS_WOOD,
            cost_of_wood(this("need"), this("offcut_boards"), this("each")),
            0,
        ),
        "Boards valued at the Stock price, on hand or not.",
    ),
    computed(
        "used_cost",
        "cost of stock used",
        MONEY,
        when(_IS_WOOD, this("wood_cost"), this("need") * this("each")),
    ),
    computed(
        "prep_minutes",
        "preparation (min)",
        MINUTES,
        when(_IS_WOOD, this("need") * _stock("prep_minutes"), 0),
    ),
    computed("on_hand", "on hand", AMOUNT, _stock("on_hand")),
    computed(
        "to_buy",
        "packs to buy",
        COUNT,
        when(
            _RECLAIMED,
            0,
            whole_up(call("MAX", this("need") - this("on_hand"), 0) / _stock("pack")),
        ),
    ),
    computed("outlay", "outlay", MONEY, this("to_buy") * _stock("price")),
    computed(
        "state",
        "state",
        WORD,
        when(
            call(
                "OR",
                look_up("Projects", "stale", project=this("project"), otherwise="").equals("stale"),
                call(
                    "AND",
                    _IS_WOOD,
                    look_up("Stock", "stale", stock=this("stock"), otherwise="").equals("stale"),
                ),
            ),
            "stale",
            when(call("AND", _RECLAIMED, this("need") > this("on_hand")), "not enough", ""),
        ),
        "stale: compile again; not enough: reclaimed stock that is not there.",
    ),
    capacity=3_000,
)

_ALL_STALE = count("Projects", "stale", where("stale", "=", "stale")) + count(
    "Stock", "stale", where("stale", "=", "stale")
)

TOGETHER = table(
    "Bought together",
    None,
    planned("stock", "stock", NAME, "a stock that any project uses"),
    computed("kind", "kind", WORD, look_up("Stock", "kind", stock=this("stock"), otherwise="")),
    planned("boards", "boards in one plan", COUNT, "all batches cut together"),
    computed(
        "need",
        "needed",
        AMOUNT,
        when(_IS_WOOD, this("boards"), _stock("claimed")),
        "Boards and sheets of one plan for all projects; pieces and units for the rest.",
    ),
    computed(
        "apart",
        "needed if cut apart",
        AMOUNT,
        _stock("claimed"),
        "Each project planned for itself, as Yield has it.",
    ),
    computed("on_hand", "on hand", AMOUNT, _stock("on_hand")),
    computed(
        "to_buy",
        "packs to buy",
        COUNT,
        when(
            _RECLAIMED,
            0,
            whole_up(call("MAX", this("need") - this("on_hand"), 0) / _stock("pack")),
        ),
    ),
    computed("outlay", "outlay", MONEY, this("to_buy") * _stock("price")),
    computed(
        "state",
        "state",
        WORD,
        when(
            _IS_WOOD,
            when(
                _ALL_STALE > 0,
                "stale",
                when(
                    total("Projects", "other_batch") > 0,
                    "other batch",
                    when(
                        this("on_hand").differs(this("planned_on_hand")),
                        "other count",
                        when(
                            call("AND", _RECLAIMED, this("need") > this("on_hand")),
                            "not enough",
                            "",
                        ),
                    ),
                ),
            ),
            "",
        ),
        "stale: parts, saw or stock changed; other batch, other count: a batch or what is on hand"
        " did. Compile again; until then the list is that of the last compile.",
    ),
    planned("planned_on_hand", "on hand when planned", AMOUNT, "what the plan counted on"),
    capacity=1_000,
)
SHEET = Sheet(
    "Material takeoff",
    "Each project at its batch size. Costs count all boards, what to buy only those not on hand. On"
    " the right: all batches from one shopping list; clear all filters to read it.",
    (TABLE, TOGETHER),
    group="price",
)
