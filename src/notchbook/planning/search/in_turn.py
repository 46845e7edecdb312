"""Plans filled board after board, at values that each plan corrects for the one after it.

A piece on a board that holds less than others of its kind was hard to place: it is worth more the
next time, and comes before pieces that go anywhere (sequential value correction: Mukhacheva, Belov,
Kartack and Mukhacheva, Pesquisa Operacional 20(2), 2000).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from random import Random
from typing import NamedTuple

from notchbook.planning.model.outcome import Cut
from notchbook.planning.model.supply import Pattern
from notchbook.planning.search.partial_plan import PartialPlan
from notchbook.planning.search.relaxation import Relaxation

_LEAST = 0.1  # of what its wood is worth in others, a piece is worth
_SHARE = (0.4, 0.8)  # of a corrected value in the next one, the rest is the old one
_DEAR = (1.0, 1.05)  # power to which values are raised, so that large pieces count for more


class _Filled(NamedTuple):
    """Boards filled alike, so many, and what one of them is worth."""

    pattern: Pattern
    boards: int
    worth: float


def fill_in_turn(
    relaxation: Relaxation,
    demand: Sequence[int],
    hand: Sequence[int],
    values: Sequence[float],
) -> Iterator[tuple[Cut, ...]]:
    """Plans as long as there are steps, the first at `values`; the relaxation knows its boards.

    What cannot be made is left out.
    """
    rng = Random(1)
    values = _all_worth_something(values, demand, [part.volume for part in relaxation.grid.parts])
    while relaxation.budget.left:
        partial = PartialPlan.of(relaxation, demand, hand)
        filled = list(_filled(partial, values))
        yield partial.cuts
        if not filled:
            return
        values = _corrected(values, filled, rng)


def _all_worth_something(
    values: Sequence[float], demand: Sequence[int], volumes: Sequence[int]
) -> list[float]:
    """The values, none far below what the wood of the piece is worth in the others."""
    worth = sum(value * n for value, n in zip(values, demand, strict=True))
    rate = worth / max(sum(volume * n for volume, n in zip(volumes, demand, strict=True)), 1)
    least = [_LEAST * rate * volume for volume in volumes]
    return [max(pair) for pair in zip(values, least, strict=True)]


def _filled(partial: PartialPlan, values: Sequence[float]) -> Iterator[_Filled]:
    """Fill one board after the other, each as often as the demand lasts."""
    while any(partial.need) and (pattern := partial.find_fullest(values)):
        partial.relaxation.add(pattern)
        pairs = zip(partial.need, pattern.counts, strict=True)
        often = max(min(n // c for n, c in pairs if c), 1)
        settled = len(partial.cuts)
        partial.settle(pattern, often, from_hand=partial.hand[pattern.board] > 0)
        worth = sum(v * c for v, c in zip(values, pattern.counts, strict=True) if c)
        yield _Filled(pattern, sum(cut.count for cut in partial.cuts[settled:]), worth)


def _corrected(values: Sequence[float], filled: Sequence[_Filled], rng: Random) -> list[float]:
    """Values nearer to those at which every board of a kind would hold as much as another."""
    boards: Counter[int] = Counter()
    worth: dict[int, float] = {}
    for each in filled:
        number = each.pattern.board
        boards[number] += each.boards
        worth[number] = worth.get(number, 0.0) + each.boards * each.worth
    pieces, lack = [0] * len(values), [0.0] * len(values)
    for each in filled:
        usual = worth[each.pattern.board] / boards[each.pattern.board]
        for i, count in enumerate(each.pattern.counts):
            pieces[i] += each.boards * count
            lack[i] += each.boards * count * usual / each.worth
    share, dear = rng.uniform(*_SHARE), rng.uniform(*_DEAR)
    mixed = [
        value * (1 - share + share * lack[i] / n) if (n := pieces[i]) else value
        for i, value in enumerate(values)
    ]
    highest = max(mixed)
    return [highest * (value / highest) ** dear if value else 0.0 for value in mixed]
