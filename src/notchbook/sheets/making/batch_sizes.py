"""Batch sizes, beside Yield: what a piece of each project costs in batches of other sizes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.settings import labor_for, overhead_for
from notchbook.sheets.making.plan_sheets import YIELD
from notchbook.sheets.making.projects import of_good_ones
from notchbook.sheets.making.work_steps import minutes_of_batch

COMPARED = (1, 2, 3, 4, 6, 8, 12, 16, 24)  # Yield is planned at least that far


def _project(column: str) -> x.Expression:
    return x.look_up("Projects", column, project=this.project)


def _of_plan(column: str) -> x.Expression:
    """A sum over the stocks of the plan for so many; they are all planned, none is repeated."""
    return x.total("Yield", column, project=this.project, units=this.units)


def _steps(column: str) -> x.Expression:
    return x.total("Work steps", column, project=this.project)


_MADE_COST = x.sum_of("material", "other", "time")

BATCH_SIZES = table(
    "Batch sizes",
    None,
    planned("project", show.NAME, "the project"),
    planned(
        "units", show.COUNT, "so many made together; its own batch is among them", header="batch of"
    ),
    computed("material", show.MONEY, _of_plan("wood_cost") / this.units),
    computed(
        "other",
        show.MONEY,
        _project("hardware") + _project("consumables") + _project("tools"),
        "The same at each size: packs are charged by the piece, as on Projects.",
        header="other costs",
    ),
    computed(
        "minutes",
        show.MINUTES,
        (
            minutes_of_batch(_steps("setup"), _steps("minutes"), this.units, _project("pace_taken"))
            + _of_plan("prep_minutes")
        )
        / this.units,
        "Set-up and preparation are shared by the batch.",
        header="minutes a unit",
    ),
    computed(
        "time",
        show.MONEY,
        labor_for(this.minutes) + overhead_for(this.minutes),
        header="labor and overhead",
    ),
    computed(
        "spoilage_cost",
        show.MONEY,
        of_good_ones(_MADE_COST, _project("spoilage")) - _MADE_COST,
        header="cost of spoiled pieces",
    ),
    computed(
        "unit_cost",
        show.MONEY,
        _MADE_COST + this.spoilage_cost,
        "As on Projects, at this batch size.",
    ),
    computed(
        "state",
        show.WORD,
        when(
            x.count(
                "Yield",
                "enough",
                x.where("enough", "=", "not enough"),
                project=this.project,
                units=this.units,
            )
            > 0,
            "not enough",
            x.look_up("Projects", "stale", project=this.project, otherwise=""),
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


SHEET = Sheet(
    "Yield",
    "How many boards for how many units, and on the right what a piece then costs. Change a batch"
    " on Projects and the price follows from here. Only the Batch sizes table prints.",
    (YIELD, BATCH_SIZES),
    after="Cut plan",
    group="output",
    prints="Batch sizes",
    prints_says="Yield: what a piece costs in batches of other sizes.",
    landscape=False,
)
