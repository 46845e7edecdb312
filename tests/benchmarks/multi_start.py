"""Sheets filled by luck, for comparison: pieces in random order, each in the first room it fits.

Every start shuffles the pieces, turns some of them, and cuts what is left of a room either way;
the plan with the fewest sheets stays. It shares no code with the planner.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from random import Random

from ..plain_shops import Shop
from ..verifier.data import grid_of, shop_in_steps

Room = tuple[int, int]  # along the sheet and across it, a kerf added


def fewest_sheets(shop: Shop, seconds: float, seed: int = 1) -> int:
    """The fewest sheets of one size found in so many seconds of the processor."""
    end, best = time.process_time() + seconds, sys.maxsize
    for sheets in start_again(shop, Random(seed)):
        best = min(best, sheets)
        if time.process_time() >= end:
            break
    return best


def start_again(shop: Shop, rng: Random) -> Iterator[int]:
    """Sheets that one start after another takes, without an end."""
    given = shop_in_steps(shop, grid_of(shop))
    sheet, kerf = given["boards"][0], given["saw"]["kerf"]
    whole = (sheet["length"] + kerf, sheet["width"] + kerf)
    pieces = [
        ((part["length"] + kerf, part["width"] + kerf), part["turn"] or not sheet["grain"])
        for part in given["parts"]
        for _ in range(part["make"])
    ]
    while True:
        yield _filled(pieces, whole, rng)


def _filled(pieces: list[tuple[Room, bool]], whole: Room, rng: Random) -> int:
    """Sheets that one start takes."""
    spread = rng.choice((0.0, 0.3, 1.0))
    order = sorted(pieces, key=lambda p: -p[0][0] * p[0][1] * rng.uniform(1 - spread, 1))
    sheets: list[list[Room]] = []
    for (long, wide), may_turn in order:
        ways = [(long, wide), (wide, long)] if may_turn else [(long, wide)]
        rng.shuffle(ways)
        if not any(_cut(rooms, ways, rng) for rooms in sheets):
            sheets.append([whole])
            _cut(sheets[-1], ways, rng)
    return len(sheets)


def _cut(rooms: list[Room], ways: list[Room], rng: Random) -> bool:
    """Cut the piece from the smallest room that holds it; False where none does."""
    fits = [
        (room[0] * room[1], room, way)
        for room in rooms
        for way in ways
        if way[0] <= room[0] and way[1] <= room[1]
    ]
    if not fits:
        return False
    _, (along, across), (long, wide) = min(fits)
    rooms.remove((along, across))
    if rng.random() < 0.5:
        rooms += [(along - long, across), (long, across - wide)]
    else:
        rooms += [(along, across - wide), (along - long, wide)]
    return True
