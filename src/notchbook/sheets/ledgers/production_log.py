"""Production log: what was made, what went wrong, how long it really took."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import Strength, look, no_number, of_values, state, unknown
from notchbook.sheets.kit.settings import YEAR_START
from notchbook.sheets.kit.values import Day, Name, Number, Text
from notchbook.sheets.kit.written import Written
from notchbook.sheets.ledgers.dated import OTHER_YEAR
from notchbook.sheets.ledgers.looks import OF_A_RUN, OK_NOTE

KEEP, KEPT = "keep", "kept"


class ProductionRow(Row):
    """A run at the bench."""

    written = (Written("production.csv"),)
    date: Annotated[Day, Given("the day it was finished")]
    project: Annotated[Name, Given("what was made", refers="Projects.project")]
    made: Annotated[
        Number,
        Given("pieces begun and finished, spoiled ones included", look=show.COUNT, example="6"),
    ]
    spoiled: Annotated[
        Number, Given("of those, how many cannot be sold", look=show.COUNT, example="1")
    ] = 0.0
    minutes: Annotated[
        Number | None, Given("by the clock, for the whole run", look=show.MINUTES, example="190")
    ] = None
    offcuts: Annotated[
        Literal["keep", "kept"] | None,
        Given("keep: the next compile puts what its plan leaves on Offcuts, and writes kept"),
    ] = None
    note: Annotated[Text | None, Given("anything", example="new blade")] = None
    ok: Annotated[Literal["yes"] | None, Given(OK_NOTE)] = None


_EARLIER = (
    x.where("project", "=", this.project),
    x.where("date", ">=", YEAR_START),
    x.where("date", "<", this.date),
)

TABLE = table(
    "Production log",
    ProductionRow,
    computed("good", show.COUNT, this.made - this.spoiled),
    computed(
        "planned_minutes",
        show.MINUTES,
        this.made * x.look_up("Projects", "minutes", project=this.project),
        "At the project's usual batch size.",
        header="planned (min)",
    ),
    computed(
        "longer",
        show.MINUTES,
        when(this.minutes.equals(0), 0, this.minutes - this.planned_minutes),
        header="longer than planned (min)",
    ),
    computed(
        "before",
        show.COUNT,
        x.look_up("Projects", "opening", project=this.project)
        + x.total("Production log", "made", *_EARLIER)
        - x.total("Production log", "spoiled", *_EARLIER)
        - x.total("Sales ledger", "quantity", *_EARLIER, x.where("kind", "<>", "deposit"))
        + x.total("Sales ledger", "deposit_back", *_EARLIER),
        "Finished ones just before this run; below 0, some were sold before they were made.",
        header="on hand before",
    ),
    computed("month", show.COUNT, x.call("MONTH", this.date)),
    state(
        no_number("made", "spoiled", "minutes"),
        OTHER_YEAR,
        unknown("project", "Projects.project", strength=Strength.LOOK),
        look("too many", this.spoiled > this.made, "write no more than were made"),
        *of_values(ProductionRow),
        *OF_A_RUN,
    ),
    silent="date",
    spare=100,
    capacity=10_000,
    workings=("before", "month"),
)
SHEET = Sheet(
    "Production log",
    "Each run at the bench. What is good goes to the finished goods on Projects.",
    (TABLE,),
    after="Purchases",
    group="ledger",
)
