"""Next batches: what to make next with the hours and the money there are, and what to buy for it.

Hours, money, the day, what can be sold and what is made instead belong to the workbook, as a
ledger does. Which numbers bring in most is searched at compile; all that follows from them is live.
"""

from __future__ import annotations

from typing import Annotated

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed, planned
from notchbook.sheets.kit.declare import (
    Sheet,
    table,
)
from notchbook.sheets.kit.faults import Strength, no_number, state, twice, unknown
from notchbook.sheets.kit.settings import overhead_for, setting
from notchbook.sheets.kit.values import Name, Whole
from notchbook.sheets.kit.written import Written
from notchbook.sheets.making.next_limits import LINES, differ, next_line
from notchbook.sheets.making.projects import of_good_ones
from notchbook.sheets.making.work_steps import minutes_of_batch

NO_PRICE = "no price seen"


class NextRow(Row):
    """A project, with what the maker knows of its sale and makes of the proposal."""

    a_row_for = "Projects"
    key = ("project",)
    written = (Written("next_batches.csv"),)
    project: Annotated[Name, Given("the project", refers="Projects.project")]
    can_sell: Annotated[
        Whole | None,
        Given(
            "how many can be sold until then, those on the shelf included",
            blank="as they sold",
            example="8",
        ),
    ] = None
    make_instead: Annotated[
        Whole | None,
        Given(
            "how many good pieces to make in place of the number proposed",
            blank="as proposed",
            example="6",
        ),
    ] = None


def _project(column: str, otherwise: x.Operand = 0) -> x.Expression:
    return x.look_up("Projects", column, project=this.project, otherwise=otherwise)


def _takeoff(column: str) -> x.Expression:
    return x.total("Material takeoff", column, project=this.project)


def _steps(column: str) -> x.Expression:
    return x.total("Work steps", column, project=this.project)


_SOLD = (
    x.where("project", "=", this.project),
    *(x.where("kind", "<>", other) for other in ("deposit", "own use")),
)
_COUNTED = (
    x.where("date", ">=", next_line("sales_from")),
    x.where("date", "<=", next_line("now")),
)
_WITHOUT_PRICE = _project("verdict", "").equals(NO_PRICE)
_NEXT = table(
    "Next batches",
    NextRow,
    computed(
        "counts_on",
        show.COUNT,
        x.call(
            "MIN",
            x.call("MAX", this.expected - x.call("MAX", _project("finished"), 0), 0),
            this.most,
        ),
        "What can be sold, less what is finished and on hand.",
        header="counts on",
    ),
    planned("make", show.NUMBER_OF, "the numbers that together bring in most"),
    computed(
        "makes",
        show.COUNT,
        this.make_instead.or_else(this.make),
        "As proposed, or as typed under make instead.",
    ),
    computed(
        "minutes",
        show.MINUTES,
        when(
            this.begun > 0,
            minutes_of_batch(_steps("setup"), _steps("minutes"), this.begun, _project("pace_taken"))
            + _takeoff("next_prep"),
            0,
        ),
        "With set-up and preparation, and with the pieces that go wrong.",
    ),
    computed(
        "outlay",
        show.MONEY,
        _takeoff("next_outlay"),
        "Whole boards and packs, were it made alone.",
        header="outlay alone",
    ),
    computed(
        "brings_in",
        show.MONEY,
        this.makes * this.proceeds - _takeoff("next_cost") - this.begun * _project("tools"),
        "Proceeds at the main tier less stock used, there or bought, and wear.",
    ),
    computed(
        "per_hour",
        show.MONEY,
        (this.brings_in - overhead_for(this.minutes)) / (this.minutes / x.Unit("hour")),
        header="earned an hour",
    ),
    state(
        unknown("project", "Projects.project", strength=Strength.LOOK),
        no_number("can_sell", "make_instead"),
        twice("Next batches", "project", strength=Strength.LOOK),
        otherwise=x.cases(
            (_WITHOUT_PRICE, NO_PRICE),
            (_project("stale", "").equals("stale"), "stale"),
            (this.makes > this.counts_on, "over counts on"),
            (this.old.equals("old"), "old"),
            ((this.makes > 0) & (this.per_hour < setting.skip_per_hour), "earns little"),
        ),
        note="no price seen: it is left out; stale, old: compile again, and the numbers are"
        " proposed anew; over counts on: more than is counted on to sell; earns little: less an"
        " hour than skip below on Settings, so make it only if the hours are free.",
    ),
    computed(
        "begun",
        show.COUNT,
        x.whole_up(of_good_ones(this.makes, _project("spoilage"))),
        "How many must be begun for so many good ones.",
    ),
    computed(
        "proceeds",
        show.MONEY,
        x.total("Pricing tiers", "proceeds", project=this.project, tier=setting.main_tier),
        "Of a piece, at the main tier.",
    ),
    computed(
        "sold",
        show.COUNT,
        x.total("Sales ledger", "quantity", *_SOLD, *_COUNTED),
        "In the weeks looked at, less returns.",
        header="sold lately",
    ),
    computed(
        "expected",
        show.COUNT,
        when(
            x.blank(this.can_sell),
            when(
                x.count("Sales ledger", "quantity", *_SOLD).equals(0),
                _project("batch"),
                x.rounded(this.sold / next_line("weeks_counted") * next_line("sell_weeks"), 0),
            ),
            this.can_sell,
        ),
        "Typed, else as it sold lately; the batch where none is sold yet.",
        header="expected to sell",
    ),
    planned("most", show.COUNT, "ten times the units that Yield is planned for"),
    planned("planned_on", show.COUNT, "what it counted on when planned", header="counted on then"),
    planned("planned_proceeds", show.MONEY, "proceeds when planned", header="proceeds then"),
    computed(
        "otherwise",
        show.COUNT,
        differ(this.counts_on, this.planned_on) + differ(this.proceeds, this.planned_proceeds),
        "What differs from the compile's.",
    ),
    computed(
        "instead",
        show.COUNT,
        when(this.makes.differs(this.make) | _project("stale", "").equals("stale"), 1, 0),
        "1: made otherwise, or of other parts, than the compile planned.",
    ),
    computed("old", show.WORD, when(next_line("changed") > 0, "old", ""), "Greys the proposal."),
    silent="project",
    leads=("project", "can_sell", "counts_on", "make", "make_instead", "makes"),
    details=("begun", "proceeds", "sold", "expected"),
    workings=("most", "planned_on", "planned_proceeds", "otherwise", "instead", "old"),
)


