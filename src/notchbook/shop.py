"""The pipeline: definitions, plans, planned rows, computed columns, workbook."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from notchbook.definitions import DefinitionError, Definitions, Problem, load
from notchbook.measure import CONVERSIONS, UNIT_WORDS, show_length
from notchbook.money import currency_decimals
from notchbook.planning import Planner, YieldRow
from notchbook.planning.plan import Plan
from notchbook.planning.problem import MOST_PIECES, Job, crowded, misfits
from notchbook.planning.whole_shop import WholeShop, plan_together
from notchbook.refusals import RefusedError
from notchbook.sheets import book_for
from notchbook.sheets.calculate import Filled, calculate
from notchbook.sheets.checks import CHECKS, NOTICES
from notchbook.sheets.declare import Book
from notchbook.sheets.moving_average import moving_averages
from notchbook.sheets.projects import ProjectRow
from notchbook.sheets.tool_depreciation import years_shown
from notchbook.sheets.tool_rows import ToolRow

if TYPE_CHECKING:
    from notchbook.workbook.write import Subject

LEAST_YIELD = 24
Watch = Callable[[list[str]], Iterable[str]]
NOT_READ = (
    "numbers come from the definition files; what was typed into the shop's workbook is not read"
    " yet, so copy it over"
)


@dataclass(frozen=True)
class Plans:
    """What the planner found for each project, and for all of them together."""

    cuts: dict[str, Plan]
    yields: dict[str, list[YieldRow]]
    together: WholeShop

    def most_units(self, project: str) -> int:
        """How many units the largest planned row of Yield is for."""
        return len(self.yields[project])


@dataclass(frozen=True)
class Priced:
    """A shop with everything worked out."""

    definitions: Definitions
    book: Book
    plans: Plans
    filled: Filled

    @property
    def units(self) -> dict[str, int]:
        """The unit conversions of the shop."""
        return {
            name: by_unit[self.definitions.settings.units] for name, by_unit in CONVERSIONS.items()
        }


@dataclass
class Report:
    """What a compile did, to be told in words or as JSON."""

    workbook: str
    checks: list[dict[str, object]] = field(default_factory=list)
    notices: list[str] = field(default_factory=list)
    not_enough: list[str] = field(default_factory=list)

    @property
    def needs_a_look(self) -> bool:
        """Whether the exit code is 1."""
        return bool(self.not_enough) or any(not check["ok"] for check in self.checks)

    def as_json(self) -> dict[str, object]:
        """The report as `compile --json` prints it; nothing was merged into a new workbook."""
        nothing: dict[str, object] = {
            name: [] for name in ("kept", "taken", "conflicts", "added", "deleted", "frozen")
        }
        return {
            "workbook": self.workbook,
            "backup": None,
            **nothing,
            "checks": self.checks,
            "notices": self.notices,
        }


def price(folder: Path, as_of: date, watch: Watch = iter) -> Priced:
    """Read, plan and work out a shop; `watch` passes on each project before it is planned.

    Raises DefinitionError with all problems of all files, parts that fit no stock included.
    """
    from notchbook.planned import fill

    definitions, work = ready(folder, as_of)
    book = _book(definitions)
    plans = _plan(definitions, work, watch)
    filled = fill(definitions, book, plans)
    priced = Priced(definitions, book, plans, filled)
    calculate(book, filled, priced.units)
    _sort_at_a_glance(priced)
    ends = (float(filled.lines["Settings", name]) for name in ("year_start", "year_end"))
    filled.tables["Stock"]["moving_average"] = moving_averages(filled.tables, *ends)
    return priced


def _book(definitions: Definitions) -> Book:
    """The sheets of the shop's year, with a column for each year that a tool is written off in."""
    settings = definitions.settings
    years = years_shown(settings.year, definitions.table("Tool depreciation", ToolRow))
    return book_for(settings.tax, settings.year, years)


def check(folder: Path, as_of: date) -> Definitions:
    """Read a shop and see that every part fits a stock.

    Raises DefinitionError with all problems.
    """
    return ready(folder, as_of)[0]


def ready(folder: Path, as_of: date) -> tuple[Definitions, dict[str, Job]]:
    """A shop as written, and what is to be cut for a unit of each project.

    Raises DefinitionError with all problems, parts that fit no stock included.
    """
    from notchbook.planned import strips_of

    definitions = load(folder, as_of)
    return definitions, _jobs(definitions, strips_of(definitions, _book(definitions)))


def batches(definitions: Definitions) -> dict[str, int]:
    """The batch size of each project."""
    return {row.project: row.batch for row in definitions.table("Projects", ProjectRow)}


def workbook_path(definitions: Definitions) -> Path:
    """Where the workbook of a shop stands: `<shop name> <year>.xlsx` in its folder."""
    name = f"{definitions.settings.shop} {definitions.settings.year}.xlsx"
    return definitions.folder / "".join("-" if sign in '/\\:*?"<>|' else sign for sign in name)


