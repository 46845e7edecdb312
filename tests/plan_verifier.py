"""Checks a cutting plan from its JSON alone; shares no code with what made it.

A shop is plain data: `parts`, `boards` and `saw` with the keys of the definitions, numbers of any
kind. Every rule is checked in exact fractions, and every fault found is a sentence.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cache
from typing import Any

Data = Mapping[str, Any]
Box = tuple[Fraction, Fraction, Fraction, Fraction]  # lower and upper corner: x, y, far x, far y


def exact(value: Any) -> Fraction:
    """The fraction that a JSON number stands for."""
    return Fraction(value).limit_denominator(100_000)


def faults(plan: Data, shop: Data, units: int) -> list[str]:
    """Everything that is wrong with the plan for `units` of the shop's parts."""
    boards = {board["stock"]: board for board in shop["boards"]}
    parts = {_key(part, plan): part for part in shop["parts"]}
    made: Counter[tuple[str, str]] = Counter()
    found = []
    for cut in plan["boards"]:
        found += _board(cut, boards[cut["stock"]], parts, shop["saw"], plan)
        for blank in cut["blanks"]:
            for strip in blank["strips"]:
                made.update(
                    _key(piece, plan) for _ in range(cut["count"]) for piece in strip["pieces"]
                )
    for cut in plan["panels"]:
        found += _panel(cut, boards[cut["stock"]], parts, shop["saw"], plan)
        made.update(_key(piece, plan) for _ in range(cut["count"]) for piece in cut["pieces"])
    return found + list(_counts(plan, parts, boards, made, units)) + list(_stock(plan, boards))


def _key(piece: Data, plan: Data) -> tuple[str, str]:
    return (piece["project"] if plan["project"] is None else plan["project"], piece["part"])


def _counts(
    plan: Data,
    parts: Mapping[tuple[str, str], Data],
    boards: Mapping[str, Data],
    made: Counter[tuple[str, str]],
    units: int,
) -> Iterator[str]:
    short = Counter({_key(entry, plan): entry["count"] for entry in plan["short"]})
    for key, part in parts.items():
        if made[key] + short[key] != units * part["make"]:
            yield f"{key}: {made[key]} made and {short[key]} short of {units * part['make']}"
        if short[key] and all(boards[stock]["buyable"] for stock in part["from"]):
            yield f"{key}: short, although its stock can be bought"
    for key in made:
        if key not in parts:
            yield f"{key}: nobody asked for it"


def _stock(plan: Data, boards: Mapping[str, Data]) -> Iterator[str]:
    cost = Fraction(0)
    used: Counter[str] = Counter()
    for cut in (*plan["boards"], *plan["panels"]):
        used[cut["stock"]] += cut["on_hand"]
        bought = cut["count"] - cut["on_hand"]
        if cut["count"] < 1 or cut["on_hand"] < 0 or bought < 0:
            yield f"{cut['stock']}: the counts are impossible"
        if bought and not boards[cut["stock"]]["buyable"]:
            yield f"{cut['stock']}: bought, although it cannot be"
        cost += bought * exact(boards[cut["stock"]]["price"])
    for stock, count in used.items():
        if count > boards[stock]["on_hand"]:
            yield f"{stock}: {count} taken from stock, where {boards[stock]['on_hand']} are"
    if exact(plan["cost"]) != cost:
        yield f"the cost is {cost}"
    if plan["cost_bound"] > plan["cost"]:
        yield "the bound is above the cost"
    if plan["status"] not in ("optimal", "feasible"):
        yield "there is no such status"


def _same_size(cut: Data, board: Data, *sides: str) -> list[str]:
    return [
        f"{cut['stock']}: the {side} is {board[side]}"
        for side in sides
        if exact(cut[side]) != exact(board[side])
    ]


def _row_fits(lengths: Sequence[Fraction], room: Fraction, kerf: Fraction) -> bool:
    return sum(lengths, Fraction(0)) + kerf * max(len(lengths) - 1, 0) <= room


def _board(
    cut: Data, board: Data, parts: Mapping[tuple[str, str], Data], saw: Data, plan: Data
) -> list[str]:
    found = _same_size(cut, board, "thickness", "width", "length")
    if board["kind"] != "lumber":
        found.append(f"{cut['stock']}: a panel cut as lumber")
    kerf = exact(saw["kerf"])
    usable = exact(board["length"]) - 2 * exact(saw["end_trim"])
    if not _row_fits([exact(blank["length"]) for blank in cut["blanks"]], usable, kerf):
        found.append(f"{cut['stock']}: the blanks are longer than the board")
    for blank in cut["blanks"]:
        found += _section(blank, board, saw)
        for strip in blank["strips"]:
            lengths = [exact(piece["length"]) for piece in strip["pieces"]]
            if not _row_fits(lengths, exact(blank["length"]), kerf):
                found.append(f"{cut['stock']}: the pieces are longer than the blank")
            for piece in strip["pieces"]:
                found += _piece(piece, strip, cut["stock"], parts, plan)
    return found


