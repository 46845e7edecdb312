"""Whether plans are the same on a busy machine as on an idle one, byte by byte.

Run it with `python -m tests.benchmarks.same_plans [--busy 4]`: every project of the example shops
with its rows of Yield, and six jobs drawn at random, planned alone and beside so many processes
that do nothing but keep the cores busy. It ends with 1 where any plan differs.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from notchbook.planning import make_plan
from notchbook.planning.model.problem import Job
from notchbook.planning.project import plan_batch
from notchbook.shop.pipeline import batch_sizes, prepare_jobs
from notchbook.shop.plans import highest_units

from ..examples import AS_OF, SHOPS
from ..plain_shops import job_of
from .measured import heading, row
from .random_jobs import lumber_job, sheet_job, tight_job

BUSY = "while True: pass"
Jobs = Mapping[str, tuple[Job, int]]


def all_jobs() -> Jobs:
    """The jobs by their names, each with its batch."""
    found: dict[str, tuple[Job, int]] = {}
    for folder in SHOPS.values():
        gathered, jobs = prepare_jobs(folder, AS_OF)
        sizes = batch_sizes(gathered.definitions)
        found |= {f"{folder.name}: {name}": (job, sizes[name]) for name, job in jobs.items()}
    drawn = {
        "sheets of 10 kinds": (sheet_job(1), 1),
        "sheets of 20 kinds": (sheet_job(2), 1),
        "lumber of 5 kinds": (lumber_job(5, 0), 10),
        "lumber of 40 kinds": (lumber_job(40, 0), 1),
        "2 tight boards": (tight_job(2, 0), 1),
        "3 tight boards": (tight_job(3, 0), 1),
    }
    return found | {name: (job_of(shop), units) for name, (shop, units) in drawn.items()}


def plan_all(jobs: Jobs) -> dict[str, tuple[str, float]]:
    """Each job's plan, a project's rows too, in words, and the seconds it took by the wall."""
    found = {}
    for name, (job, units) in jobs.items():
        began = time.perf_counter()
        if ":" in name:
            said = repr(plan_batch(job, units, highest_units(units), name))
        else:
            said = repr(make_plan(job, units, name))
        found[name] = said, time.perf_counter() - began
    return found


@contextmanager
def busy(processes: int) -> Iterator[None]:
    """So many processes that keep the cores busy."""
    started = [subprocess.Popen([sys.executable, "-c", BUSY]) for _ in range(processes)]
    try:
        yield
    finally:
        for each in started:
            each.kill()
            each.wait()


def main() -> None:
    """Print the table; end with 1 where a plan differs."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.same_plans")
    parser.add_argument("--busy", type=int, default=4, help="processes beside the second time")
    given = parser.parse_args()
    jobs = all_jobs()
    alone = plan_all(jobs)
    with busy(given.busy):
        beside = plan_all(jobs)
    heading("Plans alone and on a busy machine", "job", "alone s", "busy s", "the same")
    for name, (plan, seconds) in alone.items():
        other, longer = beside[name]
        row(name, f"{seconds:.1f}", f"{longer:.1f}", "yes" if other == plan else "NO")
    sys.exit(any(beside[name][0] != plan for name, (plan, _) in alone.items()))


if __name__ == "__main__":
    main()
