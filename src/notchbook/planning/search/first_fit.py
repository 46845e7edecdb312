"""First fit over all boards: fill one board, repeat it while the demand lasts, fill the next.

Filling one board after another, largest pieces first, gives what first fit decreasing gives, and
its work does not grow with the batch. A few fixed orders and preferences are tried and the
cheapest outcome is kept, so the same input gives the same plan.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from random import Random

from notchbook.planning.model.budget import Budget
from notchbook.planning.model.filled import FilledBoard
from notchbook.planning.model.grid import GridPart, LengthGrid
from notchbook.planning.model.outcome import Cut, Outcome
from notchbook.planning.search.bound import Bound
from notchbook.planning.search.fit_board import BlankLength, Habit, fill_board, fill_sheet

_FILL, _PIECE = 20, 4  # steps of filling a board, and of each kind and each piece in it
_SPREADS = (0.2, 0.5, 0.8)  # how much smaller than it is a size may be taken for
_SPLITS = (None, None, 0, 1)
_TURNED = 0.3  # the share of parts that are tried the other way round first


class FirstFit:
    """Plans for parts that share boards among themselves and with no others."""

    def __init__(
        self, grid: LengthGrid, members: Sequence[int], bound: Bound, budget: Budget
    ) -> None:
        self.grid, self.members, self.bound, self.budget = grid, tuple(members), bound, budget
        self.boards = tuple(sorted({s for i in members for s in grid.parts[i].boards}))
        self._tries = tuple(
            Habit(order, blanks)
            for blanks in self._blank_lengths()
            for order in _orders(grid, members)
        )
        self._known: dict[tuple[object, ...], FilledBoard] = {}

    def best(self, demand: Sequence[int], hand: Sequence[int]) -> Outcome:
        """The best of a few orders; stops as soon as none could be better."""
        cost, boards = self.bound.cost(demand, hand), self.bound.boards(demand)
        found = Outcome((), {}, 0, 0, 0)
        winner = self._tries[0]
        for n, habit in enumerate(self._tries):
            outcome = self.fitted(habit, demand, hand, cost)
            if not n or outcome.rank < found.rank:
                found, winner = outcome, habit
            if found.cannot_be_beaten(boards):
                break
        else:
            for favourite in self.boards if len(self.boards) > 1 else ():
                outcome = self.fitted(winner, demand, hand, cost, favourite)
                if outcome.rank < found.rank:
                    found = outcome
        return found

    def all(self, demand: Sequence[int], hand: Sequence[int]) -> Iterator[Outcome]:
        """What every order comes to."""
        cost = self.bound.cost(demand, hand)
        for habit in self._tries:
            yield self.fitted(habit, demand, hand, cost)

    def by_chance(self, demand: Sequence[int], hand: Sequence[int], rng: Random) -> Outcome:
        """What a habit drawn at random comes to: sizes are taken for some larger, some smaller."""
        parts, spread = self.grid.parts, rng.choice(_SPREADS)
        sizes, by_length = {}, rng.random() < 0.5
        for i in self.members:
            part = parts[i]
            size = part.length if by_length else part.thickness * part.width * part.length
            sizes[i] = size * rng.uniform(1 - spread, 1)
        order = sorted(self.members, key=lambda i: (not self._finite(i), -sizes[i], i))
        lengths = self._blank_lengths()
        turned = frozenset(i for i in self.members if rng.random() < _TURNED)
        habit = Habit(tuple(order), rng.choice(lengths), rng.choice(_SPLITS), turned)
        favourite = rng.choice((None, *self.boards)) if len(self.boards) > 1 else None
        return self.fitted(habit, demand, hand, 0, favourite, remember=False)

    def _blank_lengths(self) -> list[BlankLength]:
        shortest = self.grid.saw.shortest_rip
        lumber = any(not self.grid.boards[s].panel for s in self.boards)
        runs = lumber and any(self.grid.parts[i].length < shortest for i in self.members)
        lengths: list[BlankLength] = ["snug"]
        lengths += ["run"] if runs else []
        lengths += ["whole"] if lumber else []
        return lengths

    def fitted(
        self,
        habit: Habit,
        demand: Sequence[int],
        hand: Sequence[int],
        bound: int,
        favourite: int | None = None,
        *,
        remember: bool = True,
    ) -> Outcome:
        """Fill board after board by one habit; the favourite board wherever there is a choice."""
        need, left = list(demand), list(hand)
        cuts: list[Cut] = []
        short: dict[int, int] = {}
        cost = value = 0
        for seed in habit.order:
            while need[seed]:
                choice = self._choose(habit, seed, need, left, favourite, remember)
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
        self,
        habit: Habit,
        seed: int,
        need: list[int],
        left: list[int],
        favourite: int | None,
        remember: bool,
    ) -> tuple[int, FilledBoard] | None:
        """The board to cut next: what its pieces cost by volume, then the maker's order."""
        best: tuple[int, FilledBoard] | None = None
        best_key: tuple[object, ...] = ()
        for board in self.grid.parts[seed].boards:
            there, sold = left[board] > 0, self.grid.boards[board].buyable
            if not there and not sold:
                continue
            filled = self._fill(habit, board, need, remember)
            worth = Fraction(self.grid.boards[board].price, filled.volume)
            key = (board != favourite, 0 if there else worth, worth)
            if best is None or key < best_key:
                best, best_key = (board, filled), key
        return best

    def _fill(self, habit: Habit, board: int, need: list[int], remember: bool) -> FilledBoard:
        """Fill one board; what it cannot hold anyway is left out of the remembered demand."""
        wanted = [0] * len(need)
        for i in habit.order:
            if board in self.grid.parts[i].boards:
                wanted[i] = min(need[i], self.bound.most(i, board))
        key = (board, habit, *wanted) if remember else ()
        if (filled := self._known.get(key)) is None:
            size, saw, parts = self.grid.boards[board], self.grid.saw, self.grid.parts
            fill = fill_sheet if size.panel else fill_board
            filled = fill(size, saw, parts, wanted, habit)
            if remember:
                self._known[key] = filled
        self.budget.spend(_FILL + _PIECE * (sum(map(bool, wanted)) + sum(filled.counts)))
        return filled

    def _finite(self, i: int) -> bool:
        return not any(self.grid.boards[s].buyable for s in self.grid.parts[i].boards)


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
