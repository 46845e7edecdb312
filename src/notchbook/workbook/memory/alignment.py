"""Rows of one table matched with rows of another: the equal ones first, then the most alike."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

Row = Sequence[str]
"""What stands in a row, column by column; nothing is the empty word."""
_MOST = 40  # rows that hold a word, for it to tell where a row went


def align(then: Sequence[Row], now: Sequence[Row]) -> dict[int, int]:
    """Return, by the number of a row of `now`, the row of `then` that it is."""
    found = {n: n for n, row in enumerate(now) if n < len(then) and row == then[n] and any(row)}
    _match_equal(then, now, found)
    _match_alike(then, now, found)
    return found


def _match_equal(then: Sequence[Row], now: Sequence[Row], found: dict[int, int]) -> None:
    free: dict[tuple[str, ...], list[int]] = {}
    for n in reversed(_left(range(len(then)), found.values())):
        free.setdefault(tuple(then[n]), []).append(n)
    for n in _left(range(len(now)), found):
        if any(now[n]) and free.get(tuple(now[n])):
            found[n] = free[tuple(now[n])].pop()


def _match_alike(then: Sequence[Row], now: Sequence[Row], found: dict[int, int]) -> None:
    """Match what is left by the number of equal cells, the surest first."""
    holding: dict[tuple[int, str], list[int]] = {}
    for n in _left(range(len(then)), found.values()):
        for column, word in enumerate(then[n]):
            if word:
                holding.setdefault((column, word), []).append(n)
    scores: list[tuple[int, int, int]] = []
    for n in _left(range(len(now)), found):
        equal: Counter[int] = Counter()
        for column, word in enumerate(now[n]):
            rows = holding.get((column, word), ())
            if len(rows) <= _MOST:
                equal.update(rows)
        scores += [(-count, n, other) for other, count in equal.items()]
    taken = set(found.values())
    for _, n, other in sorted(scores):
        if n not in found and other not in taken:
            found[n] = other
            taken.add(other)


def _left(rows: Iterable[int], matched: Iterable[int]) -> list[int]:
    gone = set(matched)
    return [n for n in rows if n not in gone]
