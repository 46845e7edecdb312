"""The greatest value of one sheet, by the planner's own ways to cut a rectangle."""

from __future__ import annotations

from typing import Any

MOST_POINTS = 160_000  # of a sheet, where every piece may be had as often as wanted
EFFORT = 3_000_000  # sets of pieces put together, where a piece may be had so often only


def sheet_value(line: dict[str, Any], kind: str) -> int | None:
    """What the best pattern of a published sheet is worth; None where not all can be looked at.

    `kind` is the optimum asked for: fixed, turned, unlimited (and fixed), at_most.
    """
    from notchbook.planning.search.guillotine import Guillotine, Way
    from notchbook.planning.search.unlimited import ValueTable

    across, up = line["sheet"]
    pieces = [(piece[0], piece[1]) for piece in line["pieces"]]
    values = [int(piece[-1]) for piece in line["pieces"]]
    ways = [Way(n, *piece, turned=False) for n, piece in enumerate(pieces)]
    if kind == "turned":
        ways += [Way(n, *piece[::-1], turned=True) for n, piece in enumerate(pieces)]
    if kind == "at_most":
        most = [piece[2] for piece in line["pieces"]]
        rectangle = Guillotine((across, up), ways, most, kerf=0, effort=EFFORT, give_up=True)
        counts, _ = rectangle.patterns()
        return max(int(value) for value in counts @ values) if rectangle.complete else None
    most = [across * up // (one * other) for one, other in pieces]
    table = ValueTable(Guillotine((across, up), ways, most, kerf=0))
    if table.points > MOST_POINTS:
        return None
    table.fill(values)
    return int(table.worth)
