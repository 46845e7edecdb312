"""Production log: what was made, what went wrong, how long it really took."""

from __future__ import annotations

from typing import Annotated

from notchbook.language.expressions import (
    call,
    look_up,
    missing,
    text_in,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.kit.declare import (
    COUNT,
    DATE,
    MINUTES,
    NAME,
    TEXT,
    WORD,
    Given,
    Row,
    Sheet,
    computed,
    table,
)
from notchbook.sheets.kit.settings import YEAR_START, state_in_year
from notchbook.sheets.kit.values import Day, Name, Number, Text


class ProductionRow(Row):
    """A run at the bench."""

    date: Annotated[Day, Given("date", DATE, "the day it was finished")]
    project: Annotated[Name, Given("project", NAME, "what was made", "Projects.project")]
    made: Annotated[Number, Given("made", COUNT, "pieces begun and ended, the spoiled ones too")]
    spoiled: Annotated[Number, Given("spoiled", COUNT, "of those, not fit to sell")] = 0.0
    minutes: Annotated[
        Number | None, Given("minutes", MINUTES, "by the clock, for the whole run")
    ] = None
    note: Annotated[Text | None, Given("note", TEXT, "anything")] = None


_EARLIER = (
    where("project", "=", this("project")),
    where("date", ">=", YEAR_START),
    where("date", "<", this("date")),
)

TABLE = table(
    "Production log",
    ProductionRow,
    computed("good", "good", COUNT, this("made") - this("spoiled")),
    computed(
        "planned_minutes",
        "planned (min)",
        MINUTES,
        this("made") * look_up("Projects", "minutes", project=this("project")),
        "At the project's usual batch size.",
    ),
    computed(
        "longer",
        "longer than planned (min)",
        MINUTES,
        when(this("minutes").equals(0), 0, this("minutes") - this("planned_minutes")),
    ),
    computed(
        "before",
        "on hand before",
        COUNT,
        look_up("Projects", "opening", project=this("project"))
        + total("Production log", "made", *_EARLIER)
        - total("Production log", "spoiled", *_EARLIER)
        - total("Sales ledger", "quantity", *_EARLIER, where("kind", "<>", "deposit"))
        + total("Sales ledger", "deposit_back", *_EARLIER),
        "Finished ones just before this run; below 0, some were sold before they were made.",
    ),
    computed("month", "month", COUNT, call("MONTH", this("date"))),
    computed(
        "state",
        "state",
        WORD,
        when(
            text_in("made", "spoiled", "minutes"),
            "no number",
            state_in_year(
                when(
                    missing("Projects", project=this("project")),
                    "no project",
                    when(this("spoiled") > this("made"), "too many", ""),
                )
            ),
        ),
        "too many: more spoiled than made.",
    ),
    silent="date",
    spare=100,
    capacity=10_000,
)
SHEET = Sheet(
    "Production log",
    "Each run at the bench. What is good goes to the finished goods on Projects.",
    (TABLE,),
    group="ledger",
    takes_rows=True,
)
