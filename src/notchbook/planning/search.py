"""First fit over all boards: fill one board, repeat it while the demand lasts, fill the next.

Filling one board after another, largest pieces first, gives what first fit decreasing gives, and
its work does not grow with the batch. A few fixed orders and preferences are tried and the
cheapest outcome is kept, so the same input gives the same plan.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from notchbook.planning.bound import Bound
from notchbook.planning.filled import Filled
from notchbook.planning.grid import Grid, GridPart
from notchbook.planning.lumber import BlankLength, fill_board
from notchbook.planning.panels import fill_sheet


@dataclass(frozen=True, slots=True)
class Cut:
    """`count` boards cut alike, `on_hand` of them not bought."""

    board: int
    filled: Filled
    count: int
    on_hand: int


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one search came to: the cuts, pieces not made (by part), money and a lower bound."""

    cuts: tuple[Cut, ...]
    short: Mapping[int, int]
    cost: int
    bound: int
    hand_value: int

    @property
    def boards(self) -> int:
        """Boards cut, bought and on hand."""
        return sum(cut.count for cut in self.cuts)

    def cannot_be_beaten(self, least_boards: int) -> bool:
        """Whether it meets the bound, and takes no more from stock than it must."""
        frugal = self.boards == least_boards or not any(cut.on_hand for cut in self.cuts)
        return not self.short and self.cost == self.bound and frugal

    @property
    def rank(self) -> tuple[int, int, int, int]:
        """The lower, the better: pieces short, money, value taken from stock, boards."""
        return sum(self.short.values()), self.cost, self.hand_value, self.boards


class _Try(NamedTuple):
    order: int
    blanks: BlankLength
    favourite: int | None


