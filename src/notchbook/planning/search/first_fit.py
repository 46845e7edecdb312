"""First fit over all boards: fill one board, repeat it while the demand lasts, fill the next.

Filling one board after another, largest pieces first, gives what first fit decreasing gives, and
its work does not grow with the batch. A few fixed orders and preferences are tried and the
cheapest outcome is kept, so the same input gives the same plan.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from notchbook.planning.model.filled import FilledBoard
from notchbook.planning.model.grid import GridPart, LengthGrid
from notchbook.planning.model.outcome import Cut, Outcome
from notchbook.planning.search.bound import Bound
from notchbook.planning.search.fit_lumber import BlankLength, fill_board
from notchbook.planning.search.fit_panels import fill_sheet


class _Try(NamedTuple):
    order: int
    blanks: BlankLength
    favourite: int | None


class FirstFit:
    """Plans for parts that share boards among themselves and with no others."""

    def __init__(self, grid: LengthGrid, members: Sequence[int], bound: Bound) -> None:
        self.grid, self.members, self.bound = grid, tuple(members), bound
        self.boards = tuple(sorted({s for i in members for s in grid.parts[i].boards}))
        self._orders = _orders(grid, members)
        self._on_board = {
            (number, s): [i for i in order if s in grid.parts[i].boards]
            for number, order in enumerate(self._orders)
            for s in self.boards
        }
        self._tries = tuple(self._all_tries())
        self._known: dict[tuple[object, ...], FilledBoard] = {}

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
        return found

    def all(self, demand: Sequence[int], hand: Sequence[int]) -> Iterator[Outcome]:
        """What every try comes to."""
        cost = self.bound.cost(demand, hand)
        for attempt in self._tries:
            yield self._attempt(attempt, demand, hand, cost)

    def _favouring(self, attempt: _Try | None) -> Iterator[_Try]:
        if attempt and len(self.boards) > 1:
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
    ) -> tuple[int, FilledBoard] | None:
        """The board to cut next: what its pieces cost by volume, then the maker's order."""
        best: tuple[int, FilledBoard] | None = None
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

    def _fill(self, attempt: _Try, board: int, need: list[int]) -> FilledBoard:
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


def _orders(grid: LengthGrid, members: Sequence[int]) -> list[tuple[int, ...]]:
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
