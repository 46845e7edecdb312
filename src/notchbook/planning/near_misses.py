"""What a batch nearly does without: a part a little smaller, for less money.

All parts are made smaller first. Where that saves nothing, no single part is tried.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from notchbook.planning.model.leeway import Leeway, NearMiss, Side
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Job, Part
from notchbook.planning.planner import Planner

_SIDES: tuple[Side, ...] = ("width", "length")

_STEPS = 100_000  # of each search; a batch has a hundred times as many
_LEAST = 10  # so many steps of the ruler a side keeps
_TOLD = 3


def find_near_misses(job: Job, plan: Plan, leeway: Leeway) -> tuple[NearMiss, ...]:
    """Find the near misses of a plan, what saves most first; short searches, and no proof."""
    search = _Search(job, plan, leeway)
    if plan.short or not leeway.steps or search.find_cheaper(search.shrink_all()) is None:
        return ()
    found = [miss for part in job.parts for miss in search.of_part(part)]
    return tuple(sorted(found, key=lambda miss: (-miss.saves, miss.by))[:_TOLD])


@dataclass(frozen=True, slots=True)
class _Search:
    job: Job
    plan: Plan
    leeway: Leeway

    def of_part(self, part: Part) -> Iterator[NearMiss]:
        """The least that saves money on each side of a part."""
        for side in _SIDES:
            for by in self.leeway.steps:
                smaller = self.shrink(part, side, by)
                parts = tuple(smaller if each == part else each for each in self.job.parts)
                if (less := self.plan_for_less(parts)) is not None:
                    saves = self.plan.cost - less.cost
                    yield NearMiss(part.part, side, by, saves, self.count_fewer(less))
                    break

    def count_fewer(self, less: Plan) -> dict[str, int]:
        """Count by stock how many boards fewer the other plan cuts."""
        stocks = dict.fromkeys(cut.stock for cut in (*self.plan.cuts(), *less.cuts()))
        fewer = {
            stock: self.plan.count_boards(stock) - less.count_boards(stock) for stock in stocks
        }
        return {stock: count for stock, count in fewer.items() if count}

    def plan_for_less(self, parts: tuple[Part, ...]) -> Plan | None:
        """Plan other parts; None where they are the same, or that is no cheaper."""
        planner = self.find_cheaper(parts)
        return None if planner is None else planner.plan(self.plan.units, self.plan.project)

    def find_cheaper(self, parts: tuple[Part, ...]) -> Planner | None:
        """Search for a cheaper plan of other parts; None where there is none."""
        if parts == self.job.parts:
            return None
        planner = Planner(replace(self.job, parts=parts), _STEPS)
        cost, _ = planner.find_cost(self.plan.units, below=self.plan.cost)
        return planner if cost < self.plan.cost else None

    def shrink_all(self) -> tuple[Part, ...]:
        """All parts as small as they may be."""
        parts = self.job.parts
        for side in _SIDES:
            parts = tuple(self.shrink(part, side, self.leeway.steps[-1]) for part in parts)
        return parts

    def shrink(self, part: Part, side: Side, by: Fraction) -> Part:
        """Make one side less, where the part may be smaller and enough is left of it.

        One as wide as its board is not ripped at all, and stays so.
        """
        size = part.width if side == "width" else part.length
        if part.part not in self.leeway.parts or size < _LEAST * by:
            return part
        if side == "length":
            return replace(part, length=size - by)
        whole = any(b.width == size for b in self.job.boards if b.stock in part.stocks)
        return part if whole else replace(part, width=size - by)