def _piece(
    piece: Data, strip: Data, stock: str, parts: Mapping[tuple[str, str], Data], plan: Data
) -> list[str]:
    part = parts.get(_key(piece, plan))
    if part is None:
        return []
    found = []
    sizes = (strip["thickness"], strip["width"], piece["length"])
    if [exact(size) for size in sizes] != [
        exact(part[d]) for d in ("thickness", "width", "length")
    ]:
        found.append(f"{piece['part']}: the wrong size")
    if stock not in part["from"]:
        found.append(f"{piece['part']}: not to be cut from {stock}")
    return found


def _strip_box(strip: Data) -> Box:
    x, y = (exact(side) for side in strip["at"])
    thickness, width = exact(strip["thickness"]), exact(strip["width"])
    across, up = (thickness, width) if strip["turned"] else (width, thickness)
    return (x, y, x + across, y + up)


def _section(blank: Data, board: Data, saw: Data) -> list[str]:
    width, thickness = exact(board["width"]), exact(board["thickness"])
    boxes = [_strip_box(strip) for strip in blank["strips"]]
    if boxes == [(Fraction(0), Fraction(0), width, thickness)]:
        return []
    found = []
    squaring, deepest = exact(saw["squaring"]), saw["deepest_cut"]
    limit = None if deepest is None else exact(deepest)
    if exact(blank["length"]) < exact(saw["shortest_rip"]):
        found.append(f"{board['stock']}: a blank too short to rip")
    if limit is not None and squaring and thickness > limit:
        found.append(f"{board['stock']}: squared deeper than the saw cuts")
    region = (squaring, Fraction(0), width - squaring, thickness)
    if not separable(boxes, region, exact(saw["kerf"]), limit):
        found.append(f"{board['stock']}: the strips cannot be ripped so")
    return found


def _panel(
    cut: Data, board: Data, parts: Mapping[tuple[str, str], Data], saw: Data, plan: Data
) -> list[str]:
    found = _same_size(cut, board, "width", "length")
    if board["kind"] != "panel":
        found.append(f"{cut['stock']}: lumber cut as a panel")
    boxes = []
    for piece in cut["pieces"]:
        x, y = (exact(side) for side in piece["at"])
        along, across = exact(piece["length"]), exact(piece["width"])
        boxes.append((x, y, x + along, y + across))
        part = parts.get(_key(piece, plan))
        if part is None:
            continue
        own = (along, across) if not piece["turned"] else (across, along)
        if own != (exact(part["length"]), exact(part["width"])) or exact(
            part["thickness"]
        ) != exact(board["thickness"]):
            found.append(f"{piece['part']}: the wrong size")
        if piece["turned"] and board["grain"] and not part["turn"]:
            found.append(f"{piece['part']}: lies across the grain")
        if cut["stock"] not in part["from"]:
            found.append(f"{piece['part']}: not to be cut from {cut['stock']}")
    region = (Fraction(0), Fraction(0), exact(board["length"]), exact(board["width"]))
    if not separable(boxes, region, exact(saw["kerf"]), None):
        found.append(f"{cut['stock']}: the pieces cannot be cut so")
    return found


def separable(boxes: Sequence[Box], region: Box, kerf: Fraction, deepest: Fraction | None) -> bool:
    """Whether cuts right across free every box from the region, none deeper than `deepest`."""
    everything = tuple(sorted(boxes))
    if any(not _inside(box, region) for box in everything):
        return False

    @cache
    def free(area: Box, held: tuple[Box, ...]) -> bool:
        if not held or held == (area,):
            return True
        for axis in (0, 1):
            depth = area[3 - axis] - area[1 - axis]
            if deepest is not None and depth > deepest:
                continue
            for at in _cuts(area, held, axis, kerf):
                low, high = _split(area, held, axis, (at, at + kerf))
                if len(low[1]) + len(high[1]) == len(held) and free(*low) and free(*high):
                    return True
        return False

    return free(region, everything)


def _inside(box: Box, area: Box) -> bool:
    return area[0] <= box[0] and area[1] <= box[1] and box[2] <= area[2] and box[3] <= area[3]


def _cuts(area: Box, held: Sequence[Box], axis: int, kerf: Fraction) -> list[Fraction]:
    """Where a cut touches a box on one of its sides, strictly within the area."""
    places = {box[axis + 2] for box in held} | {box[axis] - kerf for box in held}
    return sorted(
        at for at in places if area[axis] <= at < area[axis + 2] and (kerf or at != area[axis])
    )


def _split(
    area: Box, held: Sequence[Box], axis: int, cut: tuple[Fraction, Fraction]
) -> tuple[tuple[Box, tuple[Box, ...]], tuple[Box, tuple[Box, ...]]]:
    low, high = list(area), list(area)
    low[axis + 2], high[axis] = cut
    below = tuple(box for box in held if box[axis + 2] <= cut[0])
    above = tuple(box for box in held if box[axis] >= cut[1])
    return ((low[0], low[1], low[2], low[3]), below), ((high[0], high[1], high[2], high[3]), above)
