"""How good cutting plans are, how often they are proved, and how long they take.

Run it with `python -m tests.benchmarks.cutting [--sets one_dimensional planted ...] [--limit N]`.

Published sets are read from the folder that `NOTCHBOOK_BENCH_DATA` names; planted jobs
are made up here. Every plan passes the verifier before it counts.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from statistics import median
from typing import NamedTuple, TypeVar

from notchbook.planning import make_plan, plan_yields
from notchbook.shop.pipeline import batch_sizes, prepare_jobs

from ..examples import AS_OF, SHOPS
from ..plain_shops import as_printed, plain
from ..plan_verifier import faults
from ..planted import FLAVOURS, Planted, planted_lumber, planted_panels
from .assignment import fewest_boards
from .first_fit import first_fit
from .first_second import watched
from .measured import Measured, heading, measure, row, timed, times
from .multi_start import fewest_sheets
from .published_sets import Instance, one_dimensional, sheets, single_sheets, worked
from .random_jobs import lumber_job, sheet_job, tight_job
from .single_sheet import sheet_value

LEAST_YIELD = 24
LEAST_SECONDS = 1.0  # that the random multi-start has


Anything = TypeVar("Anything")


def spread(several: Sequence[Anything], limit: int | None) -> Sequence[Anything]:
    """So many of them at even distances, or all."""
    return several[:: -(-len(several) // limit)] if limit else several


class Options(NamedTuple):
    """How much is tried."""

    limit: int | None
    compared: int
    seconds: float

    def some(self, instances: Sequence[Instance]) -> Sequence[Instance]:
        """As many of a class as wanted, from all over it."""
        return spread(instances, self.limit)


def published(options: Options) -> None:
    """One-dimensional sets and worked examples, against the published optimum."""
    heading(
        "Published sets of one dimension",
        "class", "jobs", "optimum", "proved", "worst gap", "median s", "greatest s",
    )  # fmt: skip
    together: list[tuple[Instance, Measured]] = []
    for name, instances in {**one_dimensional(), "worked examples": worked()}.items():
        done = [(each, measure(each.name, each.shop)) for each in options.some(instances)]
        together += done
        _class(name, done)
    _class("all", together)


def _class(name: str, done: Sequence[tuple[Instance, Measured]]) -> None:
    """Counts over the jobs of a class; the gap is between cost and bound."""
    gaps = [float(m.cost - m.bound) / float(m.bound) for _, m in done if m.cost]
    row(
        name,
        len(done),
        sum(m.reaches(each.optimum) for each, m in done),
        sum(m.proved for _, m in done),
        f"{max(gaps, default=0):.2%}",
        *times([m.seconds for _, m in done]),
    )


def compared(options: Options) -> None:
    """The same jobs by three ways in the same run."""
    heading(
        f"Compared: boards, and seconds (assignment model with {options.seconds:g} s)",
        "class and job", "published", "notchbook", "s", "first fit decreasing", "s",
        "assignment model", "s",
    )  # fmt: skip
    for name, instances in one_dimensional().items():
        for each in spread(instances, options.compared):
            ours = measure(each.name, each.shop)
            seconds, plan = timed(first_fit, each.shop)
            fitted = len(plan["boards"])
            milp_seconds, milp = timed(
                fewest_boards, each.read["stock"], each.read["pieces"], fitted, options.seconds
            )
            row(
                f"{name} {each.name}", each.optimum, ours.told(), f"{ours.seconds:.2f}",
                fitted if not faults(plan, each.shop, 1) else "faulty", f"{seconds:.2f}",
                "none" if milp is None else milp, f"{milp_seconds:.2f}",
            )  # fmt: skip


def planted(options: Options) -> None:
    """Boards cut apart at random: whether as many boards are found again, and proved."""
    heading(
        "Planted jobs: as many boards found again",
        "cut apart", "jobs", "pieces (median)", "found", "proved", "median s", "greatest s",
        "by first fit",
        seeds=f"seeds from 0, at most {options.limit or 100} a row",
    )  # fmt: skip
    for different in (False, True):
        for boards in (1, 2, 3, 4):
            made = [
                planted_lumber(seed, boards, flavour, different=different)
                for seed in range(-(-(options.limit or 100) // len(FLAVOURS)))
                for flavour in FLAVOURS
            ]
            _planted(f"{boards} of lumber, {_kind(different)}", made)
        for number in (1, 2, 3):
            made = [
                planted_panels(seed, number, different=different)
                for seed in range(options.limit or 100)
            ]
            _planted(f"{number} of sheets, {_kind(different)}", made)


def _kind(different: bool) -> str:
    return "all pieces different" if different else "up to 6 lengths"


def _planted(name: str, made: Sequence[Planted]) -> None:
    done = [(each, measure(each.name, each.shop)) for each in made]
    pieces = [sum(part["make"] for part in each.shop["parts"]) for each in made]
    found = [m.cost is not None and m.boards <= each.boards for each, m in done]
    lumber = [each for each in made if each.plan["boards"]]
    fitted = [len(first_fit(each.shop)["boards"]) <= each.boards for each in lumber]
    row(
        name, len(made), f"{median(pieces):g}", sum(found),
        sum(m.proved for (_, m), same in zip(done, found, strict=True) if same),
        *times([m.seconds for _, m in done]),
        sum(fitted) if fitted else "",
    )  # fmt: skip


def guillotine(options: Options) -> None:
    """Published sets of sheets: fewest sheets by plan, greatest value of a single sheet."""
    heading("Published sets of sheets: fewest sheets", "job", "optimum", "notchbook", "s")
    for turned in (False, True):
        for each in options.some(sheets(turned)):
            found = measure(each.name, each.shop)
            name = f"{each.name}, {'turned' if turned else 'fixed'}"
            row(name, each.optimum, found.told(), f"{found.seconds:.2f}")
    heading("Published sets of sheets: greatest value", "job", "optimum", "notchbook", "s")
    for line in single_sheets():
        for kind in ("fixed", "turned", "unlimited", "at_most"):
            if f"optimum_{kind}" in line:
                seconds, value = timed(sheet_value, line, kind)
                shown = "none" if value is None else value
                row(f"{line['name']}, {kind}", line[f"optimum_{kind}"], shown, f"{seconds:.2f}")


def luck(options: Options) -> None:
    """Random sheets, and what shuffling the pieces finds in the same time."""
    heading(
        "Sheets beside a random multi-start with as much time",
        "job", "kinds", "pieces", "notchbook", "s", "multi-start",
    )  # fmt: skip
    for number in range(options.limit or 60):
        shop = sheet_job(number)
        found = measure(f"sheets {number}", shop)
        pieces = sum(part["make"] for part in shop["parts"])
        fewest = fewest_sheets(shop, max(found.seconds, LEAST_SECONDS))
        kinds = len(shop["parts"])
        row(number, kinds, pieces, found.told(), f"{found.seconds:.2f}", fewest)


def gaps(options: Options) -> None:
    """Ripped lumber of many kinds: what is left between cost and bound."""
    heading("Ripped lumber: gap", "kinds", "batch", "cost", "bound", "gap", "s")
    for kinds in (5, 10, 20, 40, 80):
        for units in (1, 10, 100, 1000):
            for seed in range(options.limit or 1):
                found = measure(f"{kinds} kinds", lumber_job(kinds, seed), units)
                cost, bound = float(found.cost or 0), float(found.bound)
                gap = f"{cost / bound - 1:.2%}"
                row(kinds, units, f"{cost:.2f}", f"{bound:.2f}", gap, f"{found.seconds:.2f}")


def first_second(options: Options) -> None:
    """Ripped lumber of many kinds: how much dearer than the last plan the one after a second is."""
    heading("Ripped lumber: after a second", "kinds", "batch", "then", "at last", "more", "s")
    for kinds in (5, 10, 20, 40, 80):
        for units in (1, 10, 100):
            for seed in range(options.limit or 1):
                known = watched(lumber_job(kinds, seed), units)
                then = next(cost for seconds, cost in reversed(known) if seconds <= 1)
                seconds, last = known[-1]
                more = f"{then / last - 1:.2%}"
                row(kinds, units, then, last, more, f"{seconds:.2f}")


def tight(options: Options) -> None:
    """Boards cut apart on a fine grid: whether as many are found again, and proved."""
    heading("Tight jobs on a grid of 1 mm", "boards", "jobs", "found and proved", "s", "most s")
    for boards in (1, 2, 3, 4, 5, 6):
        done = [
            measure(f"{boards} tight {seed}", tight_job(boards, seed))
            for seed in range(options.limit or 12)
        ]
        proved = sum(found.proved and found.boards <= boards for found in done)
        row(boards, len(done), proved, *times([found.seconds for found in done]))


def examples(_: Options) -> None:
    """Every project of the example shops: the plan of its batch and all its rows of Yield."""
    heading(
        "Example shops",
        "project", "units", "parts", "cost", "bound", "status", "plan s", "rows", "rows s",
    )  # fmt: skip
    for folder in SHOPS.values():
        gathered, jobs = prepare_jobs(folder, AS_OF)
        batches = batch_sizes(gathered.definitions)
        for project, job in jobs.items():
            units, most = batches[project], max(LEAST_YIELD, 2 * batches[project])
            seconds, plan = timed(make_plan, job, units, project)
            rows_seconds, rows = timed(plan_yields, job, most)
            found = faults(as_printed(plan), plain(job), units)
            row(
                project, units, len(job.parts), f"{float(plan.cost):.2f}",
                f"{float(plan.cost_bound):.2f}", found[0] if found else plan.status,
                f"{seconds:.2f}", len(rows), f"{rows_seconds:.2f}",
            )  # fmt: skip


TABLES: dict[str, Callable[[Options], None]] = {
    "one_dimensional": published,
    "planted": planted,
    "compared": compared,
    "guillotine": guillotine,
    "luck": luck,
    "gaps": gaps,
    "first_second": first_second,
    "tight": tight,
    "examples": examples,
}


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.cutting")
    parser.add_argument("--sets", nargs="+", choices=TABLES, default=list(TABLES))
    parser.add_argument("--limit", type=int, help="jobs of each class (planted: 100)")
    parser.add_argument("--compared", type=int, default=1, help="jobs of each class compared")
    parser.add_argument("--seconds", type=float, default=60, help="for the assignment model")
    given = parser.parse_args()
    for name in given.sets:
        TABLES[name](Options(given.limit, given.compared, given.seconds))


if __name__ == "__main__":
    main()
