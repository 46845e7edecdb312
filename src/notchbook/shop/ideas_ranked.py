"""Ideas with the best first."""

from __future__ import annotations

from itertools import zip_longest
from typing import TYPE_CHECKING, Any

from notchbook.sheets.kit.calculate import Filled, calculate
from notchbook.sheets.start import BEST_IDEAS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from notchbook.sheets.kit.declare import Book

_NOT_WORTH_IT = ("leave it", "no price seen")


def rank_ideas(filled: Filled) -> list[dict[str, Any]]:
    """Rank the rows of Ideas: by what an hour earns, then by the minutes that one may take."""
    rows: list[dict[str, Any]] = filled.tables["Ideas"].to_dict("records")

    def rank(row: dict[str, Any]) -> tuple[bool, float, bool, float]:
        guessed = row["batch_minutes"] > 0 and row["seen"] > 0
        earned = row["per_hour"] if guessed else 0.0
        return not guessed, -earned, row["seen"] == 0, -row["minutes_allowed"]

    return sorted(rows, key=rank)


def fill_best_ideas(book: Book, filled: Filled, units: Mapping[str, int]) -> None:
    """Name the best ideas on Start, those that are worth nothing left out."""
    worth_it = [row["idea"] for row in rank_ideas(filled) if row["verdict"] not in _NOT_WORTH_IT]
    for name, idea in zip_longest(BEST_IDEAS, worth_it[: len(BEST_IDEAS)], fillvalue=""):
        filled.lines["Start", name] = idea
    calculate(book, filled, units, only=["Start"])
