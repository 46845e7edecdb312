"""Work steps: how long it takes, once a batch and for each unit."""

from __future__ import annotations

from typing import Annotated, ClassVar

from notchbook.language.expressions import Expression, look_up, missing, this, when
from notchbook.sheets.kit.declare import (
    COUNT,
    MINUTES,
    MONEY,
    NAME,
    TEXT,
    WORD,
    Given,
    Row,
    Sheet,
    computed,
    table,
)
from notchbook.sheets.kit.settings import labor_for
from notchbook.sheets.kit.values import Name, Number, Text


class StepRow(Row):
    """One step of the work."""

    key: ClassVar[tuple[str, ...]] = ("project", "step")
    project: Annotated[
        Name, Given("project", NAME, "the project it belongs to", "Projects.project", strict=True)
    ]
    step: Annotated[Text, Given("step", TEXT, "what is done")]
    setup: Annotated[Number, Given("setup (min)", MINUTES, "once a batch")] = 0.0
    minutes: Annotated[Number, Given("minutes a unit", MINUTES, "for each unit")] = 0.0


def minutes_a_unit(setup: Expression, minutes: Expression, units: Expression) -> Expression:
    """The minutes of one of so many units made together, with its share of the set-up."""
    return (setup + minutes * units) / units


TABLE = table(
    "Work steps",
    StepRow,
    computed("batch", "batch", COUNT, look_up("Projects", "batch", project=this("project"))),
    computed(
        "batch_minutes",
        "batch (min)",
        MINUTES,
        this("setup") + this("minutes") * this("batch"),
    ),
    computed(
        "unit_minutes",
        "shared a unit (min)",
        MINUTES,
        minutes_a_unit(this("setup"), this("minutes"), this("batch")),
        "With its share of the set-up.",
    ),
    computed(
        "labor",
        "labor a unit",
        MONEY,
        labor_for(this("unit_minutes")),
    ),
    computed(
        "state",
        "state",
        WORD,
        when(missing("Projects", project=this("project")), "no project", ""),
    ),
    silent="project",
    spare=40,
    capacity=3_000,
)
SHEET = Sheet(
    "Work steps",
    "Minutes once a batch and for each unit: a larger batch shares the set-up.",
    (TABLE,),
    group="price",
    takes_rows=True,
    landscape=False,
)
