"""Boards for 1, 2, 3 ... units, as if nothing that can be bought were on hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from notchbook.planning.model.grid import LengthGrid
from notchbook.planning.model.outcome import Outcome
from notchbook.planning.model.problem import Job
from notchbook.planning.saw.offcuts import list_offcuts
from notchbook.planning.search.assemble import assemble
from notchbook.planning.search.search import Search, share

_SEARCHED = 24  # rows searched one by one; later ones are put together from them
_ROW = 35_000  # steps for each


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
class YieldPlan:
    """A row in whole numbers: boards and offcut volume by the board's number, money steps.

    `scarce` counts the boards that cannot be bought: they cost no money, but time to get ready.
    """

    boards: Counter[int]
    offcuts: Counter[int]
    cost: int
    scarce: int = 0

    @property
    def rank(self) -> tuple[int, int]:
        """The lower, the better."""
        return self.cost, self.scarce

    def plus(self, other: YieldPlan) -> YieldPlan:
        """What both take together."""
        return YieldPlan(
            self.boards + other.boards,
            self.offcuts + other.offcuts,
            self.cost + other.cost,
            self.scarce + other.scarce,
        )


class Rows:
    """The rows of parts that share boards among themselves and with no others.

    The row of the batch comes from the search that its plan comes from; the others begin with the
    patterns and values of that search, and are completed with little work each.

    A board that cannot be bought is used up to what is on hand where a part has another choice;
    where it has none, the row tells the boards that would be needed. Within what there is of such
    boards, no row costs more than the next, nor more than two rows of as many units together.
    """

    def __init__(self, job: Job, grid: LengthGrid, batch: Search, units: int) -> None:
        self.job, self.grid = job, grid
        self.make = [part.make for part in job.parts]
        self._numbers = {board.stock: i for i, board in enumerate(job.boards)}
        self._batch, self._units = batch, units
        self._pool = batch.relaxation.copy()
        self.hand = [0 if board.buyable else board.on_hand for board in grid.boards]

    def upto(self, highest: int) -> list[YieldPlan]:
        """The rows for 1 to `highest` units; the first ones and that of the batch are searched."""
        rows: list[YieldPlan] = []
        for units in range(1, highest + 1):
            joined = self._joined(rows)
            if units <= _SEARCHED or units == self._units or joined is None:
                found = self._searched(units, joined)
                joined = found if joined is None else min(joined, found, key=_rank)
            rows.append(joined)
        smooth(rows, self.grid)
        return rows

    def _searched(self, units: int, joined: YieldPlan | None) -> YieldPlan:
        """The row as it is planned by itself, unless two smaller ones are as good as can be."""
        demand = self._batch.group.own([units * make for make in self.make])
        if units == self._units:
            found = self._batch.found
        elif joined is not None and self._is_best(joined, demand):
            return joined
        else:
            found = self._search(demand, self.hand)
        row = self._row(found)
        if found.short:
            enough = [0 if board.buyable else sum(demand) for board in self.grid.boards]
            missing = [found.short.get(i, 0) for i in range(len(demand))]
            row = row.plus(self._row(self._search(missing, enough)))
        return row

    def _search(self, demand: Sequence[int], hand: Sequence[int]) -> Outcome:
        group = self._batch.group
        group.budget.start(_ROW)
        search = Search(group, demand, hand, self._pool)
        share([search], group.budget)
        return search.found

    def _is_best(self, row: YieldPlan, demand: Sequence[int]) -> bool:
        """Whether nothing can be cheaper, nor do with fewer boards that cannot be bought."""
        bound = self._batch.group.bound
        if row.scarce and row.boards.total() > bound.boards(demand):
            return False
        return row.cost <= self._batch.least(demand, self.hand)

    def _joined(self, rows: Sequence[YieldPlan]) -> YieldPlan | None:
        """The cheapest two smaller rows that make up the next one, within what is on hand."""
        pairs = (
            rows[a].plus(rows[len(rows) - 1 - a])
            for a in sorted(
                range((len(rows) + 1) // 2),
                key=lambda a: rows[a].plus(rows[len(rows) - 1 - a]).rank,
            )
        )
        return next((pair for pair in pairs if self._enough(pair)), None)

    def _enough(self, row: YieldPlan) -> bool:
        """Whether there is enough of every board that cannot be bought."""
        boards = enumerate(self.grid.boards)
        return all(board.buyable or row.boards[i] <= board.on_hand for i, board in boards)

    def _row(self, found: Outcome) -> YieldPlan:
        boards: Counter[int] = Counter()
        for cut in found.cuts:
            boards[cut.board] += cut.count
        plan = assemble(self.job, self.grid, [found], 1, None, out_of_time=False)
        offcuts: Counter[int] = Counter()
        for left in list_offcuts(plan, self.job):
            volume = left.thickness * left.width * left.length * left.count
            offcuts[self._numbers[left.stock]] += int(volume * self.grid.scale**3)
        scarce = sum(n for b, n in boards.items() if not self.grid.boards[b].buyable)
        return YieldPlan(boards, offcuts, found.cost, scarce)


def _rank(row: YieldPlan) -> tuple[int, int]:
    return row.rank


def name_rows(
    job: Job, searched: Job, grid: LengthGrid, rows: Iterable[Sequence[YieldPlan]]
) -> list[YieldRow]:
    """The rows of all groups of parts together, boards by name and money in the currency.

    `searched` is the job as it was put on the grid.
    """
    stocks = {stock for part in job.parts for stock in part.stocks}
    numbers = {board.stock: i for i, board in enumerate(searched.boards)}
    shown = [(numbers[b.stock], b.stock) for b in job.boards if b.stock in stocks]
    found = []
    for units, parts in enumerate(zip(*rows, strict=True), start=1):
        row = YieldPlan(Counter(), Counter(), 0)
        for part in parts:
            row = row.plus(part)
        boards = {stock: row.boards[i] for i, stock in shown}
        left = {stock: Fraction(row.offcuts[i], grid.boards[i].volume) for i, stock in shown}
        found.append(YieldRow(units, boards, left, Fraction(row.cost, grid.money)))
    return found


def smooth(rows: list[YieldPlan], grid: LengthGrid) -> None:
    """Take other rows where they serve a batch better, until none does."""
    changed = True
    while changed:
        changed = False
        for u in reversed(range(len(rows) - 1)):
            changed |= _take(rows, u, rows[u + 1], grid)
        for u in range(len(rows)):
            for a in range((u + 1) // 2):
                changed |= _take(rows, u, rows[a].plus(rows[u - 1 - a]), grid)


def _take(rows: list[YieldPlan], u: int, other: YieldPlan, grid: LengthGrid) -> bool:
    """Put the other row in the place of row `u`, if it is better.

    Refused where it takes more of a board that cannot be bought than there is, or than the row
    takes itself.
    """
    row = rows[u]
    if other.rank >= row.rank:
        return False
    for i, board in enumerate(grid.boards):
        if not board.buyable and other.boards[i] > max(board.on_hand, row.boards[i]):
            return False
    rows[u] = other
    return True
