"""Blanks with all their strips and pieces, those that waste least, listed for each part."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from notchbook.planning.search.knapsack import Floats, Ints
from notchbook.planning.search.wood import BlankCut, StripCut, Wood

_STRIPS = 20_000  # of one kind: where there are more, none is looked at
_FIRST, _WIDER, _TIMES = 1 / 400, 1.5, 12  # of a board's worth a blank may waste, and how it grows
_LENGTH, _OFFER, _STRIP = 1, 20, 2  # steps of a length, of what is offered for it, of a choice


class Listed(NamedTuple):
    """A blank, what it wastes, and how many pieces of each part it holds."""

    waste: float
    blank: BlankCut
    pieces: Mapping[int, int]


class _Strips(NamedTuple):
    """All strips of a kind, the shortest first."""

    rooms: Ints
    worth: Floats
    cuts: list[StripCut]


class _Offer(NamedTuple):
    """A strip for one place in a blank, and what is lost by it; None: the place stays empty."""

    loss: float
    room: int
    strip: StripCut | None


class _Choice(NamedTuple):
    """Strips for the places so far, what is lost by them, and their pieces."""

    loss: float
    taken: tuple[_Offer, ...]
    pieces: Mapping[int, int]


class BlankList:
    """Blanks of one wood by their waste, at `values` of pieces of which `need` are wanted.

    A blank wastes what a board is worth less with it than at best.
    """

    def __init__(self, wood: Wood, values: Sequence[float], need: Sequence[int]) -> None:
        self.wood, self.values, self.need = wood, values, need
        self._prices = wood.prices(values, need)
        self._room = max(wood.room.values())
        self._whole = float(self._prices.board[wood.ruler.below(self._room)])
        self._strips = [self._sorted_strips(kind) for kind in range(len(wood.kinds))]

    def _sorted_strips(self, kind: int) -> _Strips:
        wood = self.wood
        cuts = wood.all_strips(kind, self.need, _STRIPS)
        wood.budget.spend(_STRIP * len(cuts))
        cuts.sort(key=lambda cut: (wood.strip_room(cut), cut))
        rooms = np.array([wood.strip_room(cut) for cut in cuts], dtype=np.int64)
        worth = np.array([sum(self.values[i] * n for i, n in cut.pieces) for cut in cuts])
        return _Strips(rooms, worth, cuts)

    def find(self, most: int) -> list[Listed]:
        """Find the blanks that waste least, about `most`; a piece of the whole section is one.

        What a blank may waste grows until they are so many.
        """
        found: list[Listed] = []
        allowed = self._whole * _FIRST
        for _ in range(_TIMES):
            found = list(self._within(allowed, most))
            if len(found) >= most // 3 or not self.wood.budget.left:
                break
            allowed *= _WIDER
        unripped = [i for i in self.wood.unripped if self.need[i]]
        found += [Listed(0.0, self.wood.whole(i), {i: 1}) for i in unripped]
        return sorted(found, key=lambda each: (each.waste, each.blank))

    def _within(self, allowed: float, most: int) -> Iterator[Listed]:
        """Blanks that waste no more than that, `most` of them at most."""
        left = most
        for pattern in range(len(self.wood.patterns)):
            for each in self._of_pattern(pattern, allowed):
                yield each
                left -= 1
                if left <= 0 or not self.wood.budget.left:
                    return

    def _of_pattern(self, pattern: int, allowed: float) -> Iterator[Listed]:
        """Blanks of a section pattern, each as long as its longest strip."""
        wood, board = self.wood, self._prices.board
        places = [k for k, often in enumerate(wood.patterns[pattern]) for _ in range(int(often))]
        if not places:  # a section that is not ripped
            return
        rooms = np.concatenate([self._strips[k].rooms for k in set(places)])
        rooms = np.unique(np.maximum(rooms, wood.shortest))
        rooms = rooms[rooms <= min(self._room, wood.longest)]
        marks = wood.ruler.floors(rooms)
        best = [self._prices.strips[k].value[marks] for k in places]
        spare = allowed - self._whole + sum(best) + board[wood.ruler.floors(self._room - rooms)]
        wood.budget.spend(_LENGTH * len(rooms))
        for at in np.flatnonzero(spare >= 0):
            room, slack = int(rooms[at]), float(spare[at])
            worth = [float(each[at]) for each in best]
            offers = [
                self._offers(k, room, most, slack) for k, most in zip(places, worth, strict=True)
            ]
            wood.budget.spend(_OFFER + sum(map(len, offers)))
            for choice in self._choices(places, offers, slack):
                taken = {offer.room for offer in choice.taken}
                if choice.pieces and (room == wood.shortest or room in taken):
                    strips = tuple(sorted(o.strip for o in choice.taken if o.strip is not None))
                    blank = BlankCut(pattern, room, strips)
                    yield Listed(allowed - slack + choice.loss, blank, choice.pieces)

    def _offers(self, kind: int, room: int, best: float, slack: float) -> list[_Offer]:
        """The strips for a place in a blank of this room, those first that lose least."""
        strips, least = self._strips[kind], best - slack
        first = int(np.searchsorted(self._prices.strips[kind].value, least))
        shortest = self.wood.ruler.marks[first]
        low, high = np.searchsorted(strips.rooms, (shortest, room + 1))
        good = low + np.flatnonzero(strips.worth[low:high] >= least)
        found = [
            _Offer(best - float(strips.worth[n]), int(strips.rooms[n]), strips.cuts[n])
            for n in good
        ]
        if least <= 0:
            found.append(_Offer(best, 0, None))
        return sorted(found, key=lambda offer: offer[:2])

    def _choices(
        self, places: Sequence[int], offers: Sequence[Sequence[_Offer]], slack: float
    ) -> Iterator[_Choice]:
        """Choose a strip for every place, within the slack and no part more often than needed."""

        def choose(at: int, start: int, chosen: _Choice) -> Iterator[_Choice]:
            if at == len(places):
                yield chosen
                return
            alike = at + 1 < len(places) and places[at + 1] == places[at]
            for n in range(start, len(offers[at])):
                offer = offers[at][n]
                if chosen.loss + offer.loss > slack:
                    return
                self.wood.budget.spend(_STRIP)
                if (pieces := self._with(chosen.pieces, offer.strip)) is not None:
                    more = _Choice(chosen.loss + offer.loss, (*chosen.taken, offer), pieces)
                    yield from choose(at + 1, n if alike else 0, more)

        return choose(0, 0, _Choice(0.0, (), {}))

    def _with(self, pieces: Mapping[int, int], strip: StripCut | None) -> Mapping[int, int] | None:
        """The pieces and those of the strip; None where they are more than needed."""
        if strip is None:
            return pieces
        more = dict(pieces)
        for i, n in strip.pieces:
            more[i] = more.get(i, 0) + n
            if more[i] > self.need[i]:
                return None
        return more


def keep_often(blanks: Sequence[Listed], often: int) -> list[Listed]:
    """Keep, for each part, the first so many blanks that hold it."""
    seen: Counter[int] = Counter()
    kept = []
    for each in blanks:
        if any(seen[i] < often for i in each.pieces):
            kept.append(each)
            seen.update(each.pieces.keys())
    return kept
