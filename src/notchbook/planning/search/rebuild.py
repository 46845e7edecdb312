"""Boards taken out of a plan, the worst filled first, and put together anew.

What comes back is taken where it costs no more and leaves its room in fewer boards (Schrimpf and
others, Journal of Computational Physics 159, 2000: ruin and recreate). So the emptiest board
gets emptier, until one is saved.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from random import Random
from typing import NamedTuple

from notchbook.planning.model.filled import FilledBoard
from notchbook.planning.model.outcome import Cut
from notchbook.planning.search.group import Group
from notchbook.planning.search.last_boards import LastBoards
from notchbook.planning.search.partial_plan import PartialPlan
from notchbook.planning.search.relaxation import Relaxation

_FEWEST, _MOST = 2, 6  # boards taken out at once
_LOOKED_AT = 3  # boards of which the worst is taken out
_ROUND = 20_000  # steps from one look at the whole plan to the next

Cuts = tuple[Cut, ...]


class _Board(NamedTuple):
    board: int
    filled: FilledBoard
    from_hand: bool


class Rebuilding:
    """A plan that is rebuilt piece by piece; `values` are those of its relaxation."""

    def __init__(
        self,
        group: Group,
        relaxation: Relaxation,
        last: LastBoards | None,
        values: Sequence[float],
        hand: Sequence[int],
        cuts: Cuts,
        luck: int = 1,
    ) -> None:
        self.group, self.grid, self.relaxation = group, group.grid, relaxation
        self.last, self.values = last, values
        self._rng = Random(luck)
        self.boards = _single(cuts)
        self._spare = list(hand)
        for each in self.boards:
            self._spare[each.board] -= each.from_hand
        self._ways: list[Callable[[list[int], list[int], int], Cuts | None]] = [
            self._by_chance,
            self._in_turn,
        ]
        if last:
            self._ways.append(self._recombined)
        self._spent = [0] * len(self._ways)

    def plans(self, patience: int) -> Iterator[Cuts | None]:
        """The plan after every round, None where it has not changed; each way gets its share.

        It ends when nothing better was found in `patience` steps.
        """
        budget = self.group.budget
        best, found_at = self._rank(self.boards)[:3], budget.spent
        while budget.left and budget.spent < found_at + patience:
            start, before_round = budget.spent, list(self.boards)
            while budget.left and budget.spent < start + _ROUND:
                way = min(range(len(self._ways)), key=lambda w: self._spent[w])
                before = budget.spent
                self._rebuild(self._ways[way])
                budget.spend(50)
                self._spent[way] += budget.spent - before
            budget.spend(10 * len(self.boards))
            if (rank := self._rank(self.boards)[:3]) < best:
                best, found_at = rank, budget.spent
            yield tuple(self._joined()) if self.boards != before_round else None

    def _joined(self) -> Iterator[Cut]:
        for (board, filled, from_hand), n in Counter(self.boards).items():
            yield Cut(board, filled, n, n if from_hand else 0)

    def _rebuild(self, way: Callable[[list[int], list[int], int], Cuts | None]) -> None:
        out = self._taken_out()
        need = [sum(column) for column in zip(*(b.filled.counts for b in out), strict=True)]
        hand = list(self._spare)
        for each in out:
            hand[each.board] += each.from_hand
        cost = self._cost(out)
        made = way(need, hand, cost)
        if made is None:
            return
        back = _single(made)
        counts = [sum(column) for column in zip(*(b.filled.counts for b in back), strict=True)]
        if any(c < n for c, n in zip(counts, need, strict=True)):
            return
        if self._rank(back) <= self._rank(out):
            for each in out:
                self.boards.remove(each)
            self.boards += back
            for each in back:
                hand[each.board] -= each.from_hand
            self._spare = hand

    def _taken_out(self) -> list[_Board]:
        """Some boards, each the worst of a few."""
        rng, left = self._rng, list(range(len(self.boards)))
        found = []
        for _ in range(min(rng.randint(_FEWEST, _MOST), len(left))):
            some = rng.sample(left, min(_LOOKED_AT, len(left)))
            worst = min(some, key=lambda n: (self._fill(self.boards[n]), n))
            left.remove(worst)
            found.append(self.boards[worst])
        return found

    def _fill(self, each: _Board) -> float:
        return each.filled.volume / self.grid.boards[each.board].volume

    def _cost(self, boards: Sequence[_Board]) -> int:
        return sum(self.grid.boards[b.board].price for b in boards if not b.from_hand)

    def _rank(self, boards: Sequence[_Board]) -> tuple[int, int, int, float]:
        """The lower, the better: money, value from stock, boards, room spread over many boards."""
        value = sum(self.grid.boards[b.board].price for b in boards if b.from_hand)
        full = sum(self._fill(b) ** 2 for b in boards)
        return self._cost(boards), value, len(boards), -full

    def _by_chance(self, need: list[int], hand: list[int], _: int) -> Cuts | None:
        """First fit by a habit drawn at random."""
        found = self.group.first_fit.by_chance(need, hand, self._rng)
        return None if found.short else found.cuts

    def _in_turn(self, need: list[int], hand: list[int], cost: int) -> Cuts | None:
        """One board filled after the other at shaken values."""
        least = self._rng.uniform(0.6, 1.0)
        shaken = [value * self._rng.uniform(least, 1 / least) for value in self.values]
        partial = PartialPlan.of(self.relaxation, need, hand)
        while any(partial.need) and (pattern := partial.find_fullest(shaken, cost)):
            partial.settle(pattern, 1, from_hand=partial.hand[pattern.board] > 0)
        return None if any(partial.need) else partial.cuts

    def _recombined(self, need: list[int], hand: list[int], cost: int) -> Cuts | None:
        """Blanks and strips put together anew for less money."""
        return self.last.together(need, hand, self.values, cost - 1) if self.last else None


def _single(cuts: Cuts) -> list[_Board]:
    found = []
    for cut in cuts:
        found += [_Board(cut.board, cut.filled, True)] * cut.on_hand
        found += [_Board(cut.board, cut.filled, False)] * (cut.count - cut.on_hand)
    return found
