"""Whether the usable offcuts that a plan lists are really left over.

The plan does not say where an offcut lies. So it is asked of each size which rooms (ends of
boards and strips, rests of sections and sheets) could hold one at all: the offcuts of that size
and those that contain one must go into these rooms by volume.
"""

from collections.abc import Iterator, Mapping, Sequence
from math import prod
from typing import Any, NamedTuple

from .data import (
    SIDES,
    Data,
    cuts_of,
    is_whole_section,
    piece_box,
    ripped_region,
    sheet_region,
    strip_box,
)
from .geometry import Box, area_left, has_room


class Room(NamedTuple):
    """What is left of a region beside the boxes cut from it, over a length, so many times."""

    times: int
    length: int
    region: Box
    boxes: Sequence[Box]
    deepest: int | None
    sheet: bool

    @property
    def volume(self) -> int:
        """All that is left."""
        return int(self.times * self.length * area_left(self.boxes, self.region))

    def holds(self, offcut: Data, kerf: int) -> bool:
        """Whether one such offcut could be cut from it; a sheet's offcut is as thick as it."""
        through, one, other = SIDES if self.sheet else SIDES[::-1]
        spare = self.length - offcut[through]
        enough = spare == 0 if self.sheet else spare >= 0
        ways = ((offcut[one], offcut[other]), (offcut[other], offcut[one]))
        across = _pushed(self.boxes, self.region, kerf)
        layouts = (
            self.boxes,
            across,
            *(_dropped(b, self.region, kerf) for b in (self.boxes, across)),
        )
        return enough and any(
            has_room(way, boxes, self.region, kerf, self.deepest)
            for way in ways
            for boxes in layouts
        )


def _pushed(boxes: Sequence[Box], region: Box, kerf: int) -> list[Box]:
    """The boxes moved together: a fence takes strips off side by side, and rests join."""
    moved: list[Box] = []
    for low, bottom, high, top in sorted(boxes):
        before = [end + kerf for _, y, end, far in moved if y < top + kerf and bottom < far + kerf]
        start = max([region[0], *before])
        moved.append((start, bottom, start + high - low, top))
    return moved


def _dropped(boxes: Sequence[Box], region: Box, kerf: int) -> list[Box]:
    """The boxes moved together the other way, where the fence stands at the other face."""
    return [_turned(box) for box in _pushed([*map(_turned, boxes)], _turned(region), kerf)]


def _turned(box: Box) -> Box:
    low, bottom, high, top = box
    return bottom, low, top, high


def offcut_faults(plan: Data, shop: Data, boards: Mapping[str, Data]) -> Iterator[str]:
    """What is wrong with the listed offcuts."""
    for stock in dict.fromkeys(offcut["stock"] for offcut in plan["offcuts"]):
        listed = [offcut for offcut in plan["offcuts"] if offcut["stock"] == stock]
        if stock not in boards:
            yield f"{stock}: an offcut of no stock"
        elif any(offcut["count"] < 1 or min(_size(offcut)) <= 0 for offcut in listed):
            yield f"{stock}: an offcut that is none"
        else:
            yield from _of_stock(listed, plan, boards[stock], shop)


def _of_stock(listed: Sequence[Data], plan: Data, board: Data, shop: Data) -> Iterator[str]:
    stock, saw = board["stock"], shop["saw"]
    cuts = [cut for cut in cuts_of(plan) if cut["stock"] == stock]
    rooms = [room for cut in cuts for room in _rooms(cut, board, saw) if room.length > 0]
    if _wood(listed) > sum(room.volume for room in rooms):
        yield f"{stock}: more offcuts than is left over"
    for offcut in listed:
        holding = sum(room.volume for room in rooms if room.holds(offcut, saw["kerf"]))
        if _wood([other for other in listed if _contains(other, offcut)]) > holding:
            yield f"{stock}: offcuts that are not left over"
        if not _is_usable(offcut, board, shop):
            yield f"{stock}: an offcut too small to use"


def _is_usable(offcut: Data, board: Data, shop: Data) -> bool:
    length, width = shop.get("usable_offcut", 0), shop.get("usable_width", 0)
    if board["kind"] == "panel":
        sides = sorted(offcut[side] for side in ("length", "width"))
        return bool(sides[1] >= length and sides[0] >= (width or length))
    thick = shop.get("usable_thickness", 0)
    least = zip(SIDES, (thick, width, length), strict=True)
    return all(offcut[side] >= needs for side, needs in least)


def _size(offcut: Data) -> list[int]:
    return [offcut[side] for side in SIDES]


def _wood(offcuts: Sequence[Data]) -> int:
    return sum(offcut["count"] * prod(_size(offcut)) for offcut in offcuts)


def _contains(one: Data, other: Data) -> bool:
    return all(one[side] >= other[side] for side in SIDES)


def _rooms(cut: Any, board: Data, saw: Data) -> Iterator[Room]:
    """Where something is left over of one way of cutting a board or a sheet."""
    times, kerf = cut["count"], saw["kerf"]
    whole = (0, 0, board["width"], board["thickness"])
    if "pieces" in cut:
        boxes = [piece_box(piece) for piece in cut["pieces"]]
        sheet = sheet_region(board, saw)
        yield Room(times, board["thickness"], sheet, boxes, None, sheet=True)
        return
    end = board["length"] - 2 * saw["end_trim"] - sum(b["length"] + kerf for b in cut["blanks"])
    yield Room(times, end, whole, (), None, sheet=False)
    for blank in cut["blanks"]:
        boxes = [strip_box(strip) for strip in blank["strips"]]
        if not is_whole_section(blank, board):
            region = ripped_region(board, saw)
            yield Room(times, blank["length"], region, boxes, saw["deepest_cut"], sheet=False)
        for strip, box in zip(blank["strips"], boxes, strict=True):
            rest = blank["length"] - sum(piece["length"] + kerf for piece in strip["pieces"])
            yield Room(times, rest, box, (), None, sheet=False)
