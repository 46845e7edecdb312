"""What a run left at the saw put on the sheet Offcuts, and what it used of them taken off.

Decisions:

- A row that is used up stays with a count of 0: it says which run it came from, and it is the
  maker's to delete.
- A cut bears a name, which stands beside its offcuts and the boards that its run took (Stock used);
  one that stands there is not kept again.
- The cut of a run is planned as if that run had taken no wood yet, though it is on the log.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from notchbook.base.refusals import RefusedError
from notchbook.base.sentences import listed
from notchbook.commands.cuts import Cuts, plan_cuts
from notchbook.commands.offcut_rows import (
    Cells,
    find_run,
    place_of,
    put_rows,
    set_rows,
    take_off,
)
from notchbook.gathering import Gathered
from notchbook.language.functions import to_serial
from notchbook.planning.model.kept_offcuts import count_offcuts, share_wood
from notchbook.planning.model.plan import Plan
from notchbook.sheets.ledgers.production_log import KEEP, KEPT, ProductionRow
from notchbook.sheets.making.offcuts import OFFCUTS, OffcutRow
from notchbook.sheets.making.stock_used import LOG, USED, KeptCut, Run
from notchbook.shop.kept_cuts import hold_cuts, read_log
from notchbook.shop.kept_use import KeptUse, read_kept_use
from notchbook.shop.pipeline import choose_book
from notchbook.shop.plans import Watch
from notchbook.shop.sale_costs import round_kept


@dataclass(frozen=True)
class KeptRun:
    """What was done for a run: boards that it took, offcuts put on the sheet and taken off."""

    run: str
    took: tuple[str, ...]
    left: tuple[str, ...]
    used: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """What was done, in one line."""
        done = ("took", self.took), ("used", self.used), ("left", self.left)
        said = "; ".join(f"{verb} {listed(each)}" for verb, each in done if each)
        return f"{self.run} {said or 'took no wood'}"

    def list_lines(self) -> list[str]:
        """List what was done, as a terminal shows it."""
        put = [f"Put on {OFFCUTS}, left by {self.run}:", *(f"  {each}" for each in self.left)]
        off = [f"Taken off {OFFCUTS}, used by {self.run}:", *(f"  {each}" for each in self.used)]
        none = [f"{self.run} leaves nothing worth keeping and used no offcut."]
        told = [*(put if self.left else ()), *(off if self.used else ())] or none
        return [*told, f"It took {listed(self.took)}."] if self.took else told


def name_run(sizes: Mapping[str, int], day: date) -> str:
    """Name a run by what was made, and the day."""
    return f"{listed(f'{units} {project}' for project, units in sizes.items())}, {day}"


def keep_offcuts(
    gathered: Gathered, found: Cuts, name: str, day: date, run: Run | None = None
) -> KeptRun:
    """Put what a plan leaves on the sheet Offcuts of a merged shop, and take off what it used.

    What it took is for its run on the log, if it is there, else for the one that will be. Raises
    RefusedError where the cut is kept already.
    """
    at = find_run(gathered, name)
    if at or name.casefold() in _names_kept(gathered):
        there = f"{OFFCUTS} already, at {at}" if at else f"{USED} already"
        raise RefusedError(
            f"{name} is on {there}; if this is another run, give it a name of its own with --run"
        )
    (plan,) = found.plans
    stocks = {each.name: each.stock for each in found.offcuts}
    used = count_offcuts(plan, found.offcuts)
    sizes = {
        each.name: (each.stock.casefold(), each.thickness, each.width, each.length)
        for each in found.offcuts
    }
    units = found.sizes if plan.project is None else {plan.project: plan.units}
    gathered.cuts += [
        KeptCut(
            name,
            project,
            to_serial(day),
            units[project],
            {stock: round_kept(float(boards)) for stock, boards in its.boards.items()},
            {stock: _say_offcuts(stock, counts) for stock, counts in its.offcuts.items()},
            run,
        )
        for project, its in share_wood(plan, found.offcuts).items()
    ]
    take_off(gathered, Counter({sizes[name]: count for name, count in used.items()}), name)
    put_rows(gathered, _rows_left(plan, stocks, name))
    boards = {stock: plan.count_boards(stock) for stock in found.prices if stock not in stocks}
    return KeptRun(
        name,
        tuple(f"{count} {stock}" for stock, count in boards.items() if count),
        tuple(found.words.list_offcuts(plan)),
        tuple(f"{count} {name}" for name, count in used.items()),
    )


def _say_offcuts(stock: str, counts: Mapping[str, int]) -> str:
    return listed(f"{count} {name.removesuffix(f' of {stock}')}" for name, count in counts.items())


def _names_kept(gathered: Gathered) -> set[str]:
    return {cut.name.casefold() for cut in read_kept_use(gathered).cuts}


def keep_marked_runs(gathered: Gathered, watch: Watch = iter) -> None:
    """Keep the cuts of the runs that the Production log marks, in its order; these say kept.

    A run that holds a cut which was kept before says so, too. A run of a project that is not there,
    or without whole pieces, keeps its mark.
    """
    definitions = gathered.definitions
    before = read_kept_use(gathered)
    rows = definitions.cells(LOG)
    if not before.cuts and all(row["offcuts"] != KEEP for row in rows):
        return
    book = choose_book(definitions)
    log, use = read_log(definitions, book), hold_cuts(definitions, book, before)
    _tell_gone(gathered, use)
    held, known = use.by_run, before.by_run
    for n, (row, run) in enumerate(zip(rows, log.runs, strict=True)):
        if run is None or str(row["project"]) not in definitions.projects:
            continue
        if run in held:
            if row["offcuts"] == KEEP:
                at = place_of(gathered, LOG, n, "offcuts")
                says = f"{KEEP}: the run says {KEPT} now; "
            elif run not in known:
                at, says = place_of(gathered, LOG, n, "made"), ""
            else:
                continue
            gathered.notices.append(f"{at}: {says}{_say_held(held[run], run)}")
            _say_kept(gathered, n, row)
        elif row["offcuts"] == KEEP and run.made >= 1:
            _keep_run(gathered, n, run, watch)


def _keep_run(gathered: Gathered, n: int, run: Run, watch: Watch) -> None:
    """Keep the cut of a run by its row of the log."""
    row = gathered.definitions.cells(LOG)[n]
    project, made, day = str(row["project"]), int(run.made), row["date"]
    assert isinstance(day, date)
    first = name = name_run({project: made}, day)
    names, nth = _names_kept(gathered), 1
    while name.casefold() in names:
        nth += 1
        name = f"{first}, no. {nth}"
    at = place_of(gathered, LOG, n, "offcuts")
    if there := find_run(gathered, name):
        told = f"{name} is on {OFFCUTS} already, at {there}"
    else:
        taken = gathered.cuts
        gathered.cuts = [*taken, KeptCut(name, project, run.day, run.made, {}, {}, run)]
        found = plan_cuts(gathered, project, made, watch)
        gathered.cuts = taken
        kept = keep_offcuts(gathered, found, name, day, run)
        told = kept.sentence
    gathered.notices.append(f"{at}: {KEEP}: the run says {KEPT} now; {told}")
    _say_kept(gathered, n, row)


def _say_held(cut: KeptCut, run: Run) -> str:
    if run.made == cut.pieces:
        return f"it takes the wood of the cut {cut.name}"
    return (
        f"it takes the wood of the cut {cut.name}, which was for {cut.pieces:g}, and hardware and"
        f" the like for {run.made:g}"
    )


def _tell_gone(gathered: Gathered, use: KeptUse) -> None:
    """Tell of cuts whose run was deleted: their boards are there again, Offcuts is as it was."""
    for cut in use.gone:
        boards = listed(f"{units:g} {stock}" for stock, units in cut.boards.items() if units)
        back = f"{boards} count as there again" if boards else "it took no board"
        put = [f"take off what it left ({at})"] if (at := find_run(gathered, cut.name)) else []
        put += [f"put back {words} of {stock}" for stock, words in cut.offcuts.items()]
        mend = f"; if it was never cut, {listed(put)} on {OFFCUTS}" if put else ""
        gathered.look.append(f"{LOG}: {cut.name} is deleted there, so {back}{mend}")


def _say_kept(gathered: Gathered, n: int, row: Cells) -> None:
    definitions = gathered.definitions
    shown = definitions.cells(LOG)
    shown[n]["offcuts"] = KEPT
    said = ("date", "project", "made")
    models = [
        each.model_copy(update={"offcuts": KEPT})
        if all(getattr(each, name) == row[name] for name in said)
        else each
        for each in definitions.table(LOG, ProductionRow)
    ]
    set_rows(gathered, LOG, models, shown)


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
