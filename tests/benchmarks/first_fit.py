"""First fit decreasing, for comparison: each piece on the first board that has room for it.

Pieces go longest first. A piece takes the rest of a strip of its section, else a new strip of a
blank that is long enough, else a new blank, else a new board. It shares no code with the planner.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, NamedTuple

from ..plain_shops import PROJECT, Json, Shop
from ..verifier.data import SIDES, Data, exact, grid_of, shop_in_steps


class Free(NamedTuple):
    """A rectangle of a section that is still there."""

    x: int
    y: int
    across: int
    up: int


@dataclass(slots=True)
class _Strip:
    sides: tuple[int, int]
    at: tuple[int, int]
    turned: bool
    room: int
    pieces: list[Data] = field(default_factory=list)


@dataclass(slots=True)
class _Blank:
    length: int
    free: list[Free]
    strips: list[_Strip] = field(default_factory=list)


@dataclass(slots=True)
class _Board:
    room: int
    blanks: list[_Blank] = field(default_factory=list)


def first_fit(shop: Shop) -> Json:
    """A plan for one unit of a shop with one size of lumber."""
    grid = grid_of(shop)
    filling = _Filling(shop_in_steps(shop, grid))
    parts = sorted(filling.shop["parts"], key=lambda p: (-p["length"], -p["width"]))
    for part in parts:
        for _ in range(part["make"]):
            filling.place(part)
    size = {side: float(exact(shop["boards"][0][side])) for side in SIDES}
    one = {"stock": shop["boards"][0]["stock"], "count": 1, "on_hand": 0, **size}
    cost = float(len(filling.boards) * exact(shop["boards"][0]["price"]))
    plan = {"project": PROJECT, "units": 1, "status": "feasible", "cost": cost, "cost_bound": 0}
    cut = [one | {"blanks": list(_told(board, grid))} for board in filling.boards]
    return plan | {"boards": cut, "panels": [], "offcuts": [], "short": []}


class _Filling:
    """Boards being filled."""

    def __init__(self, shop: Any) -> None:
        self.shop, self.board, self.saw = shop, shop["boards"][0], shop["saw"]
        self.boards: list[_Board] = []

    def place(self, part: Data) -> None:
        """Put one piece of the part on the first board that has room, or on a new one."""
        if not any(self._lay(part, board) for board in self.boards):
            usable = self.board["length"] - 2 * self.saw["end_trim"] + self.saw["kerf"]
            self.boards.append(_Board(usable))
            if not self._lay(part, self.boards[-1]):
                raise ValueError(f"{part['part']} does not fit the board")

    def _lay(self, part: Data, board: _Board) -> bool:
        sides = (part["thickness"], part["width"])
        if sides == (self.board["thickness"], self.board["width"]):
            blank = self._new_blank(board, part["length"], ripped=False)
            return blank is not None and self._crosscut(blank, sides, (0, 0), False, part)
        long_enough = [blank for blank in board.blanks if blank.length >= part["length"]]
        if any(self._use(part, sides, blank) for blank in long_enough):
            return True
        blank = self._new_blank(board, max(part["length"], self.saw["shortest_rip"]), ripped=True)
        if blank is None or self._use(part, sides, blank):
            return blank is not None
        raise ValueError(f"{part['part']} does not fit the section")

    def _new_blank(self, board: _Board, length: int, *, ripped: bool) -> _Blank | None:
        if length + self.saw["kerf"] > board.room:
            return None
        squaring = self.saw["squaring"]
        across, up = self.board["width"] - 2 * squaring, self.board["thickness"]
        board.room -= length + self.saw["kerf"]
        board.blanks.append(_Blank(length, [Free(squaring, 0, across, up)] if ripped else []))
        return board.blanks[-1]

    def _use(self, part: Data, sides: tuple[int, int], blank: _Blank) -> bool:
        need = part["length"] + self.saw["kerf"]
        for strip in blank.strips:
            if strip.sides == sides and strip.room >= need:
                strip.room -= need
                strip.pieces.append(part)
                return True
        thickness, width = sides
        for free in blank.free:
            for turned, across, up in ((False, width, thickness), (True, thickness, width)):
                left = self._rip(free, across, up)
                if left is not None:
                    blank.free.remove(free)
                    blank.free += left
                    return self._crosscut(blank, sides, free[:2], turned, part)
        return False

    def _crosscut(
        self, blank: _Blank, sides: tuple[int, int], at: tuple[int, int], turned: bool, part: Data
    ) -> bool:
        room = blank.length - part["length"]
        blank.strips.append(_Strip(sides, at, turned, room, [part]))
        return True

    def _rip(self, free: Free, across: int, up: int) -> list[Free] | None:
        """What two rips leave of a rectangle, the larger rest whole; None where they cannot be."""
        if across > free.across or up > free.up:
            return None
        kerf, deepest = self.saw["kerf"], self.saw["deepest_cut"]
        beside, above = free.across - across - kerf, free.up - up - kerf
        right, top = free.x + across + kerf, free.y + up + kerf
        narrower, lower = across < free.across, up < free.up
        ways = [
            (
                max(free.up * narrower, across * lower),
                [Free(right, free.y, beside, free.up), Free(free.x, top, across, above)],
            ),
            (
                max(free.across * lower, up * narrower),
                [Free(free.x, top, free.across, above), Free(right, free.y, beside, up)],
            ),
        ]
        kept = [
            [rest for rest in rests if rest.across > 0 and rest.up > 0]
            for depth, rests in ways
            if deepest is None or depth <= deepest
        ]
        return max(kept, key=_largest, default=None)


def _largest(rests: list[Free]) -> int:
    return max((rest.across * rest.up for rest in rests), default=0)


def _told(board: _Board, grid: int) -> Iterator[Json]:
    def number(steps: int) -> float:
        return float(Fraction(steps, grid))

    for blank in board.blanks:
        strips = [
            {
                "thickness": number(strip.sides[0]),
                "width": number(strip.sides[1]),
                "at": [number(side) for side in strip.at],
                "turned": strip.turned,
                "pieces": [
                    {"part": part["part"], "length": number(part["length"])}
                    for part in strip.pieces
                ],
            }
            for strip in blank.strips
        ]
        yield {"length": number(blank.length), "strips": strips}
