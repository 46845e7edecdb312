"""The planted job: pieces become parts, and the plan that cut them is proved by volume."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import count
from random import Random

from ..plain_shops import PROJECT, Json, Shop
from .cuts import Lengths

LEAST_USED, MOST_USED = 0.80, 0.90
LEAST_PARTS = 3
PRICE = "4.00"
Size = tuple[int, ...]  # what makes pieces one part, in steps


@dataclass(frozen=True, slots=True)
class Planted:
    """The pieces as a shop, the plan that cut them, the share of the boards' volume they use."""

    name: str
    shop: Shop
    plan: Json
    boards: int
    used: float


class Names:
    """Names for the sizes of pieces, and how many of each there are."""

    def __init__(self) -> None:
        self.made: Counter[Size] = Counter()

    def take(self, size: Size) -> str:
        """One more piece of the size."""
        self.made[size] += 1
        return f"p{list(self.made).index(size) + 1}"

    def parts(self) -> Iterator[tuple[str, int, Size]]:
        """Name, how many, size."""
        for n, (size, often) in enumerate(self.made.items(), start=1):
            yield f"p{n}", often, size


def first_planted(name: str, attempt: Callable[[Random], Planted | None]) -> Planted:
    """The first attempt that comes to something; equal names give equal attempts."""
    tries = (attempt(Random(f"{name}/{n}")) for n in count())
    return next(planted for planted in tries if planted)


def shortened(rng: Random, lengths: Lengths, room: int, least: int) -> float | None:
    """Shorten the pieces to a share of the room drawn at random; None where it is out of reach."""
    if lengths.volume < LEAST_USED * room:
        return None
    lengths.shorten(rng, rng.uniform(LEAST_USED, MOST_USED) * room, least)
    used = lengths.volume / room
    return used if LEAST_USED <= used <= MOST_USED else None


def proved_plan(boards: int) -> Json:
    """A plan for the pieces of so many boards, before its cuts are written down."""
    cost = boards * float(PRICE)
    proved = {"project": PROJECT, "units": 1, "status": "optimal", "cost": cost, "cost_bound": cost}
    return proved | {"boards": [], "panels": [], "offcuts": [], "short": []}
