"""Ideas with the best first."""

from __future__ import annotations

from typing import Any

from notchbook.sheets.kit.calculate import Filled, Target
from notchbook.sheets.start import BEST_IDEAS

_NOT_WORTH_IT = ("leave it", "no price seen")


def rank_ideas(filled: Filled) -> list[dict[str, Any]]:
    """Rank the rows of Ideas: by what an hour earns, then by the minutes that one may take."""
    rows: list[dict[str, Any]] = filled.tables["Ideas"].to_dict("records")

    def rank(row: dict[str, Any]) -> tuple[bool, float, bool, float]:
        guessed = row["batch_minutes"] > 0 and row["seen"] > 0
        earned = row["per_hour"] if guessed else 0.0
        return not guessed, -earned, row["seen"] == 0, -row["minutes_allowed"]

    return sorted(rows, key=rank)


def fill_best_ideas(filled: Filled) -> None:
    """Name the best ideas on Start with their verdicts, those that are worth nothing left out."""
    worth_it = [row for row in rank_ideas(filled) if row["verdict"] not in _NOT_WORTH_IT]
    rows = filled.tables["Ideas"]["idea"].tolist()
    for name, row in zip(BEST_IDEAS, worth_it, strict=False):
        filled.lines["Start", name] = f"{row['idea']}: {row['verdict']}"
        filled.links["Start", name] = Target("Ideas", "verdict", rows.index(row["idea"]))
