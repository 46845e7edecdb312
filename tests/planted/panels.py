"""Sheets cut apart right across, with grain or without, some of the pieces turned."""

from __future__ import annotations

from random import Random
from typing import NamedTuple

from ..plain_shops import PLAIN_SAW, Json, panel, part, shop_of
from .cuts import INCH, STEP, Area, Lengths, guillotined
from .job import LEAST_PARTS, PRICE, Names, Planted, first_planted, proved_plan, shortened

MOST_SIZES = 6
LEAST_SIDE = 3 * INCH
PIECES = (4, 12)  # from-to pieces a sheet

# thickness, width, length
SHEETS = [(0.25, 24, 48), (0.5, 48, 48), (0.75, 48, 96), (0.25, 30, 60)]


class Laid(NamedTuple):
    """A piece as it lies; turned: its width lies along the sheet."""

    x: int
    y: int
    width: int
    length: int  # the number of its length
    turned: bool
    turn: bool


def planted_panels(seed: int, sheets: int, *, different: bool = False) -> Planted:
    """A job of up to 6 sizes, or every piece of another length."""
    name = f"{sheets} sheets {'different' if different else 'alike'} {seed}"
    return first_planted(name, lambda rng: _attempt(rng, name, sheets, different))


def _attempt(rng: Random, name: str, sheets: int, different: bool) -> Planted | None:
    thickness, width, length = rng.choice(SHEETS)
    sheet, kerf = Area(0, 0, length * INCH, width * INCH), rng.choice([4, 3, 2])
    grain, lengths, turning = rng.random() < 0.6, Lengths(different), rng.getrandbits(32)
    patterns = [
        list(guillotined(rng, sheet, rng.randint(*PIECES), kerf, LEAST_SIDE, None))
        for _ in range(sheets if different else 2)
    ]
    cut = []
    for n in range(sheets):
        pattern = patterns[n] if different else rng.choice(patterns)
        cut.append([_lay(box, grain, f"{turning}/{box.sides}", lengths) for box in pattern])
    sizes = {(laid.width, laid.length, laid.turn) for pieces in cut for laid in pieces}
    if len(sizes) < LEAST_PARTS or not (different or len(sizes) <= MOST_SIZES):
        return None
    used = shortened(rng, lengths, sheets * sheet.size, LEAST_SIDE)
    if used is None:
        return None
    names = Names()
    size = {"length": length, "width": width}
    laid_out = [
        {"stock": "sheet", "count": 1, "on_hand": 0, **size}
        | {"pieces": [_piece(laid, lengths, names) for laid in pieces]}
        for pieces in cut
    ]
    parts = [
        part(named, often, (thickness, w * STEP, long * STEP), "sheet", turn=bool(turn))
        for named, often, (w, long, turn) in names.parts()
    ]
    boards = [panel("sheet", (thickness, width, length), PRICE, grain=grain)]
    shop = shop_of(parts, boards, **PLAIN_SAW | {"kerf": kerf * STEP})
    return Planted(name, shop, proved_plan(sheets) | {"panels": laid_out}, sheets, used)


def _lay(box: Area, grain: bool, seed: str, lengths: Lengths) -> Laid:
    """What comes off a sheet as a piece: along the grain, or its greater side as its length."""
    turn = Random(seed).random() < 0.5
    turned = (turn or not grain) and box.one < box.other
    length, width = (box.other, box.one) if turned else (box.one, box.other)
    return Laid(box.x, box.y, width, lengths.number(length, width), turned, turn)


def _piece(laid: Laid, lengths: Lengths, names: Names) -> Json:
    length = lengths.values[laid.length]
    along, across = (laid.width, length) if laid.turned else (length, laid.width)
    return {
        "part": names.take((laid.width, length, laid.turn)),
        "at": [float(laid.x * STEP), float(laid.y * STEP)],
        "length": float(along * STEP),
        "width": float(across * STEP),
        "turned": laid.turned,
    }
