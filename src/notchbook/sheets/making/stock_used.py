"""Stock used: what each run at the bench took, kept from the compile that first saw the run.

Decisions:

- A run takes wood by its share of the batch's plan, unless the plan that it was cut by was kept
  (`KeptCut`): then it takes the boards of that plan, none for what came from an offcut, since the
  run that cut a board bore it whole. So the shelf, Offcuts and the books read the same cuts.
- A cut that was kept before its run is on the log waits for it with no number of a run: its boards
  are off the shelf from the day of the cut, and goods of the books until the run takes them. A row
  typed for it counts by its share beside it until the next compile gives it the cut. One of the
  year before waits from this year's first day on.
- Hardware and consumables are always taken by the piece.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
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
    planned(
        "run",
        show.COUNT,
        "rows of one number are one run of the Production log; none: cut, and not on the log yet",
    ),
    planned("date", show.DATE, "the day of the run; without one, of the cut, or the year's first"),
    planned("project", show.NAME, "what was made"),
    planned("made", show.COUNT, "pieces begun and ended; on the first row of each run"),
    planned("stock", show.NAME, "a stock that the run took"),
    planned("units", show.AMOUNT, "boards, sheets, pieces or units, by the plan of then"),
    planned("cut", show.LABEL, "the cut that was kept, as on Offcuts; blank: by the piece"),
    planned("cut_for", show.COUNT, "pieces that it was planned for", header="cut for"),
    planned("offcuts", show.LABEL, "offcuts that it used in place of boards"),
    capacity=10_000,
)
SHEET = Sheet(
    USED,
    "What each run took, from the compile that first saw it. A run that you change is worked out"
    " again, but for the wood of a cut that was kept.",
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


@dataclass(frozen=True)
class KeptCut:
    """What the wood of a run was cut from, by a plan that was kept.

    `name` stands beside the offcuts that it left on Offcuts; `boards` and `offcuts`, by stock, hold
    the boards cut into and in words the offcuts used. `run` is None as long as none on the log is
    known for it.
    """

    name: str
    project: str
    day: float
    pieces: float
    boards: Mapping[str, float]
    offcuts: Mapping[str, str]
    run: Run | None = None


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
    by_number = _by_number(rows)
    return {
        run: {str(row["stock"]): float(row["units"]) for row in by_number[number]}
        for number, run in _number_kept(by_number).items()
    }


def kept_cuts(rows: Iterable[Mapping[Hashable, Any]]) -> list[KeptCut]:
    """Collect the cuts that were kept from the rows of Stock used."""
    rows = list(rows)
    runs = _number_kept(_by_number(rows))
    found: dict[tuple[Run | None, str, str], list[Mapping[Hashable, Any]]] = {}
    for row in rows:
        if row["cut"]:
            key = runs.get(row["run"]), str(row["cut"]), str(row["project"])
            found.setdefault(key, []).append(row)
    return [
        KeptCut(
            name,
            project,
            its[0]["date"],
            its[0]["cut_for"],
            {str(row["stock"]): float(row["units"]) for row in its},
            {str(row["stock"]): str(row["offcuts"]) for row in its if row["offcuts"]},
            run,
        )
        for (run, name, project), its in found.items()
    ]


def _by_number(
    rows: Iterable[Mapping[Hashable, Any]],
) -> dict[float, list[Mapping[Hashable, Any]]]:
    found: dict[float, list[Mapping[Hashable, Any]]] = {}
    for row in rows:
        if not isnan(row["run"]):
            found.setdefault(row["run"], []).append(row)
    return dict(sorted(found.items()))


def _number_kept(
    by_number: Mapping[float, Sequence[Mapping[Hashable, Any]]],
) -> dict[float, Run]:
    """Return the runs by their numbers."""
    first = [
        next((row for row in its if not isnan(row["made"])), its[0]) for its in by_number.values()
    ]
    runs = zip(by_number, number_runs(first), strict=True)
    return {number: run for number, run in runs if run is not None}