def _stock(column: str, otherwise: x.Operand = 0) -> x.Expression:
    return x.look_up("Stock", column, stock=this.stock, otherwise=otherwise)


_RECLAIMED = _stock("reclaimed", "").equals("yes")
_MATERIALS = table(
    "Next materials",
    None,
    planned("stock", show.NAME, "a stock that any project uses"),
    computed(
        "needed",
        show.AMOUNT,
        when(
            x.blank(this.together) | (next_line("instead") > 0),
            this.apart,
            this.together,
        ),
        "Boards cut together where the numbers are those proposed, else each project's by Yield.",
    ),
    computed("there_now", show.AMOUNT, _stock("there_now")),
    computed(
        "packs",
        show.COUNT,
        when(
            _RECLAIMED,
            0,
            x.whole_up(x.call("MAX", this.needed - this.there_now, 0) / _stock("pack")),
        ),
        header="packs to buy",
    ),
    computed("cost", show.MONEY, this.packs * this.price),
    computed("vendor", show.LABEL, _stock("vendor", "")),
    computed(
        "state",
        show.WORD,
        when(
            _RECLAIMED & (x.rounded(this.needed - this.there_now, 6) > 0),
            "not enough",
            _stock("stale", ""),
        ),
        "not enough: reclaimed stock that is not there.",
    ),
    computed(
        "apart",
        show.AMOUNT,
        x.total("Material takeoff", "next_need", stock=this.stock),
        header="if cut apart",
    ),
    planned(
        "together",
        show.COUNT,
        "boards of one plan for all; blank: it saves nothing, or was not made",
        header="in one plan",
    ),
    computed("price", show.MONEY, _stock("price")),
    computed(
        "prep_minutes",
        show.MINUTES,
        this.needed * _stock("prep_minutes"),
        header="preparation (min)",
    ),
    planned("planned_price", show.MONEY, "the price when planned", header="price then"),
    computed(
        "otherwise",
        show.COUNT,
        differ(this.price, this.planned_price),
        "1: the price differs from the compile's.",
    ),
    silent="stock",
    capacity=1_000,
    details=("vendor", "apart", "together", "price", "prep_minutes"),
    workings=("planned_price", "otherwise"),
)


SHEET = Sheet(
    "Next batches",
    "Type the hours and the money you have, and compile: Make is what brings in most. Type another"
    " number beside it, and all follows.",
    (LINES, _NEXT, _MATERIALS),
    after="Pricing tiers",
    group="price",
)
