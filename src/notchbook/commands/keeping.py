"""What a run left at the saw put on the sheet Offcuts, and what it used of them taken off.

Decisions:

- A row that is used up stays with a count of 0: it says which run it came from, and it is the
  maker's to delete.
- A run bears a name, which stands beside its offcuts; one that stands there is not kept again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from notchbook.base.refusals import RefusedError
from notchbook.base.sentences import listed
from notchbook.commands.cuts import Cuts, plan_cuts
from notchbook.gathering import Gathered
from notchbook.merging.cells import cell
from notchbook.planning.model.kept_offcuts import count_offcuts
from notchbook.planning.model.plan import Plan
from notchbook.sheets.kit.columns import Row
from notchbook.sheets.ledgers.production_log import KEEP, KEPT, ProductionRow
from notchbook.sheets.making.offcuts import OFFCUTS, OffcutRow
from notchbook.shop.plans import Watch

_LOG = "Production log"
_SIDES = ("thickness", "width", "length")
Size = tuple[str, Fraction, Fraction, Fraction]
Cells = Mapping[str, object]


@dataclass(frozen=True)
class KeptRun:
    """What was done for a run: offcuts put on the sheet, and those that were taken off."""

    run: str
    left: tuple[str, ...]
    used: tuple[str, ...]

    def list_lines(self) -> list[str]:
        """List what was done, as a terminal shows it."""
        put = [f"Put on {OFFCUTS}, left by {self.run}:", *(f"  {each}" for each in self.left)]
        off = [f"Taken off {OFFCUTS}, used by {self.run}:", *(f"  {each}" for each in self.used)]
        none = [f"{self.run} leaves nothing worth keeping and used no offcut."]
        return [*(put if self.left else ()), *(off if self.used else ())] or none


def name_run(sizes: Mapping[str, int], day: date) -> str:
    """Name a run by what was made, and the day."""
    return f"{listed(f'{units} {project}' for project, units in sizes.items())}, {day}"


def keep_offcuts(gathered: Gathered, found: Cuts, run: str) -> KeptRun:
    """Put what a plan leaves on the sheet Offcuts of a merged shop, and take off what it used.

    Raises RefusedError where the run stands there already.
    """
    if at := find_run(gathered, run):
        raise RefusedError(
            f"{run} is on {OFFCUTS} already, at {at}; if this is another run, give it a name of its"
            " own with --run"
        )
    (plan,) = found.plans
    stocks = {each.name: each.stock for each in found.offcuts}
    used = count_offcuts(plan, found.offcuts)
    sizes = {
        each.name: (each.stock.casefold(), each.thickness, each.width, each.length)
        for each in found.offcuts
    }
    _take_off(gathered, Counter({sizes[name]: count for name, count in used.items()}), run)
    _put(gathered, _rows_left(plan, stocks, run))
    left = tuple(found.words.list_offcuts(plan))
    return KeptRun(run, left, tuple(f"{count} {name}" for name, count in used.items()))


def find_run(gathered: Gathered, run: str) -> str:
    """Find the cell where a run stands on Offcuts; "" where it does not."""
    for n, row in enumerate(gathered.definitions.cells(OFFCUTS)):
        if str(row["run"] or "").casefold() == run.casefold():
            return _place(gathered, OFFCUTS, n, "run")
    return ""


def keep_marked_runs(gathered: Gathered, watch: Watch = iter) -> None:
    """Keep the offcuts of the runs that the Production log marks, in its order; these say kept.

    A run of a project that is not there, or without whole pieces, keeps its mark.
    """
    for n, row in enumerate(gathered.definitions.cells(_LOG)):
        project, made, day = row["project"], row["made"], row["date"]
        if row["offcuts"] != KEEP or project not in gathered.definitions.projects:
            continue
        if not isinstance(made, int | float) or made < 1 or not isinstance(day, date):
            continue
        run = name_run({str(project): int(made)}, day)
        at = _place(gathered, _LOG, n, "offcuts")
        if there := find_run(gathered, run):
            told = f"{run} is on {OFFCUTS} already, at {there}"
        else:
            kept = keep_offcuts(gathered, plan_cuts(gathered, str(project), int(made), watch), run)
            told = " ".join(line.strip() for line in kept.list_lines())
        gathered.notices.append(f"{at}: {KEEP}: the run says {KEPT} now; {told}")
        _say_kept(gathered, n, row)


def _say_kept(gathered: Gathered, n: int, row: Cells) -> None:
    definitions = gathered.definitions
    shown = definitions.cells(_LOG)
    shown[n]["offcuts"] = KEPT
    said = ("date", "project", "made")
    models = [
        each.model_copy(update={"offcuts": KEPT})
        if each.offcuts == KEEP and all(getattr(each, name) == row[name] for name in said)
        else each
        for each in definitions.table(_LOG, ProductionRow)
    ]
    _set(gathered, _LOG, models, shown)


def _rows_left(plan: Plan, stocks: Mapping[str, str], run: str) -> list[OffcutRow]:
    """Make the rows of what a plan leaves; what is left of an offcut is of its stock."""
    return [
        OffcutRow(
            stock=stocks.get(left.stock, left.stock),
            thickness=left.thickness,
            width=left.width,
            length=left.length,
            count=left.count,
            run=run,
        )
        for left in plan.offcuts
    ]


def _put(gathered: Gathered, rows: Sequence[OffcutRow]) -> None:
    """Put rows below the last that holds anything."""
    definitions = gathered.definitions
    shown, stray = definitions.cells(OFFCUTS), definitions.stray.get(OFFCUTS, {})
    held = (n for n, row in enumerate(shown) if any(value is not None for value in row.values()))
    end = max((*held, *(n for n, _ in stray)), default=-1) + 1
    if OFFCUTS in gathered.origins:
        gathered.origins[OFFCUTS] = [*gathered.origins[OFFCUTS][:end], *(None for _ in rows)]
    new = [{name: cell(value) for name, value in row} for row in rows]
    _set(gathered, OFFCUTS, [*definitions.rows[OFFCUTS], *rows], [*shown[:end], *new])


def _take_off(gathered: Gathered, used: Counter[Size], run: str) -> None:
    """Lower the counts of what was used, the first rows first, and tell of each."""
    definitions = gathered.definitions
    shown = definitions.cells(OFFCUTS)
    for n, (before, now) in _lower(shown, used).items():
        shown[n]["count"] = now
        gathered.formulas.get(OFFCUTS, {}).pop((n, "count"), None)
        at = _place(gathered, OFFCUTS, n, "count")
        gathered.notices.append(f"{at}: {before:g} were there, {now:g} are left after {run}")
    rows = definitions.table(OFFCUTS, OffcutRow)
    counts = _lower([dict(row) for row in rows], used)
    models = [
        row.model_copy(update={"count": counts[n][1]}) if n in counts else row
        for n, row in enumerate(rows)
    ]
    _set(gathered, OFFCUTS, models, shown)


def _lower(rows: Sequence[Cells], used: Counter[Size]) -> dict[int, tuple[float, float]]:
    """Return, by row, the counts before and after."""
    found, wanted = {}, used.copy()
    for n, row in enumerate(rows):
        size, count = _size(row), row["count"]
        if size is not None and isinstance(count, int | float) and wanted[size]:
            taken = min(int(count), wanted[size])
            wanted[size] -= taken
            if taken:
                found[n] = float(count), float(count) - taken
    return found


def _size(row: Cells) -> Size | None:
    sides = [row[side] for side in _SIDES]
    if not all(isinstance(side, int | float | Fraction) for side in sides):
        return None
    thickness, width, length = (Fraction(str(side)) for side in sides)
    return str(row["stock"]).casefold(), thickness, width, length


def _set(gathered: Gathered, table: str, rows: Sequence[Row], shown: Sequence[Cells]) -> None:
    definitions = gathered.definitions
    gathered.definitions = replace(
        definitions,
        rows={**definitions.rows, table: tuple(rows)},
        shown={**definitions.shown, table: shown},
    )


def _place(gathered: Gathered, table: str, row: int, column: str) -> str:
    """Say where a cell stands: in the workbook, else in the files."""
    typed = None if gathered.old is None else gathered.old.typed.tables.get(table)
    if typed is None or row >= len(typed.rows):
        return f"{table}, row {row + 1}"
    from notchbook.workbook.read.anchors import address

    return address(typed.place(row, column))
