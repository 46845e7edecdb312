"""The cutting plans of a shop: one for each project, or one for some or all of them together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from notchbook.base.problems import nearest, quoted
from notchbook.base.refusals import RefusedError
from notchbook.base.sentences import listed
from notchbook.definitions import Definitions
from notchbook.gathering import Gathered
from notchbook.jobs import build_leeways, build_offcuts
from notchbook.plan_views.plan_words import PlanWords, make_plan_words
from notchbook.planning import make_plan
from notchbook.planning.from_boards import Most, find_dearest, find_most
from notchbook.planning.from_stock import has_a_choice, put_in_stock, take_from_stock
from notchbook.planning.model.kept_offcuts import KeptOffcut
from notchbook.planning.model.leeway import NearMiss
from notchbook.planning.model.plan import Json, Plan
from notchbook.planning.model.problem import Job
from notchbook.planning.saw.effort import measure_saw_work
from notchbook.planning.whole_shop import WholeShop, join_jobs
from notchbook.shop.kept_plans import KeptPlans
from notchbook.shop.next_batches import count_begun, propose
from notchbook.shop.offcuts_used import plan_from_offcuts, with_offcuts
from notchbook.shop.pipeline import batch_sizes, prepare_cuts, prepare_jobs, price_gathered
from notchbook.shop.plans import (
    Watch,
    find_all_near_misses,
    plan_batches,
    plan_batches_from_stock,
    plan_batches_together,
)


@dataclass(frozen=True)
class Cuts:
    """Plans with the jobs they were made for, in the order of the projects."""

    definitions: Definitions
    jobs: dict[str, Job]
    sizes: Mapping[str, int]
    plans: list[Plan]
    kept: KeptPlans
    together: WholeShop | None = None
    most: Most | None = None
    near: Mapping[str, tuple[NearMiss, ...]] = field(default_factory=dict)

    @property
    def offcuts(self) -> tuple[KeptOffcut, ...]:
        """What is there of offcuts, by the names that plans have for them."""
        return build_offcuts(self.definitions)

    @property
    def words(self) -> PlanWords:
        """The shop's words for its plans."""
        return make_plan_words(self.definitions)

    @property
    def prices(self) -> dict[str, Fraction]:
        """The price of one board or sheet of each stock."""
        return {board.stock: board.price for job in self.jobs.values() for board in job.boards}

    def as_json(self) -> list[Json]:
        """Each plan as `cuts --json` prints it."""
        words = self.words
        told = [plan.as_json(words.decimals, words.list_sentences(plan)) for plan in self.plans]
        for plan, each in zip(self.plans, told, strict=True):
            each["minutes_at_the_saw"] = float(measure_saw_work(plan, words.saw).minutes)
            each["near_misses"] = words.list_near_misses(self.near.get(plan.project or "", ()))
        if self.most is not None:
            counted = "units" if self.most.part is None else "pieces"
            told[0]["most"] = {
                counted: self.most.units,
                "status": self.most.status,
                "bound": self.most.bound,
            }
        return told

    def list_shortages(self) -> list[str]:
        """List the projects whose reclaimed stock does not suffice, each with the stock."""
        offcuts = {each.name for each in self.offcuts}
        stocks = {
            (part.project, part.part): [name for name in part.stocks if name not in offcuts]
            for job in self.jobs.values()
            for part in job.parts
        }
        return list(
            dict.fromkeys(
                f"{short.project}: not enough {stock}"
                for plan in self.plans
                for short in plan.short
                for stock in stocks[short.project, short.part]
            )
        )


def parse_wanted(words: Sequence[str], most: int) -> dict[str, int | None]:
    """Read `PROJECT=UNITS` as a person types them; a project alone is wanted at its batch size.

    Raises RefusedError that tells of every word that says something else.
    """
    wanted: dict[str, int | None] = {}
    wrong = []
    for word in words:
        project, equals, text = word.partition("=")
        number = int(text) if text.isascii() and text.isdigit() else 0
        if equals and not 1 <= number <= most:
            wrong.append(
                f"{word}: {quoted(text)} is no number of units; write one from 1 to {most:,},"
                f" such as {quoted(f'{project}=4')}"
            )
        if project in wanted:
            wrong.append(f"{project} is named twice; name it once, with all its units")
        wanted[project] = number if equals else None
    if wrong:
        raise RefusedError("; ".join(wrong))
    return wanted


