"""Work steps: how long it takes, once a batch and for each unit."""

from __future__ import annotations

from typing import Annotated

from notchbook.language import expressions as x
from notchbook.language.expressions import this
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import NO_PROJECT, Strength, state, twice
from notchbook.sheets.kit.settings import labor_for
from notchbook.sheets.kit.values import Name, Number, Text
from notchbook.sheets.kit.written import PROJECT, Written


class StepRow(Row):
    """One step of the work."""

    key = ("project", "step")
    written = (
        Written(PROJECT, "steps", "step", "the steps of the work, at least one", needed=True),
    )
    project: Annotated[
        Name, Given("the project it belongs to", refers="Projects.project", strict=True)
    ]
    step: Annotated[Text, Given("what is done", example="rip and crosscut")]
    setup: Annotated[
        Number,
        Given(
            "minutes once a batch",
            header="setup (min)",
            look=show.MINUTES,
            needed=True,
            example="20",
        ),
    ] = 0.0
    minutes: Annotated[
        Number,
        Given(
            "for each unit", header="minutes a unit", look=show.MINUTES, needed=True, example="6"
        ),
    ] = 0.0


def minutes_of_batch(
    setup: x.Expression, minutes: x.Expression, units: x.Expression, pace: x.Expression
) -> x.Expression:
    """The minutes of so many units made together, at the pace that the work really takes."""
    return pace * (setup + minutes * units)


TABLE = table(
    "Work steps",
    StepRow,
    computed("batch", show.COUNT, x.look_up("Projects", "batch", project=this.project)),
    computed("pace", show.PERCENT, x.look_up("Projects", "pace_taken", project=this.project)),
    computed(
        "batch_minutes",
        show.MINUTES,
        minutes_of_batch(this.setup, this.minutes, this.batch, this.pace),
        header="batch (min)",
    ),
    computed(
        "unit_minutes",
        show.MINUTES,
        this.batch_minutes / this.batch,
        "With its share of the set-up.",
        header="shared a unit (min)",
    ),
    computed("labor", show.MONEY, labor_for(this.unit_minutes), header="labor a unit"),
    state(NO_PROJECT, twice("Work steps", "project", "step", strength=Strength.LOOK)),
    silent="project",
    spare=40,
    capacity=3_000,
)
SHEET = Sheet(
    "Work steps",
    "Minutes once a batch and for each unit: a larger batch shares the set-up.",
    (TABLE,),
    after="Consumables",
    group="price",
    landscape=False,
)
