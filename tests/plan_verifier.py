"""Checks a cutting plan from its JSON alone; shares no code with what made it.

A shop is plain data: `parts`, `boards` and `saw` with the keys of the definitions, their numbers
as fractions or as text, and, if one likes, `usable_offcut` and the `decimals` of its money. All
lengths are put on the shop's own grid, the coarsest that holds every length of the definitions,
and every rule is checked in whole steps of it. Every fault found is a sentence.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from fractions import Fraction

from .verifier.data import (
    SIDES,
    Data,
    Key,
    cuts_of,
    exact,
    grid_of,
    key_of,
    near,
    pieces_of,
    plan_in_steps,
    shop_in_steps,
)
from .verifier.geometry import separable
from .verifier.layouts import board_faults, sheet_faults
from .verifier.offcuts import offcut_faults

__all__ = ["exact", "faults", "grid_of", "separable"]

Units = int | Mapping[str, int]


def faults(plan: Data, shop: Data, units: Units) -> list[str]:
    """Everything that is wrong with the plan for `units` of the shop's parts.

    Where projects are planned together, `units` may name a number for each of them.
    """
    grid = grid_of(shop)
    found: list[str] = []
    plan, shop = plan_in_steps(plan, grid, found), shop_in_steps(shop, grid)
    boards = {board["stock"]: board for board in shop["boards"]}
    parts = {(part["project"], part["part"]): part for part in shop["parts"]}
    unknown = {cut["stock"] for cut in cuts_of(plan)} - boards.keys()
    if unknown:
        return [*found, *(f"{stock}: there is no such stock" for stock in sorted(unknown))]
    for cuts, judge in ((plan["boards"], board_faults), (plan["panels"], sheet_faults)):
        for cut in cuts:
            board = boards[cut["stock"]]
            told = judge(cut, board, parts, shop["saw"], plan)
            found += [f"{cut['stock']}: {fault}" for fault in told]
    found += _counts(plan, parts, units)
    found += _money(plan, shop)
    found += _stock(plan, boards)
    found += _shortage(plan, shop, parts, boards)
    found += offcut_faults(plan, shop, boards)
    return found


def _counts(plan: Data, parts: Mapping[Key, Data], units: Units) -> Iterator[str]:
    """Every piece is made as often as it is wanted, or called short."""
    made: Counter[Key] = Counter()
    for cut in cuts_of(plan):
        for piece in pieces_of(cut):
            made[key_of(piece, plan)] += cut["count"]
        if not pieces_of(cut):
            yield f"{cut['stock']}: cut up for nothing"
    short: Counter[Key] = Counter()
    for entry in plan["short"]:
        short[key_of(entry, plan)] += entry["count"]
    if plan["project"] is not None and plan["units"] != units:
        yield f"a plan for {plan['units']} units, where {units} are wanted"
    for key, part in parts.items():
        wanted = part["make"] * (units if isinstance(units, int) else units[part["project"]])
        if made[key] + short[key] != wanted or short[key] < 0:
            yield f"{key}: {made[key]} made and {short[key]} short of {wanted}"
    for key in (made | short).keys() - parts.keys():
        yield f"{key}: nobody asked for it"


def _money(plan: Data, shop: Data) -> Iterator[str]:
    """The cost is what is bought, to half of the smallest coin, and no less than its bound."""
    coin = Fraction(1, 10 ** shop.get("decimals", 2))
    prices = {board["stock"]: exact(board["price"]) for board in shop["boards"]}
    bought = [(cut["count"] - cut["on_hand"], prices[cut["stock"]]) for cut in cuts_of(plan)]
    cost = sum((count * price for count, price in bought), Fraction(0))
    said = {name: round(Fraction(plan[name]) / coin) * coin for name in ("cost", "cost_bound")}
    for name, amount in said.items():
        if not near(plan[name], amount):
            yield f"{name}: {plan[name]} is no amount of money"
    if abs(said["cost"] - cost) > coin / 2:
        yield f"the cost is {cost}"
    if not 0 <= said["cost_bound"] <= said["cost"]:
        yield "the bound is above the cost, or below nothing"
    if plan["status"] not in ("optimal", "feasible"):
        yield "there is no such status"
    if plan["status"] == "optimal" and said["cost"] != said["cost_bound"]:
        yield "called optimal, although the bound is lower"


def _stock(plan: Data, boards: Mapping[str, Data]) -> Iterator[str]:
    """No more comes from stock than is there, and none is bought while some is left."""
    used, bought = _taken(plan)
    for cut in cuts_of(plan):
        if cut["count"] < 1 or not 0 <= cut["on_hand"] <= cut["count"]:
            yield f"{cut['stock']}: the counts are impossible"
    for stock, board in boards.items():
        if used[stock] > board["on_hand"]:
            yield f"{stock}: {used[stock]} taken from stock, where {board['on_hand']} are"
        if bought[stock] > 0 and not board["buyable"]:
            yield f"{stock}: bought, although it cannot be"
        if bought[stock] > 0 and used[stock] < board["on_hand"]:
            yield f"{stock}: bought, although there are some on hand"


def _taken(plan: Data) -> tuple[Counter[str], Counter[str]]:
    """Boards from stock, and boards bought."""
    used: Counter[str] = Counter()
    bought: Counter[str] = Counter()
    for cut in cuts_of(plan):
        used[cut["stock"]] += cut["on_hand"]
        bought[cut["stock"]] += cut["count"] - cut["on_hand"]
    return used, bought


def _shortage(
    plan: Data, shop: Data, parts: Mapping[Key, Data], boards: Mapping[str, Data]
) -> Iterator[str]:
    """A piece is short only where no board that would yield one is left."""
    used, _ = _taken(plan)
    for entry in plan["short"]:
        part = parts.get(key_of(entry, plan))
        if part is None:
            continue
        for board in (boards[stock] for stock in part["from"]):
            left = board["buyable"] or used[board["stock"]] < board["on_hand"]
            if left and _yields_one(part, board, shop["saw"]):
                yield f"{entry['part']}: short, although {board['stock']} can be had"


def _yields_one(part: Data, board: Data, saw: Data) -> bool:
    """Whether one piece could be cut from a whole board."""
    names = {"part": part["part"], "project": part["project"]}
    parts, plan = {(part["project"], part["part"]): part}, {"project": None}
    trim = saw.get("sheet_trim", 0)
    for turned in (False, True):
        lying = (part["width"], part["length"]) if turned else (part["length"], part["width"])
        sides = dict(zip(("length", "width"), lying, strict=True))
        sheet = [names | sides | {"at": (trim, trim), "turned": turned}]
        strip = {side: part[side] for side in SIDES[:2]}
        strip |= {"turned": turned, "pieces": [names | {"length": part["length"]}]}
        ripped = max(part["length"], saw["shortest_rip"])
        for length, at in ((part["length"], 0), (ripped, saw["squaring"])):
            blanks = [{"length": length, "strips": [strip | {"at": (at, 0)}]}]
            panel = board["kind"] == "panel"
            cut = {**board, "pieces": sheet} if panel else {**board, "blanks": blanks}
            judge = sheet_faults if panel else board_faults
            if not any(judge(cut, board, parts, saw, plan)):
                return True
    return False
