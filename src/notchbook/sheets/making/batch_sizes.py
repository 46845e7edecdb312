"""Batch sizes, beside Yield: what a piece of each project costs in batches of other sizes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from notchbook.language.expressions import (
    Expression,
    count,
    look_up,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.kit.declare import (
    COUNT,
    MINUTES,
    MONEY,
    NAME,
    WORD,
    Sheet,
    computed,
    planned,
    table,
)
from notchbook.sheets.kit.settings import labor_for, overhead_for
from notchbook.sheets.making.plan_sheets import YIELD
from notchbook.sheets.making.projects import of_good_ones
from notchbook.sheets.making.work_steps import minutes_a_unit

COMPARED = (1, 2, 3, 4, 6, 8, 12, 16, 24)  # Yield is planned at least that far


def _project(column: str) -> Expression:
    return look_up("Projects", column, project=this("project"))


def _of_plan(column: str) -> Expression:
    """A sum over the stocks of the plan for so many; they are all planned, none is repeated."""
    return total("Yield", column, project=this("project"), units=this("units"))


def _steps(column: str) -> Expression:
    return total("Work steps", column, project=this("project"))


BATCH_SIZES = table(
    "Batch sizes",
    None,
    planned("project", "project", NAME, "the project"),
    planned("units", "batch of", COUNT, "so many made together; its own batch is among them"),
    computed("material", "material", MONEY, _of_plan("wood_cost") / this("units")),
    computed(
        "other",
        "all but wood and time",
        MONEY,
        _project("hardware") + _project("consumables") + _project("tools"),
        "The same at each size: packs are charged by the piece, as on Projects.",
    ),
    computed(
        "minutes",
        "minutes a unit",
        MINUTES,
        minutes_a_unit(_steps("setup"), _steps("minutes"), this("units"))
        + _of_plan("prep_minutes") / this("units"),
        "Set-up and preparation are shared by the batch.",
    ),
    computed(
        "time",
        "labor and overhead",
        MONEY,
        labor_for(this("minutes")) + overhead_for(this("minutes")),
    ),
    computed(
        "unit_cost",
        "unit cost",
        MONEY,
        of_good_ones(this("material") + this("other") + this("time"), _project("spoilage")),
        "As on Projects, at this batch size.",
    ),
    computed(
        "state",
        "state",
        WORD,
        when(
            count(
                "Yield",
                "enough",
                where("enough", "=", "not enough"),
                project=this("project"),
                units=this("units"),
            )
            > 0,
            "not enough",
            look_up("Projects", "stale", project=this("project"), otherwise=""),
        ),
        "not enough: reclaimed stock does not reach so far; stale: compile again.",
    ),
    capacity=5_000,
)


def compared_rows(batches: Mapping[str, int]) -> Iterable[dict[str, object]]:
    """The rows of Batch sizes: each project at the sizes compared and at its own."""
    for project, batch in batches.items():
        for units in sorted({*COMPARED, batch}):
            yield {"project": project, "units": units}


YIELD_SHEET = Sheet(
    "Yield",
    "How many boards for how many units, and on the right what a piece then costs. Change a batch"
    " on Projects and the price follows from here. Batch sizes alone is printed.",
    (YIELD, BATCH_SIZES),
    group="output",
    prints="Batch sizes",
    landscape=False,
)
