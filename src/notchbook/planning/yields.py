"""Boards for 1, 2, 3 ... units, as if nothing that can be bought were on hand."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from notchbook.planning.assemble import usable
from notchbook.planning.grid import Grid, on_grid
from notchbook.planning.problem import Job, refuse_misfits
from notchbook.planning.search import Cut, Searcher, searchers

_FULL_SEARCH = 6  # rows in which every order is tried; later rows try those that won there


@dataclass(frozen=True, slots=True)
class YieldRow:
    """What a batch of `units` takes: boards by stock, usable offcuts of them in boards, cost.

    Every board of the job that a part lists is named, with 0 where it is not used. `cost` is in
    the shop's currency; boards that cannot be bought cost nothing.
    """

    units: int
    boards: Mapping[str, int]
    offcut_boards: Mapping[str, Fraction]
    cost: Fraction


@dataclass(frozen=True, slots=True)
class Row:
    """A row in whole numbers: boards and offcut volume by the board's number, money steps."""

    boards: Counter[int]
    offcuts: Counter[int]
    cost: int

    def plus(self, other: "Row") -> "Row":
        """What both take together."""
        return Row(self.boards + other.boards, self.offcuts + other.offcuts, self.cost + other.cost)


def yields(job: Job, highest: int) -> list[YieldRow]:
    """The rows for 1 to `highest` units. Raises ValueError for a part that fits no board.

    A board that cannot be bought is used up to what is on hand where a part has another choice;
    where it has none, the row tells the boards that would be needed. Within what there is of such
    boards, no row costs more than the next, nor more than two rows of as many units together.
    """
    refuse_misfits(job)
    grid = on_grid(job)
    groups = searchers(grid)
    rows = []
    for units in range(1, highest + 1):
        if units == _FULL_SEARCH + 1:
            for group in groups:
                group.keep_winners()
        rows.append(_row(grid, groups, [units * part.make for part in job.parts]))
    smooth(rows, grid)
    listed = [board.stock for board in job.boards]
    named = {stock for part in job.parts for stock in part.stocks}
    shown = [i for i, stock in enumerate(listed) if stock in named]
    return [
        YieldRow(
            units,
            {listed[i]: row.boards[i] for i in shown},
            {listed[i]: Fraction(row.offcuts[i], grid.boards[i].volume) for i in shown},
            Fraction(row.cost, grid.money),
        )
        for units, row in enumerate(rows, start=1)
    ]


def _row(grid: Grid, groups: Sequence[Searcher], demand: Sequence[int]) -> Row:
    hand = [0 if board.buyable else board.on_hand for board in grid.boards]
    enough = [0 if board.buyable else sum(demand) for board in grid.boards]
    cuts: list[Cut] = []
    cost = 0
    for group in groups:
        outcome = group.best(demand, hand)
        cuts += outcome.cuts
        cost += outcome.cost
        if outcome.short:
            missing = [outcome.short.get(i, 0) for i in range(len(demand))]
            cuts += group.best(missing, enough).cuts
    boards: Counter[int] = Counter()
    offcuts: Counter[int] = Counter()
    for cut in cuts:
        boards[cut.board] += cut.count
        for left in usable(grid, cut):
            offcuts[cut.board] += cut.count * left.thickness * left.width * left.length
    return Row(boards, offcuts, cost)


def smooth(rows: list[Row], grid: Grid) -> None:
    """Where other rows serve a batch for less, take theirs, until none does."""
    changed = True
    while changed:
        changed = False
        for u in reversed(range(len(rows) - 1)):
            changed |= _take(rows, u, rows[u + 1], grid)
        for u in range(len(rows)):
            for a in range((u + 1) // 2):
                if rows[a].cost + rows[u - 1 - a].cost < rows[u].cost:
                    changed |= _take(rows, u, rows[a].plus(rows[u - 1 - a]), grid)


def _take(rows: list[Row], u: int, other: Row, grid: Grid) -> bool:
    """Put the other row in the place of row `u`, if it costs less.

    Refused where it takes more of a board that cannot be bought than there is, or than the row
    takes itself.
    """
    row = rows[u]
    if other.cost >= row.cost:
        return False
    for i, board in enumerate(grid.boards):
        if not board.buyable and other.boards[i] > max(board.on_hand, row.boards[i]):
            return False
    rows[u] = other
    return True