def plan_cuts(
    gathered: Gathered, project: str | None, units: int | None, watch: Watch = iter
) -> Cuts:
    """Plan one project, or every one for itself, at its batch size or for so many units.

    A batch is cut as the workbook says, with what is there taken from stock, offcuts first; for
    other units, boards that are there are preferred. `watch` passes the names of the projects on,
    each before it is planned. Raises DefinitionError for bad definitions and RefusedError for an
    unknown project.
    """
    jobs, there = prepare_cuts(gathered, watch)
    if project is not None:
        _refuse_unknown("project", [project], list(jobs))
    chosen = jobs if project is None else {project: jobs[project]}
    kept = KeptPlans(gathered.plans)
    sizes = batch_sizes(gathered.definitions)
    prefers = {
        name: units not in (None, sizes[name]) and has_a_choice(job, there)
        for name, job in chosen.items()
    }
    asked = {
        name: put_in_stock(job, there) if prefers[name] else job for name, job in chosen.items()
    }
    planned = plan_batches(asked, sizes, units, kept, watch)
    by_name = dict(zip(chosen, planned, strict=True))
    leeways = build_leeways(gathered.definitions)
    near = find_all_near_misses(asked, sizes, leeways, by_name, kept)
    offcuts = build_offcuts(gathered.definitions)
    saw_jobs, wanted = with_offcuts(asked, offcuts), {name: units or sizes[name] for name in asked}
    found = plan_from_offcuts(saw_jobs, wanted, by_name, offcuts, kept)
    work = {**chosen, **{name: saw_jobs[name] for name in found}}
    plans = [
        plan if prefers[name] else take_from_stock(plan, work[name], there)
        for name, plan in {**by_name, **found}.items()
    ]
    near = {name: its for name, its in near.items() if name not in found}
    return Cuts(gathered.definitions, work, sizes, plans, kept, near=near)


def plan_cuts_together(
    gathered: Gathered, wanted: Mapping[str, int | None] | None = None, watch: Watch = iter
) -> Cuts:
    """Plan some projects (all, where none is wanted) in one, for so many units of each.

    Without a number it is the batch size. Raises what `plan_cuts` raises.
    """
    jobs, there = prepare_cuts(gathered, watch)
    batches = batch_sizes(gathered.definitions)
    wanted = wanted or dict.fromkeys(jobs)
    _refuse_unknown("project", list(wanted), list(jobs))
    offcuts = build_offcuts(gathered.definitions)
    jobs |= with_offcuts(jobs, offcuts)
    chosen = {project: job for project, job in jobs.items() if project in wanted}
    sizes = {project: wanted[project] or batches[project] for project in chosen}
    kept = KeptPlans(gathered.plans)
    joined = join_jobs(chosen, sizes)
    if (chosen, sizes) == (jobs, batches):
        found = plan_batches_together(chosen, sizes, kept, watch).take_from_stock(joined, there)
    else:
        chosen, found = plan_batches_from_stock(chosen, sizes, kept, there, watch)
    return Cuts(gathered.definitions, chosen, sizes, [found.plan], kept, found)


def plan_cuts_of_next(gathered: Gathered, watch: Watch = iter) -> Cuts:
    """Plan in one what is begun of each project by Next batches.

    Raises DefinitionError for bad definitions, RefusedError where nothing is made.
    """
    priced = price_gathered(gathered, watch)
    found = propose(priced)
    known = priced.plans.jobs
    sizes = {project: n for project, n in count_begun(priced).items() if known[project].parts}
    jobs = {project: known[project] for project in sizes}
    jobs |= with_offcuts(jobs, build_offcuts(priced.definitions))
    if not jobs:
        why = found.nothing.value if found.nothing else "what is made has no parts"
        raise RefusedError(f"nothing is cut: {why}")
    jobs, whole = plan_batches_from_stock(jobs, sizes, priced.kept, priced.there, watch)
    return Cuts(priced.definitions, jobs, sizes, [whole.plan], priced.kept, whole)


def plan_most(folder: Path, project: str, boards: int, stock: str | None, part: str | None) -> Cuts:
    """Plan the most units, or pieces of one part, out of so many boards of a stock.

    The stock is the one that the project pays most for, where none is named. Raises what
    `plan_cuts` raises, and RefusedError for a stock or part that the project does not have.
    """
    gathered, jobs = prepare_jobs(folder, None)
    _refuse_unknown("project", [project], list(jobs))
    job = jobs[project]
    if part is not None:
        _refuse_unknown(f"part of {project}", [part], [each.part for each in job.parts])
    stocks = list(
        dict.fromkeys(
            name for each in job.parts if part in (None, each.part) for name in each.stocks
        )
    )
    if stock is not None:
        _refuse_unknown(f"stock of {part or project}", [stock], stocks)
    plan = make_plan(job, batch_sizes(gathered.definitions)[project], project)
    chosen = stock or find_dearest(job, plan, stocks)
    if chosen is None:
        raise RefusedError(f"{project} is cut from no board")
    most = find_most(job, chosen, boards, project, part)
    kept = KeptPlans(gathered.plans)
    sizes = {project: most.units}
    return Cuts(gathered.definitions, {project: most.job}, sizes, [most.plan], kept, most=most)


def _refuse_unknown(what: str, names: Sequence[str], known: Sequence[str]) -> None:
    unknown = [name for name in names if name not in known]
    if unknown:
        wrong = listed(f"{name!r}{nearest(name, known)}" for name in unknown)
        raise RefusedError(f"there is no {what} {wrong}; there are " + ", ".join(known))
