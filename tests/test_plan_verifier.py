"""The verifier finds every fault planted in a sound plan, and no fault where there is none."""

from collections.abc import Callable
from copy import deepcopy
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from .plain_shops import SAW, board, panel, part, shop_of
from .plan_verifier import exact, faults, grid_of, separable
from .verifier.geometry import Box
from .verifier.offcuts import Room

SHOP = shop_of(
    [
        part("slat", 3, ("3/8", 1, "45/2"), "spruce"),
        part("peg", 2, ("3/8", 1, 10), "spruce"),
        part("post", 1, ("3/2", "7/2", 20), "spruce"),
        part("back", 1, ("1/4", 10, 20), "ply"),
        part("top", 1, ("7/8", 5, 50), "barn"),
    ],
    [
        board("spruce", ("3/2", "7/2", 96), "4.15", on_hand=1),
        panel("ply", ("1/4", 24, 48), "11.80", grain=True),
        board("barn", ("7/8", "11/2", 60), 0, buyable=False, on_hand=1),
    ],
)


def strip(part: str, at: tuple[float, float], *lengths: float) -> dict[str, Any]:
    """A strip of 3/8 x 1."""
    pieces = [{"part": part, "length": length} for length in lengths]
    return {"thickness": 0.375, "width": 1, "at": list(at), "turned": False, "pieces": pieces}


def sound() -> dict[str, Any]:
    """Two units, laid out by hand.

    A spruce board leaves 96 - 2/4 = 95 1/2: 20 + 20 + 22 1/2 and three kerfs leave 32 5/8. Of
    3 1/2 x 1 1/2 squaring leaves 3 1/4: 1 + 1/8 + 1 + 1/8 + 1 across, 3/8 + 1/8 + 3/8 + 1/8 + 3/8
    up. One barn board is there and two tops are wanted.
    """
    post = {"thickness": 1.5, "width": 3.5, "at": [0, 0], "turned": False}
    posts = {"length": 20, "strips": [post | {"pieces": [{"part": "post", "length": 20}]}]}
    slats = [strip("slat", (x, y), 22.5) for x in (0.125, 1.25) for y in (0, 0.5, 1)]
    pegs = [strip("peg", (2.375, y), 10, 10) for y in (0, 0.5)]
    top = {"thickness": 0.875, "width": 5, "at": [0.125, 0], "turned": False}
    tops = [{"length": 50, "strips": [top | {"pieces": [{"part": "top", "length": 50}]}]}]
    backs = [
        {"part": "back", "at": [x, 0], "length": 20, "width": 10, "turned": False}
        for x in (0, 20.125)
    ]
    return {
        "project": "rail", "units": 2, "status": "optimal", "cost": 11.8, "cost_bound": 11.8,
        "boards": [
            {"stock": "spruce", "count": 1, "on_hand": 1, "length": 96, "thickness": 1.5,
             "width": 3.5, "blanks": [posts, deepcopy(posts), {"length": 22.5,
                                                               "strips": slats + pegs}]},
            {"stock": "barn", "count": 1, "on_hand": 1, "length": 60, "thickness": 0.875,
             "width": 5.5, "blanks": tops},
        ],
        "panels": [{"stock": "ply", "count": 1, "on_hand": 0, "length": 48, "width": 24,
                    "pieces": backs}],
        "offcuts": [
            {"stock": "spruce", "thickness": 1.5, "width": 3.5, "length": 32.625, "count": 1},
            {"stock": "spruce", "thickness": 0.5, "width": 1, "length": 22.5, "count": 1},
            {"stock": "ply", "thickness": 0.25, "width": 13.875, "length": 48, "count": 1},
        ],
        "short": [{"part": "top", "count": 1}],
    }  # fmt: skip


def spruce(plan: Any) -> Any:
    return plan["boards"][0]


def blank(plan: Any) -> Any:
    """The ripped blank of the spruce board."""
    return spruce(plan)["blanks"][2]


def ripped(plan: Any, number: int) -> Any:
    """A strip of that blank."""
    return blank(plan)["strips"][number]


def back(plan: Any, number: int = 1) -> Any:
    return plan["panels"][0]["pieces"][number]


def without_a_top(plan: Any) -> None:
    """Call the second top short too, and leave the barn board where it is."""
    plan["boards"].pop()
    plan["short"][0]["count"] = 2


def boards_instead(plan: Any, **counts: int) -> None:
    """Cut twice as much, or from elsewhere, and pay for it."""
    spruce(plan).update(counts)
    bought = spruce(plan)["count"] - spruce(plan)["on_hand"]
    plan.update(cost=11.8 + 4.15 * bought, cost_bound=11.8 + 4.15 * bought)