class Searcher:
    """Plans for parts that share boards among themselves and with no others."""

    def __init__(self, grid: Grid, members: Sequence[int]) -> None:
        self.grid, self.members = grid, tuple(members)
        self.boards = tuple(sorted({s for i in members for s in grid.parts[i].boards}))
        self.bound = Bound(grid, members)
        self._orders = _orders(grid, members)
        self._on_board = {
            (number, s): [i for i in order if s in grid.parts[i].boards]
            for number, order in enumerate(self._orders)
            for s in self.boards
        }
        self._tries = tuple(self._all_tries())
        self._winners: dict[_Try, None] = {}
        self._narrow = False
        self._known: dict[tuple[object, ...], Filled] = {}

    def best(self, demand: Sequence[int], hand: Sequence[int]) -> Outcome:
        """The best of the tries; stops as soon as none could be better."""
        cost, boards = self.bound.cost(demand, hand), self.bound.boards(demand)
        found = Outcome((), {}, 0, 0, 0)
        winner: _Try | None = None
        for attempt in self._tries:
            outcome = self._attempt(attempt, demand, hand, cost)
            if winner is None or outcome.rank < found.rank:
                found, winner = outcome, attempt
            if found.cannot_be_beaten(boards):
                break
        else:
            for attempt in self._favouring(winner):
                outcome = self._attempt(attempt, demand, hand, cost)
                if outcome.rank < found.rank:
                    found, winner = outcome, attempt
        if winner:
            self._winners[winner] = None
        return found

    def keep_winners(self) -> None:
        """From now on try only what has won before: enough for more of the same parts."""
        self._tries = tuple(self._winners) or self._tries
        self._narrow = True

    def _favouring(self, attempt: _Try | None) -> Iterator[_Try]:
        if attempt and not self._narrow and len(self.boards) > 1:
            for board in self.boards:
                yield attempt._replace(favourite=board)

    def _all_tries(self) -> Iterator[_Try]:
        shortest = self.grid.saw.shortest_rip
        lumber = any(not self.grid.boards[s].panel for s in self.boards)
        runs = lumber and any(self.grid.parts[i].length < shortest for i in self.members)
        lengths: list[BlankLength] = ["snug"]
        lengths += ["run"] if runs else []
        lengths += ["whole"] if lumber else []
        for length in lengths:
            for order in range(len(self._orders)):
                yield _Try(order, length, None)

    def _attempt(
        self, attempt: _Try, demand: Sequence[int], hand: Sequence[int], bound: int
    ) -> Outcome:
        need, left = list(demand), list(hand)
        cuts: list[Cut] = []
        short: dict[int, int] = {}
        cost = value = 0
        for seed in self._orders[attempt.order]:
            while need[seed]:
                choice = self._choose(attempt, seed, need, left)
                if choice is None:
                    short[seed], need[seed] = need[seed], 0
                    break
                board, filled = choice
                often = min(n // c for n, c in zip(need, filled.counts, strict=True) if c)
                from_hand = left[board] > 0
                if from_hand:
                    often = min(often, left[board])
                    left[board] -= often
                for i, count in enumerate(filled.counts):
                    need[i] -= often * count
                spent = often * self.grid.boards[board].price
                cost, value = (cost, value + spent) if from_hand else (cost + spent, value)
                cuts.append(Cut(board, filled, often, often if from_hand else 0))
        return Outcome(tuple(cuts), short, cost, bound, value)

    def _choose(
        self, attempt: _Try, seed: int, need: list[int], left: list[int]
    ) -> tuple[int, Filled] | None:
        """The board to cut next: what its pieces cost by volume, then the maker's order."""
        best: tuple[int, Filled] | None = None
        best_key: tuple[object, ...] = ()
        for board in self.grid.parts[seed].boards:
            there, sold = left[board] > 0, self.grid.boards[board].buyable
            if not there and not sold:
                continue
            filled = self._fill(attempt, board, need)
            worth = Fraction(self.grid.boards[board].price, filled.volume)
            key = (board != attempt.favourite, 0 if there else worth, worth)
            if best is None or key < best_key:
                best, best_key = (board, filled), key
        return best

    def _fill(self, attempt: _Try, board: int, need: list[int]) -> Filled:
        """Fill one board; what it cannot hold anyway is left out of the remembered demand."""
        order = self._on_board[attempt.order, board]
        wanted = [0] * len(need)
        for i in order:
            wanted[i] = min(need[i], self.bound.most(i, board))
        panel = self.grid.boards[board].panel
        key = (board, attempt.order, None if panel else attempt.blanks, *wanted)
        if (filled := self._known.get(key)) is None:
            size, saw, parts = self.grid.boards[board], self.grid.saw, self.grid.parts
            if panel:
                filled = fill_sheet(size, saw, parts, wanted, order)
            else:
                filled = fill_board(size, saw, parts, wanted, order, attempt.blanks)
            self._known[key] = filled
        return filled


def searchers(grid: Grid) -> list[Searcher]:
    """One searcher for each group of parts that have boards in common, in the job's order."""
    groups: list[tuple[set[int], list[int]]] = []
    for i, part in enumerate(grid.parts):
        joined = [group for group in groups if group[0].intersection(part.boards)]
        boards = set(part.boards).union(*(group[0] for group in joined))
        members = sorted([i, *(member for group in joined for member in group[1])])
        groups = [group for group in groups if group not in joined]
        groups.append((boards, members))
    return [Searcher(grid, members) for _, members in groups]


def _orders(grid: Grid, members: Sequence[int]) -> list[tuple[int, ...]]:
    """Longest first, and largest section first; parts of finite stock always before the others."""

    def finite(part: GridPart) -> bool:
        return not any(grid.boards[s].buyable for s in part.boards)

    def longest(i: int) -> tuple[bool, int, int, int]:
        part = grid.parts[i]
        return not finite(part), -part.length, -part.thickness * part.width, i

    def largest(i: int) -> tuple[bool, int, int, int]:
        part = grid.parts[i]
        return not finite(part), -part.thickness * part.width, -part.length, i

    orders = [tuple(sorted(members, key=longest)), tuple(sorted(members, key=largest))]
    return list(dict.fromkeys(orders))
