"""Stock used: what each run at the bench took, kept from the compile that first saw the run."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import isnan
from typing import Any

from notchbook.books.rows import Used
from notchbook.language import expressions as x
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import planned
from notchbook.sheets.kit.declare import Sheet, table

LOG = "Production log"
USED = "Stock used"

TABLE = table(
    USED,
    None,
    planned("run", show.COUNT, "rows of one number are one run of the Production log"),
    planned("date", show.DATE, "the day of the run"),
    planned("project", show.NAME, "what was made"),
    planned("made", show.COUNT, "pieces begun and ended; on the first row of each run"),
    planned("stock", show.NAME, "a stock that the run took"),
    planned("units", show.AMOUNT, "boards, sheets, pieces or units, by the plan of then"),
    capacity=10_000,
)
SHEET = Sheet(
    USED,
    "What each run took, kept from the compile that first saw it. Change the run's day, project or"
    " pieces, and its rows are worked out again.",
    (TABLE,),
    after="Marks",
    group="output",
    landscape=False,
)


def made_since_compile(project: x.Expression, *when: x.Where) -> x.Expression:
    """Pieces on the log, less those of the runs whose stock is kept, over the rows that meet."""
    mine = x.where("project", "=", project), *when
    return x.total(LOG, "made", *mine) - x.total(USED, "made", *mine)


@dataclass(frozen=True, slots=True)
class Run:
    """A run as its row says it; `nth` of those that say the same, for they cannot be told apart."""

    day: float
    project: str
    made: float
    nth: int


def number_runs(rows: Iterable[Mapping[Hashable, Any]]) -> Iterator[Run | None]:
    """Yield each row's run; None for a row without a day, a project or pieces."""
    seen: Counter[tuple[float, str, float]] = Counter()
    for row in rows:
        day, project, made = row["date"], str(row["project"]).strip().casefold(), row["made"]
        if isnan(day) or isnan(made) or not project or not made:
            yield None
            continue
        seen[day, project, made] += 1
        yield Run(day, project, made, seen[day, project, made])


def runs_took(tables: Mapping[str, Any]) -> list[Used]:
    """Return what every run of the log took of each stock, in the order of the log.

    From the tables of a calculated shop; a run that takes nothing is not among them.
    """
    log = tables[LOG].to_dict("records")
    takes = kept_takes(tables[USED].to_dict("records"))
    return [
        Used(n, run.day, str(log[n]["project"]), stock, units)
        for n, run in enumerate(number_runs(log))
        if run is not None
        for stock, units in takes.get(run, {}).items()
    ]


def kept_takes(rows: Iterable[Mapping[Hashable, Any]]) -> dict[Run, dict[str, float]]:
    """Collect what each run took from the rows of Stock used, in whatever order they stand."""
    by_number: dict[float, list[Mapping[Hashable, Any]]] = {}
    for row in rows:
        if not isnan(row["run"]):
            by_number.setdefault(row["run"], []).append(row)
    first = {
        number: next((row for row in its if not isnan(row["made"])), its[0])
        for number, its in sorted(by_number.items())
    }
    return {
        run: {str(row["stock"]): float(row["units"]) for row in by_number[number]}
        for number, run in zip(first, number_runs(first.values()), strict=True)
        if run is not None
    }
