"""What a new workbook takes over from the old one beside the given cells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from notchbook.workbook.carry.formula_moves import Moves
from notchbook.workbook.layout.layout import BookLayout
from notchbook.workbook.memory.edits import WrittenBook
from notchbook.workbook.read.old_book import OldBook

Formulas = Mapping[str, Mapping[tuple[int, str], str]]
"""By table, row and column: what the maker typed as a formula into a given cell."""


@dataclass
class CarryOver:
    """The old workbook, where each row stood in it, and what the next compile must know.

    `files` is the files' side of the merge, `new_names` are those of shop sheets by the old ones,
    `plans` is packed; `notices` and `look` fill up with what there is to tell, and what comes after
    them with what the last look at the new workbook must know.
    """

    files: Mapping[str, Any]
    old: OldBook | None = None
    origins: Mapping[str, Sequence[int | None]] = field(default_factory=dict)
    formulas: Formulas = field(default_factory=dict)
    new_names: Mapping[str, str] = field(default_factory=dict)
    plans: str = ""
    notices: list[str] = field(default_factory=list)
    look: list[str] = field(default_factory=list)
    layout: BookLayout | None = None  # of the new workbook, once it is written
    written: WrittenBook | None = None  # the old one beside the copy of it
    moves: Moves = field(default_factory=Moves)
