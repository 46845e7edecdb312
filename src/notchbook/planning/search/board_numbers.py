"""A bound by whole numbers of boards: those that cannot hold the demand are ruled out.

The cheapest numbers of boards that every cover allows are looked at. Where they do not hold the
demand, boards cut in fractions, the linear program that says so gives values of the pieces that
rule them out, which are one cover more; the next cheapest follow, until some hold it (Benders,
Numerische Mathematik 4, 1962). They cost no more than any plan does.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from notchbook.planning.search.covers import Cover, Least, find_least
from notchbook.planning.search.master import Master
from notchbook.planning.search.relaxation import Relaxation

_RULED_OUT = 100  # numbers of boards at most
_ROUNDS = 60  # of new patterns for one of them


def raise_bound(
    relaxation: Relaxation,
    values: Sequence[float],
    demand: Sequence[int],
    hand: Sequence[int],
    between: tuple[int, int],
) -> Fraction:
    """Raise the bound on the demand's cost from the one sum towards the other, in money steps.

    Pieces of no value are left out. Where one kind of board only is bought, nothing is to be told.
    """
    bought, (low, high) = relaxation.bought(), between
    least = Fraction(low)
    covers = relaxation.covers(values, demand, hand)
    if len(bought) < 2 or not covers:
        return least
    wanted = [n if value > 0 else 0 for n, value in zip(demand, values, strict=True)]
    found = Least(least, None)
    for _ in range(_RULED_OUT):
        found = find_least(bought, covers, found.cost, high)
        if found.boards is None or not relaxation.budget.left:
            break
        cover = _rule_out(relaxation, found.boards, wanted, hand)
        if cover is None:
            break
        covers.append(cover)
    return max(found.cost, least)


def _rule_out(
    relaxation: Relaxation, boards: Mapping[int, int], demand: Sequence[int], hand: Sequence[int]
) -> Cover | None:
    """A cover that these numbers of boards, bought beside those on hand, do not obey, if any."""
    grid, have = relaxation.grid, [n + boards.get(b, 0) for b, n in enumerate(hand)]
    there = replace(grid, boards=tuple(replace(board, buyable=False) for board in grid.boards))
    master = Master(there, relaxation.weight, demand, have, relaxation.budget)
    for pattern in relaxation.pool.values():
        master.add(pattern)
    for _ in range(_ROUNDS):
        values, _ = master.solve()
        if not any(values) or not relaxation.budget.left:
            return None
        cover = relaxation.cover(values, demand, hand)
        if cover is None or not cover.allows(boards):
            return cover
        added = [p for p in relaxation.price(values, demand) if relaxation.add(p)]
        if not added:
            return None
        for pattern in added:
            master.add(pattern)
    return None
