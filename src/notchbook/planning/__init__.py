"""Planning: which boards a batch takes, and how they are cut, with a lower bound on the cost.

A plan is called optimal only where its cost equals the bound.
"""

from notchbook.planning.geometry.laid import Pattern, strips_needed
from notchbook.planning.model.plan import (
    Blank,
    CutBoard,
    CutPanel,
    Offcut,
    PanelPiece,
    Piece,
    Plan,
    Short,
    Strip,
)
from notchbook.planning.model.problem import (
    Board,
    Job,
    Misfit,
    Part,
    Reason,
    Saw,
    misfits,
)
from notchbook.planning.planner import Planner
from notchbook.planning.yields import YieldRow

__all__ = [
    "METHOD",
    "Blank",
    "Board",
    "CutBoard",
    "CutPanel",
    "Job",
    "Misfit",
    "Offcut",
    "PanelPiece",
    "Part",
    "Pattern",
    "Piece",
    "Plan",
    "Planner",
    "Reason",
    "Saw",
    "Short",
    "Strip",
    "YieldRow",
    "make_plan",
    "misfits",
    "strips_needed",
    "yields",
]

METHOD = 2
"""Raised whenever the planner finds other plans than before, so that kept ones are planned anew."""


def make_plan(job: Job, units: int, project: str | None) -> Plan:
    """One plan, as `Planner.plan` makes it. Raises ValueError as `Planner` does."""
    return Planner(job).plan(units, project)


def yields(job: Job, highest: int) -> list[YieldRow]:
    """The rows for 1 to `highest` units. Raises ValueError for a part that fits no board."""
    return Planner(job).yields(highest)