PLANTED: dict[str, tuple[Callable[[Any], Any], str]] = {
    "a piece lost": (lambda p: ripped(p, 7)["pieces"].pop(), "3 made"),
    "a piece too many": (
        lambda p: blank(p)["strips"].append(strip("peg", (2.375, 1), 10)),
        "5 made",
    ),
    "a strip too full": (
        lambda p: ripped(p, 7)["pieces"].append({"part": "peg", "length": 10}),
        "longer than the blank",
    ),
    "a piece nobody wants": (
        lambda p: ripped(p, 7)["pieces"][0].update(part="pin"),
        "nobody asked",
    ),
    "a wrong length": (lambda p: ripped(p, 0)["pieces"][0].update(length=22), "wrong size"),
    "a wrong width": (lambda p: ripped(p, 0).update(width=0.875), "wrong size"),
    "a strip turned in words only": (lambda p: ripped(p, 0).update(turned=True), "ripped so"),
    "two strips in one place": (lambda p: ripped(p, 1).update(at=[0.125, 0]), "ripped so"),
    "no room for the kerf": (lambda p: ripped(p, 1).update(at=[0.125, 0.375]), "ripped so"),
    "an edge not squared": (lambda p: ripped(p, 0).update(at=[0, 0]), "ripped so"),
    "a strip above the board": (lambda p: ripped(p, 2).update(at=[0.125, 1.25]), "ripped so"),
    "a blank longer than the board": (
        lambda p: blank(p).update(length=55.5),
        "longer than the board",
    ),
    "a blank too short to rip": (lambda p: blank(p).update(length=11), "too short to rip"),
    "a length off the grid": (
        lambda p: blank(p).update(length=22.5000001),
        "whole number of steps",
    ),
    "a length that is none": (lambda p: blank(p).update(length=float("nan")), "no length"),
    "an empty blank of no length": (
        lambda p: spruce(p)["blanks"].append({"length": 0, "strips": []}),
        "longer than the board",
    ),
    "another stock": (lambda p: spruce(p).update(stock="barn"), "not to be cut from it"),
    "a stock that is not listed": (
        lambda p: p["boards"].append({**p["boards"][1], "stock": "ply"}),
        "not to be cut from it",
    ),
    "an unknown stock": (lambda p: spruce(p).update(stock="oak"), "no such stock"),
    "a longer board": (lambda p: spruce(p).update(length=97), "the length is another"),
    "a wider sheet": (lambda p: p["panels"][0].update(width=25), "the width is another"),
    "lumber as a panel": (
        lambda p: p["panels"][0].update(stock="spruce"),
        "lumber cut as a panel",
    ),
    "a panel as lumber": (lambda p: spruce(p).update(stock="ply"), "a panel cut as lumber"),
    "more on hand than there is": (
        lambda p: p["panels"][0].update(on_hand=1),
        "1 taken from stock, where 0 are",
    ),
    "bought while one is on hand": (
        lambda p: boards_instead(p, on_hand=0),
        "although there are some on hand",
    ),
    "a reclaimed board bought": (
        lambda p: p["boards"][1].update(on_hand=0),
        "bought, although it cannot be",
    ),
    "more on hand than cut": (lambda p: spruce(p).update(on_hand=2), "counts are impossible"),
    "a board cut twice": (lambda p: boards_instead(p, count=2), "4 made"),
    "a board cut for nothing": (
        lambda p: p["boards"].append({**p["boards"][1], "blanks": []}),
        "for nothing",
    ),
    "a lower cost": (lambda p: p.update(cost=10.8, cost_bound=10.8), "the cost is"),
    "a cost of no money": (lambda p: p.update(cost=11.801), "no amount of money"),
    "a bound above the cost": (lambda p: p.update(cost_bound=12.8), "above the cost"),
    "a bound below nothing": (
        lambda p: p.update(cost_bound=-1, status="feasible"),
        "below nothing",
    ),
    "called optimal above the bound": (lambda p: p.update(cost_bound=11.79), "called optimal"),
    "an unknown status": (lambda p: p.update(status="perfect"), "no such status"),
    "another batch": (lambda p: p.update(units=3), "3 units"),
    "another project": (lambda p: p.update(project="shelf"), "nobody asked"),
    "a piece across the grain": (
        lambda p: back(p).update(length=10, width=20, turned=True),
        "across the grain",
    ),
    "a piece turned in words only": (lambda p: back(p).update(turned=True), "wrong size"),
    "pieces on top of each other": (lambda p: back(p).update(at=[10, 0]), "cut so"),
    "sheet pieces without a kerf": (lambda p: back(p).update(at=[20, 0]), "cut so"),
    "a piece off the sheet": (lambda p: back(p).update(at=[40, 0]), "cut so"),
    "short, where stock can be bought": (
        lambda p: (p["panels"][0]["pieces"].pop(), p["short"].append({"part": "back", "count": 1})),
        "ply can be had",
    ),
    "short, while a board is left": (without_a_top, "barn can be had"),
    "more short than wanted": (lambda p: p["short"][0].update(count=2), "2 short"),
    "an offcut too long": (lambda p: p["offcuts"][0].update(length=32.75), "not left over"),
    "an offcut too wide": (lambda p: p["offcuts"][2].update(width=14), "not left over"),
    "an offcut too thick": (lambda p: p["offcuts"][1].update(thickness=0.625), "not left over"),
    "an offcut twice": (lambda p: p["offcuts"][0].update(count=2), "not left over"),
    "an offcut of none": (lambda p: p["offcuts"][0].update(count=0), "offcut that is none"),
    "an offcut of no stock": (lambda p: p["offcuts"][0].update(stock="oak"), "no stock"),
    "an offcut of scrap": (lambda p: p["offcuts"][1].update(length=11), "too small to use"),
    "one offcut in two sizes": (
        lambda p: p["offcuts"].append({**p["offcuts"][2], "length": 47, "width": 13}),
        "not left over",
    ),
    "one offcut cut two ways": (
        lambda p: p["offcuts"].append({**p["offcuts"][2], "length": 7.75, "width": 24}),
        "more offcuts than is left",
    ),
}


