"""What a new workbook takes over from the old one beside the given cells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from notchbook.workbook.layout import Layout
from notchbook.workbook.open import OldBook

Formulas = Mapping[str, Mapping[tuple[int, str], str]]
"""By table, row and column: what the maker typed as a formula into a given cell."""


Areas = list[list[int]]


@dataclass
class Keep:
    """The memory for the next compile, the old workbook, and where each row stood in it."""

    stored: dict[str, Any]
    old: OldBook | None = None
    origins: Mapping[str, Sequence[int | None]] = field(default_factory=dict)
    formulas: Formulas = field(default_factory=dict)
    new_names: Mapping[str, str] = field(default_factory=dict)  # of shop sheets, by the old ones
    notices: list[str] = field(default_factory=list)
    look: list[str] = field(default_factory=list)


def remember(keep: Keep, layout: Layout) -> None:
    """Notes for the next compile what our sheets are called, and where they have no anchors."""
    keep.stored["sheets"] = [name for name, _ in layout.sheets]
    keep.stored["areas"] = split_areas(layout)


def split_areas(layout: Layout) -> dict[str, Areas]:
    """By sheet, the corners (top, left, bottom, right) of tables that have no anchors."""
    areas: dict[str, Areas] = {}
    for spot in layout.split:
        corners = [spot.head_row, spot.first_column, spot.last_row, len(spot.columns)]
        areas.setdefault(spot.sheet, []).append(corners)
    return areas
