"""How many units come out of one board, in words for the sheets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

from notchbook.planning.from_boards import Number, find_dearest

if TYPE_CHECKING:
    from notchbook.shop.plans import Plans


def say_from_dearest(plans: Plans, project: str) -> str | None:
    """Say it of the stock that a project's batch costs most for; None where no board is cut."""
    numbers = plans.from_one[project]
    stock = find_dearest(plans.jobs[project], plans.cuts[project], numbers)
    return None if stock is None else f"{_say(numbers[stock])} from {stock}"


def add_from_one(takeoff: Iterable[Any], plans: Plans) -> Iterator[dict[str, Any]]:
    """Say it beside each stock of the takeoff that boards are cut of."""
    for row in takeoff:
        number = plans.from_one[row["project"]].get(row["stock"])
        yield {**row, "from_one": None if number is None else _say(number)}


def _say(number: Number) -> str:
    if number.units == number.bound:
        return str(number.units or "none")
    return f"{number.units}, perhaps {number.bound}"
