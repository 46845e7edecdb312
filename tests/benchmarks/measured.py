"""One plan, timed and judged; and tables as Markdown."""

from __future__ import annotations

import platform
import sys
import time
from collections.abc import Callable, Sequence
from datetime import date
from fractions import Fraction
from importlib.metadata import version
from statistics import median
from typing import NamedTuple, ParamSpec, TypeVar

from notchbook.planning import make_plan

from ..plain_shops import PROJECT, Shop, as_printed, job_of
from ..plan_verifier import faults

Given = ParamSpec("Given")
Result = TypeVar("Result")


class Measured(NamedTuple):
    """What a plan came to; a plan with faults has no cost."""

    seconds: float
    boards: int
    cost: Fraction | None
    bound: Fraction
    status: str

    @property
    def proved(self) -> bool:
        """Whether the plan is sound and called optimal."""
        return self.cost is not None and self.status == "optimal"

    def reaches(self, cost: Fraction | int) -> bool:
        """Whether the plan is sound and costs no more than that."""
        return self.cost is not None and self.cost <= cost

    def told(self) -> str:
        """Boards, and the bound where it is lower than the cost."""
        if self.cost is None:
            return "faulty"
        return f"{self.boards}" + ("" if self.proved else f" (bound {float(self.bound):g})")


def timed(
    work: Callable[Given, Result], *args: Given.args, **named: Given.kwargs
) -> tuple[float, Result]:
    """Seconds of the processor, and the result."""
    start = time.process_time()
    result = work(*args, **named)
    return time.process_time() - start, result


def measure(name: str, shop: Shop, units: int = 1) -> Measured:
    """Plan a shop and judge the plan; faults are told on stderr."""
    job = job_of(shop)
    seconds, plan = timed(make_plan, job, units, PROJECT)
    found = faults(as_printed(plan), shop, units)
    for fault in found[:3]:
        print(f"{name}: {fault}", file=sys.stderr)
    boards = sum(cut.count for cut in plan.boards) + sum(cut.count for cut in plan.panels)
    cost = None if found else plan.cost
    return Measured(seconds, boards, cost, plan.cost_bound, plan.status)


def times(seconds: Sequence[float]) -> tuple[str, str]:
    """Median and greatest."""
    return f"{median(seconds):.2f}", f"{max(seconds):.2f}"


def heading(title: str, *columns: str, seeds: str = "nothing is random") -> None:
    """Print the head of a table, and what it was measured with: words left, numbers right."""
    print(f"\n## {title}\n\n{measured_with(seeds)}\n\n| {' | '.join(columns)} |")
    print("| --- " + "| ---: " * (len(columns) - 1) + "|")


def measured_with(seeds: str) -> str:
    """Return the day, the versions and the seeds of a table, by which it can be made again."""
    ours = f"notchbook {version('notchbook')}, Python {platform.python_version()}"
    return f"{date.today()}, {ours}, openpyxl {version('openpyxl')}; {seeds}."


def row(*cells: object) -> None:
    """A row, printed as soon as it is known."""
    print(f"| {' | '.join(map(str, cells))} |", flush=True)
