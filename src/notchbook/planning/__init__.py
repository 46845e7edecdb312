"""Planning: which boards a batch takes, and how they are cut.

The planner is first fit with a few orders tried; its plans are feasible and come with a lower
bound on the cost, and are never called optimal.
"""

from notchbook.planning.assemble import assemble
from notchbook.planning.grid import on_grid
from notchbook.planning.laid import Pattern, strips_needed
from notchbook.planning.plan import (
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
from notchbook.planning.problem import (
    Board,
    Job,
    Misfit,
    Part,
    Reason,
    Saw,
    misfits,
    refuse_misfits,
)
from notchbook.planning.search import searchers
from notchbook.planning.yields import YieldRow, yields

__all__ = [
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


def make_plan(job: Job, units: int, project: str | None) -> Plan:
    """Plan the cuts for `units` of the job's parts; boards on hand are used before any is bought.

    `project` is the plan's name, None where the job holds several projects. Pieces for which a
    stock that cannot be bought does not suffice are listed as short. Raises ValueError for
    negative units and for a part that fits none of its boards (see `misfits`).
    """
    if units < 0:
        raise ValueError("units cannot be negative")
    refuse_misfits(job)
    grid = on_grid(job)
    demand = [units * part.make for part in job.parts]
    hand = [board.on_hand for board in job.boards]
    outcomes = [searcher.best(demand, hand) for searcher in searchers(grid)]
    return assemble(job, grid, outcomes, units, project)
