"""The pipeline: definitions, plans, planned rows, computed columns, workbook."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from notchbook.definitions import DefinitionError, Definitions, Problem
from notchbook.freeze import freeze_costs
from notchbook.gathering import gather
from notchbook.measure import CONVERSIONS, UNIT_WORDS, show_length
from notchbook.money import currency_decimals
from notchbook.planning import YieldRow, make_plan, yields
from notchbook.planning.plan import Plan
from notchbook.planning.problem import Job, misfits
from notchbook.sheets import book_for
from notchbook.sheets.calculate import Filled, calculate
from notchbook.sheets.declare import Book
from notchbook.sheets.projects import ProjectRow

if TYPE_CHECKING:
    from notchbook.workbook.write import Subject

LEAST_YIELD = 24


@dataclass(frozen=True)
class Plans:
    """What the planner found for each project."""

    cuts: dict[str, Plan]
    yields: dict[str, list[YieldRow]]

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
    frozen: list[dict[str, object]] = field(default_factory=list)  # costs kept from now on

    @property
    def units(self) -> dict[str, int]:
        """The unit conversions of the shop."""
        return {
            name: by_unit[self.definitions.settings.units] for name, by_unit in CONVERSIONS.items()
        }


def price(folder: Path, as_of: date | None) -> Priced:
    """Read, plan and work out a shop, merged with its workbook where there is one.

    Raises DefinitionError with all problems of all files, parts that fit no stock included.
    """
    return price_of(gather(folder, as_of).definitions)


def price_of(definitions: Definitions) -> Priced:
    """Plan and work out what was gathered.

    Raises DefinitionError for parts that fit no stock.
    """
    from notchbook.planned import fill, strips_of

    book = book_for(definitions.settings.tax, definitions.settings.year)
    work = _jobs(definitions, strips_of(definitions, book))
    plans = _plan(definitions, work)
    filled = fill(definitions, book, plans)
    priced = Priced(definitions, book, plans, filled)
    calculate(book, filled, priced.units)
    priced.frozen.extend(freeze_costs(filled))
    if priced.frozen:
        calculate(book, filled, priced.units)
    _sort_at_a_glance(priced)
    return priced


def check(folder: Path, as_of: date | None) -> Definitions:
    """Read a shop and its workbook, and see that every part fits a stock.

    Raises DefinitionError with all problems.
    """
    from notchbook.planned import strips_of

    definitions = gather(folder, as_of).definitions
    book = book_for(definitions.settings.tax, definitions.settings.year)
    _jobs(definitions, strips_of(definitions, book))
    return definitions


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
    return problems


def _plan(definitions: Definitions, work: dict[str, Job]) -> Plans:
    batches = {row.project: row.batch for row in definitions.table("Projects", ProjectRow)}
    cuts = {project: make_plan(job, batches[project], project) for project, job in work.items()}
    found = {
        project: yields(job, max(LEAST_YIELD, 2 * batches[project]))
        for project, job in work.items()
    }
    return Plans(cuts, found)


def _sort_at_a_glance(priced: Priced) -> None:
    """Start lists the projects by what an hour earns, the best first."""
    projects = priced.filled.tables["Projects"]
    order = projects.sort_values("per_hour", ascending=False, kind="stable")["project"]
    glance = priced.filled.tables["At a glance"]
    glance["project"] = order.tolist()
    calculate(priced.book, priced.filled, priced.units, only=["At a glance"])


def not_enough(priced: Priced) -> list[str]:
    """The projects whose reclaimed stock does not suffice, each with the stock."""
    takeoff = priced.filled.tables["Material takeoff"]
    short = takeoff[takeoff["state"] == "not enough"]
    return [
        f"{project}: not enough {stock}"
        for project, stock in zip(short["project"], short["stock"], strict=True)
    ]
