"""Planning: which boards a batch takes, and how they are cut, with a lower bound on the cost.

A plan is called optimal only where its cost equals the bound. `model` holds what is asked and what
comes out, `search` finds boards, `saw` turns a plan into cuts and settings, `geometry` knows
rectangles, lays and slants; `Planner` is the door. How a plan is found:

1. All lengths become whole steps of the coarsest grid that holds them exactly (`model/grid.py`).
   Parts and boards are put in an order of their own, so that the order of lines in a file changes
   nothing; parts that share no board are planned apart (`search/group.py`).
2. `first_fit` fills board after board in a few fixed orders.
3. Bounds: by volume (`bound`), for sheets by dual feasible functions (`dual_feasible`). They often
   prove a small batch at once.
4. `relaxation` prices patterns: with values for the pieces, `wood` finds the most valuable way to
   cut one board. A strip is a knapsack for every length at once (`knapsack`), a blank the best of
   all section patterns (`guillotine` lists every maximal set of strips that cuts right across can
   free), a board a row of blanks. Sheets (`sheet`) are listed likewise or, where there are too many
   sets, cut by strips (`strips`). HiGHS solves the linear program over the patterns (`master`); the
   next values lie between its duals and those that proved most. It ends at half of the budget.
5. `covers` turns values into proof, in whole numbers and without the solver's word: at any values
   the boards must be worth the demand. Several sets of values at once, and boards in whole numbers,
   give the bound that is printed. Where boards of several kinds can be bought, numbers of them that
   cannot hold the demand even in fractions are ruled out, the cheapest first (`board_numbers`).
6. `dive` settles the whole boards of the fractional plan, then its fullest fraction, level by
   level; first fit makes a whole plan of every level. For ripped lumber boards are then put
   together anew for a short while (7), and whole boards are chosen among more patterns (`choose`);
   the last ones are put together from blanks and strips gathered at many values, in one
   whole-number program for each sum that could be paid (`last_boards`, `recombine`). For lumber of
   one section, and sheets, one program chooses among known patterns (`choose`).
7. `rebuild` takes the worst boards out and puts them together anew, until the budget ends or
   nothing better comes.
8. Blanks that are ripped alike are joined where the saw allows it (`neighbours`). Of plans equally
   good, `Planner` takes the one with the fewest minutes at the saw, then the one with the longest
   offcut.

Decisions:

- Work is counted (`model/budget.py`), never measured, so a busy machine finds the same plan. All
  groups of a job share one budget: first fit, bounds and relaxation for each, then the rest where
  most money may still be saved. A clock of two minutes of the processor stops only what runs away;
  such a plan says so and is not kept.
- A search of ripped lumber ends where nothing cheaper came for so many steps; the more kinds of
  pieces, the more steps. While it is a twenty-fifth above the bound it has all steps there are,
  and boards are put together anew with as much work again, as long as that saves anything.
- The plan for all projects has fewer steps than that of a batch, since it is never dearer than
  their plans one after another.
- Values of pieces are whole parts of 1/2^26, so that their sums are exact and no processor's way
  of adding them up decides between two plans.
- HiGHS is the one open solver that wheels bring everywhere. Its answers are never believed: every
  whole-number answer is rounded and checked in whole numbers, by a fresh solver each time. highspy
  1.14.0 and 1.16.0 were seen to return wrong ones, hence the pin.
- Boards that cannot be bought cost no money but minutes to get ready, so at the same cost plans,
  and rows of Yield, take as few of them as they can.
- The batch is planned first, and its row of Yield comes from the same search. The other rows begin
  with its patterns; no plan depends on what was asked before. Where the batch takes boards on hand,
  its row is another search, with a quarter of the steps.
- Yield ignores what is on hand, except reclaimed stock, which cannot be bought. A row that wants
  more of it than there is says "not enough"; it is a formula, so a new count helps at once.
- Planning together is compared with one project after another, each taking what the ones before
  left in stock; each by itself would count the same board twice. Where the search for the joint
  plan finds nothing better, the plans one after another are the joint plan: it is never dearer.
- `METHOD` goes up when the planner finds other plans: plans kept in workbooks are then made anew.
"""

from notchbook.planning.geometry.strip_counts import Pattern, count_strips_needed
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
    find_misfits,
)
from notchbook.planning.planner import Planner
from notchbook.planning.sparing import plan_sparingly
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
    "count_strips_needed",
    "find_misfits",
    "make_plan",
    "plan_yields",
]

METHOD = 11
"""Raised whenever the planner finds other plans than before, so that kept ones are planned anew."""


def make_plan(job: Job, units: int, project: str | None, steps: int | None = None) -> Plan:
    """Make one plan, as `Planner.plan` does, offcuts used first where boards cost nothing either.

    Raises ValueError as `Planner` does.
    """
    return plan_sparingly(job, units, project, steps)


def plan_yields(job: Job, highest: int) -> list[YieldRow]:
    """Plan the rows for 1 to `highest` units. Raises ValueError for a part that fits no board."""
    return Planner(job).plan_yields(highest)
