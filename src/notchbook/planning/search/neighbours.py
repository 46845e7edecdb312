"""Blanks of a board that are ripped alike stay one piece: ripped once, crosscut afterwards.

Longer blanks are safer to rip and take fewer passes. No blank is longer than what lies in it needs,
so that what is left of the board stays whole.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from notchbook.planning.model.filled import FilledBoard, PlacedBlank, PlacedStrip
from notchbook.planning.model.grid import GridBoard, GridSaw

Lengths = tuple[int, ...]
"""Of the parts, by their number."""


@lru_cache(maxsize=5_000)
def join_neighbours(
    filled: FilledBoard, board: GridBoard, saw: GridSaw, lengths: Lengths
) -> FilledBoard:
    """Return the board with blanks that are ripped alike joined, the longest blank first."""
    alike: dict[object, list[PlacedBlank]] = {}
    single: list[PlacedBlank] = []
    for blank in filled.blanks:
        if _is_whole(blank, board):
            single.append(blank)
        else:
            places = (strip[:4] for strip in blank.strips)
            alike.setdefault(frozenset(places), []).append(_trimmed(blank, saw, lengths))
    joined = (each for group in alike.values() for each in _join(group, saw, lengths))
    blanks = sorted((*single, *joined), key=lambda blank: -blank.length)
    return filled._replace(blanks=tuple(blanks))


def _is_whole(blank: PlacedBlank, board: GridBoard) -> bool:
    """Whether it is of the section as bought, and never ripped."""
    only = blank.strips[0]
    return len(blank.strips) == 1 and {only.thickness, only.width} == {board.thickness, board.width}


def _join(blanks: Sequence[PlacedBlank], saw: GridSaw, lengths: Lengths) -> Iterator[PlacedBlank]:
    """Join blanks ripped alike, the longest first, into as few as may be ripped."""
    joined: list[PlacedBlank] = []
    for blank in sorted(blanks, key=lambda blank: (-blank.length, blank.strips)):
        room = saw.longest_rip - blank.length - saw.kerf
        at = next((n for n, other in enumerate(joined) if other.length <= room), None)
        if at is None:
            joined.append(blank)
        else:
            joined[at] = _joined(joined[at], blank, saw, lengths)
    yield from joined


def _joined(first: PlacedBlank, second: PlacedBlank, saw: GridSaw, lengths: Lengths) -> PlacedBlank:
    """Join two blanks; their pieces are shared out anew where that makes the blank shorter."""
    others = {strip[:4]: strip.pieces for strip in second.strips}
    strips = [
        strip._replace(pieces=_counted((*strip.pieces, *others[strip[:4]])))
        for strip in first.strips
    ]
    both = PlacedBlank(first.length + saw.kerf + second.length, tuple(strips))
    shared = both._replace(strips=tuple(_share_out(strips, saw, lengths)))
    found = min(
        (_trimmed(both, saw, lengths), _trimmed(shared, saw, lengths)), key=lambda b: b.length
    )
    return found if found.length <= both.length else both


def _trimmed(blank: PlacedBlank, saw: GridSaw, lengths: Lengths) -> PlacedBlank:
    """Make a blank as long as its pieces need, and as the saw needs to rip it."""
    longest = max(_room(strip.pieces, saw, lengths) for strip in blank.strips) - saw.kerf
    return blank._replace(length=max(longest, saw.shortest_rip))


def _share_out(
    strips: Iterable[PlacedStrip], saw: GridSaw, lengths: Lengths
) -> Iterator[PlacedStrip]:
    """Share the pieces of strips alike out among them, the longest pieces first."""
    alike: dict[tuple[int, int], list[PlacedStrip]] = {}
    for strip in strips:
        alike.setdefault((strip.thickness, strip.width), []).append(strip)
    for group in alike.values():
        pieces = sorted(
            (i for strip in group for i, often in strip.pieces for _ in range(often)),
            key=lambda i: (-lengths[i], i),
        )
        held: list[list[int]] = [[] for _ in group]
        rooms = [0] * len(group)
        for i in pieces:
            at = rooms.index(min(rooms))
            held[at].append(i)
            rooms[at] += lengths[i] + saw.kerf
        for strip, its in zip(group, held, strict=True):
            yield strip._replace(pieces=_counted((i, 1) for i in its))


def _room(pieces: Iterable[tuple[int, int]], saw: GridSaw, lengths: Lengths) -> int:
    return sum(often * (lengths[i] + saw.kerf) for i, often in pieces)


def _counted(pieces: Iterable[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Pieces of a part together, by part."""
    found: Counter[int] = Counter()
    for i, often in pieces:
        found[i] += often
    return tuple(sorted(found.items()))
