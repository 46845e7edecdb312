"""What a new workbook takes over from the old one beside the given cells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from notchbook.workbook.open import OldBook

Formulas = Mapping[str, Mapping[tuple[int, str], str]]
"""By table, row and column: what the maker typed as a formula into a given cell."""


@dataclass
class Keep:
    """The memory for the next compile, the old workbook, and where each row stood in it."""

    stored: dict[str, Any]
    old: OldBook | None = None
    origins: Mapping[str, Sequence[int | None]] = field(default_factory=dict)
    formulas: Formulas = field(default_factory=dict)
    notices: list[str] = field(default_factory=list)
    look: list[str] = field(default_factory=list)