def test_a_sound_plan_has_no_faults() -> None:
    """The plan laid out by hand passes."""
    assert faults(sound(), SHOP, 2) == []


@pytest.mark.parametrize(
    ("saw", "words"),
    [({"longest_rip": 22}, "too long to rip"), ({"sheet_trim": "1/4"}, "cannot be cut so")],
)
def test_a_saw_that_can_do_less(saw: dict[str, Any], words: str) -> None:
    """Blanks of 22 1/2 are ripped; the first back lies at the very corner of the sheet."""
    shop = {**SHOP, "saw": SHOP["saw"] | saw}

    assert words in "\n".join(faults(sound(), shop, 2))


@pytest.mark.parametrize("name", PLANTED)
def test_each_planted_fault_is_found(name: str) -> None:
    """Among the faults found is the one that was planted, told in its own words."""
    spoil, words = PLANTED[name]
    plan = sound()
    spoil(plan)
    assert words in "\n".join(faults(plan, SHOP, 2))


@pytest.mark.parametrize(
    ("deepest", "words"),
    [("3/2", ""), ("11/8", "squared deeper"), (1, "ripped so")],
)
def test_no_rip_is_deeper_than_the_saw_cuts(deepest: object, words: str) -> None:
    """Ripping 3 1/2 into columns goes through 1 1/2 of wood, and so does squaring it."""
    shop = SHOP | {"saw": SAW | {"deepest_cut": deepest}}
    found = faults(sound(), shop, 2)
    assert found == [] if not words else words in "\n".join(found)


def test_a_blank_may_be_longer_than_its_pieces() -> None:
    """What the offcut at the board's end loses, the blank gains."""
    plan = sound()
    blank(plan)["length"] = 23.5
    plan["offcuts"][0]["length"] = 31.625
    assert faults(plan, SHOP, 2) == []


def test_floats_stand_for_steps_of_the_shop() -> None:
    """1/3 + 0.0001 and its neighbours are told apart, and arithmetic with floats is forgiven."""
    length = Fraction(1, 3) + Fraction("0.0001")
    shop = shop_of([part("pin", 1, ("3/2", "7/2", length), "spruce")], [SHOP["boards"][0]])
    assert grid_of(shop) == 30_000
    plan = sound() | {"cost": 0, "cost_bound": 0, "panels": [], "offcuts": [], "short": []}
    piece = {"part": "pin", "length": float(length)}
    whole = {"thickness": 1.5, "width": 3.5, "at": [0, 0], "turned": False, "pieces": [piece]}
    plan["boards"] = [spruce(plan) | {"blanks": [{"length": 0.1 + 0.2 + 0.7, "strips": [whole]}]}]
    assert faults(plan | {"units": 1}, shop, 1) == []
    piece["length"] = float(round(length, 5))
    assert "whole number of steps" in faults(plan | {"units": 1}, shop, 1)[0]
    piece["length"] = float(length + Fraction(1, grid_of(shop)))
    assert faults(plan | {"units": 1}, shop, 1) == ["spruce: pin has the wrong size"]
    assert exact("0.1") == exact(0.1) == Fraction(1, 10)


