"""The greatest value of one sheet, by the planner's own patterns of a rectangle."""

from __future__ import annotations

from typing import Any


def sheet_value(line: dict[str, Any], kind: str) -> int | None:
    """What the best pattern of a published sheet is worth; None where not all can be looked at.

    `kind` is the optimum asked for: fixed, turned, unlimited (and fixed), at_most.
    """
    from notchbook.planning.guillotine import Guillotine, Way

    across, up = line["sheet"]
    pieces = [(piece[0], piece[1]) for piece in line["pieces"]]
    values = [int(piece[-1]) for piece in line["pieces"]]
    most = [
        piece[2] if kind == "at_most" else (across // piece[0]) * (up // piece[1])
        for piece in line["pieces"]
    ]
    ways = [Way(n, *piece, turned=False) for n, piece in enumerate(pieces)]
    if kind == "turned":
        ways += [Way(n, *piece[::-1], turned=True) for n, piece in enumerate(pieces)]
        most = [across * up // (one * other) for one, other in pieces]
    rectangle = Guillotine((across, up), ways, most, kerf=0)
    counts, _ = rectangle.patterns()
    best = max(int(value) for value in counts @ values)
    return best if rectangle.complete else None
