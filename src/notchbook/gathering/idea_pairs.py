"""Pairs of ideas, which the files list by what they are and a maker types in any order."""

from __future__ import annotations

from collections.abc import Sequence

from notchbook.merging.cells import Cells, Value
from notchbook.sheets.making.ideas import PAIRS


def placed_as(said: Sequence[Cells], here: Sequence[Cells]) -> list[dict[str, Value]]:
    """Ideas as the files say them, each with its pairs in the places that they have here.

    One that takes other things here keeps the places of the files.
    """
    typed = {row.get("idea"): row for row in here}
    return [{**row, **_pairs(row, typed.get(row.get("idea"), {}))} for row in said]


def _pairs(said: Cells, here: Cells) -> dict[str, Value]:
    def pairs(row: Cells) -> list[tuple[Value, Value]]:
        return sorted(((row.get(a), row.get(b)) for a, b in PAIRS), key=repr)

    if pairs(said) != pairs(here):
        return {}
    return {name: here.get(name) for pair in PAIRS for name in pair}