def test_projects_planned_together_have_batches_of_their_own() -> None:
    """Each piece says whose it is; a piece of the other project does not count."""
    parts = [
        part("post", 1, ("3/2", "7/2", 20), "spruce"),
        part("post", 1, ("3/2", "7/2", 20), "spruce", project="shelf"),
    ]
    shop = shop_of(parts, [SHOP["boards"][0]])
    whole = {"thickness": 1.5, "width": 3.5, "at": [0, 0], "turned": False}
    blanks = [
        {"length": 20, "strips": [whole | {"pieces": [
            {"part": "post", "project": project, "length": 20}]}]}
        for project in ("rail", "shelf", "shelf")
    ]  # fmt: skip
    plan = sound() | {"project": None, "cost": 0, "cost_bound": 0, "panels": [], "short": []}
    plan |= {"boards": [spruce(plan) | {"blanks": blanks}], "offcuts": []}
    assert faults(plan, shop, {"rail": 1, "shelf": 2}) == []
    assert len(faults(plan, shop, {"rail": 2, "shelf": 1})) == 2
    assert len(faults(plan, shop, 1)) == 1


def test_pinwheels_are_never_cut_right_across() -> None:
    """Four boxes around a middle one; any of them left away, the others come apart."""
    pinwheel: list[Box] = [(0, 0, 2, 1), (2, 0, 3, 2), (1, 2, 3, 3), (0, 1, 1, 3), (1, 1, 2, 2)]
    assert not separable(pinwheel, (0, 0, 3, 3), 0)
    for left_out in range(4):
        rest = [box for n, box in enumerate(pinwheel) if n != left_out]
        assert separable(rest, (0, 0, 3, 3), 0)


@st.composite
def laid_boxes(draw: st.DrawFn) -> list[Box]:
    """A few boxes on a square of 5, overlapping or not."""
    boxes: list[Box] = []
    for _ in range(draw(st.integers(1, 4))):
        x, y = draw(st.integers(0, 4)), draw(st.integers(0, 4))
        across, up = draw(st.integers(1, 3)), draw(st.integers(1, 3))
        boxes.append((x, y, x + across, y + up))
    return boxes


@given(laid_boxes(), st.integers(0, 2), st.sampled_from([None, 2, 3, 5]))
def test_the_order_of_cuts_does_not_matter(
    boxes: list[Box], kerf: int, deepest: int | None
) -> None:
    """Taking the first cut that crosses nothing finds what trying every cut everywhere finds."""
    assert separable(boxes, (0, 0, 5, 5), kerf, deepest) == _by_trial(
        boxes, (0, 0, 5, 5), kerf, deepest
    )


def _by_trial(boxes: list[Box], area: Box, kerf: int, deepest: int | None) -> bool:
    """Every cut at every whole step, in every order."""
    if any(box[n] < area[n] or box[n + 2] > area[n + 2] for box in boxes for n in (0, 1)):
        return False
    if boxes in ([], [area]):
        return True
    for axis in (0, 1):
        if deepest is not None and area[3 - axis] - area[1 - axis] > deepest:
            continue
        for at in range(int(area[axis]) - kerf + 1, int(area[axis + 2])):
            if kerf == 0 and at == area[axis]:
                continue
            low, high = list(area), list(area)
            low[axis + 2], high[axis] = at, at + kerf
            below = [box for box in boxes if box[axis + 2] <= at]
            above = [box for box in boxes if box[axis] >= at + kerf]
            if len(below) + len(above) < len(boxes):
                continue
            if _by_trial(below, _box(low), kerf, deepest) and _by_trial(
                above, _box(high), kerf, deepest
            ):
                return True
    return False


def _box(sides: list[Any]) -> Box:
    return (sides[0], sides[1], sides[2], sides[3])


@pytest.mark.parametrize("turned", [False, True])
def test_rests_join_where_strips_come_off_at_the_fence(turned: bool) -> None:
    """Strips of 12 at 0 and 23 of a column of 48, kerf 3: 48 - 2 x 15 is left at one side, more is
    not; so it is across the section and through its thickness."""
    boxes: list[Box] = [(0, 0, 20, 12), (0, 23, 20, 35)]
    region = (0, 0, 20, 48)
    if turned:
        boxes = [(y, x, far_y, far_x) for x, y, far_x, far_y in boxes]
        region = (0, 0, 48, 20)
    room = Room(1, 100, region, boxes, None, sheet=False)
    assert room.holds({"thickness": 18, "width": 20, "length": 100}, kerf=3)
    assert not room.holds({"thickness": 19, "width": 20, "length": 100}, kerf=3)
    assert not room.holds({"thickness": 18, "width": 20, "length": 101}, kerf=3)