def compile_shop(folder: Path, output: Path | None, as_of: date, watch: Watch = iter) -> Report:
    """Write the workbook of a shop.

    Raises DefinitionError for bad definitions and RefusedError where the file stands already.
    """
    from notchbook.workbook.write import compose

    priced = price(folder, as_of, watch)
    target = output or workbook_path(priced.definitions)
    if target.exists():
        raise RefusedError(
            f"{target} stands already and may hold what you typed; write elsewhere with"
            " --output OTHER.xlsx, or move it away first"
        )
    if not target.parent.is_dir():
        raise RefusedError(f"there is no folder {target.parent}; make it first, or name another")
    data = compose(priced.book, priced.filled, priced.units, subject(priced.definitions))
    _write_new(target, data)
    report = _report(priced, target)
    if workbook_path(priced.definitions) != target and workbook_path(priced.definitions).exists():
        report.notices.append(NOT_READ)
    return report


def subject(definitions: Definitions) -> Subject:
    """What the sheets speak of."""
    from notchbook.workbook.write import Subject

    settings = definitions.settings
    return Subject(
        shop=settings.shop,
        year=settings.year,
        currency=settings.currency,
        decimals=currency_decimals(settings.currency),
        units=settings.units,
        paper=settings.paper,
    )


def _jobs(definitions: Definitions, strips: dict[tuple[str, str], int]) -> dict[str, Job]:
    from notchbook.jobs import jobs

    work = jobs(definitions, strips)
    problems = [
        problem for project, job in work.items() for problem in _misfits(definitions, project, job)
    ]
    if problems:
        raise DefinitionError(sorted(problems, key=lambda each: (each.file, each.line)))
    return work


def _misfits(definitions: Definitions, project: str, job: Job) -> list[Problem]:
    settings = definitions.settings

    def show(length: Fraction) -> str:
        return show_length(length, settings.units, settings.show_fractions_to)

    unit = UNIT_WORDS["length"][settings.units]

    problems = []
    for misfit in misfits(job):
        file, line = definitions.place_of_part(project, misfit.part)
        reasons = "; ".join(reason.sentence(show, unit) for reason in misfit.reasons)
        message = f"{misfit.part} of {project} fits none of its stocks: {reasons}"
        problems.append(Problem(file, line, message))
    for part, board in crowded(job):
        file, line = definitions.place_of_part(project, part.part)
        message = (
            f"{part.part} of {project} is too small for {board.stock}: more than {MOST_PIECES:,} "
            "would come out of one; write a larger size, or another stock"
        )
        problems.append(Problem(file, line, message))
    return problems


def _plan(definitions: Definitions, work: dict[str, Job], watch: Watch) -> Plans:
    sizes = batches(definitions)
    cuts: dict[str, Plan] = {}
    found: dict[str, list[YieldRow]] = {}
    for project in watch(list(work)):
        job = work[project]
        planner, batch = Planner(job), sizes[project]
        found[project] = planner.yields(max(LEAST_YIELD, 2 * batch), batch)
        cuts[project] = planner.plan(batch, project)
    return Plans(cuts, found, plan_together(work, sizes, cuts))


def _sort_at_a_glance(priced: Priced) -> None:
    """Start lists the projects by what an hour earns, the best first."""
    projects = priced.filled.tables["Projects"]
    order = projects.sort_values("per_hour", ascending=False, kind="stable")["project"]
    glance = priced.filled.tables["At a glance"]
    glance["project"] = order.tolist()
    calculate(priced.book, priced.filled, priced.units, only=["At a glance"])


def _write_new(target: Path, data: bytes) -> None:
    """A complete file or none: written beside, then put in place unless one has come there."""
    handle, name = tempfile.mkstemp(prefix=".notchbook-", suffix=".xlsx", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(0o644)
        try:
            os.link(name, target)
        except FileExistsError:
            raise RefusedError(f"{target} has come there meanwhile; nothing was written") from None
        except OSError:  # a file system without links
            Path(name).replace(target)
    finally:
        Path(name).unlink(missing_ok=True)


def _report(priced: Priced, target: Path) -> Report:
    return Report(str(target), checks_of(priced), notices_of(priced), not_enough(priced))


def checks_of(priced: Priced) -> list[dict[str, object]]:
    """Every check: what it looks at, whether it is all right, and by how much it is off."""
    lines = priced.filled.lines
    return [
        {
            "check": row.label,
            "ok": lines["Checks", f"{name}_state"] == "OK",
            "difference": round(float(lines["Checks", name]), 6) + 0.0,
        }
        for name, row in CHECKS.items()
    ]


def notices_of(priced: Priced) -> list[str]:
    """What is worth knowing and no fault."""
    lines = priced.filled.lines
    return [
        f"{row.label}: {lines['Checks', name]:g}"
        for name, row in NOTICES.items()
        if lines["Checks", f"{name}_state"] != "OK"
    ]


def not_enough(priced: Priced) -> list[str]:
    """The projects whose reclaimed stock does not suffice, each with the stock."""
    takeoff = priced.filled.tables["Material takeoff"]
    short = takeoff[takeoff["state"] == "not enough"]
    return [
        f"{project}: not enough {stock}"
        for project, stock in zip(short["project"], short["stock"], strict=True)
    ]
