"""Labels for the pieces, to cut apart: one a row."""

from __future__ import annotations

from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import planned
from notchbook.sheets.kit.declare import Sheet, table

TABLE = table(
    "Labels",
    None,
    planned("project", show.NAME, "what it becomes"),
    planned("part", show.NAME, "what it is"),
    planned("size", show.NAME, "as it is cut: thickness x width x length"),
    planned("piece", show.WORD, "which of how many"),
    planned("next", show.NAME, "where it goes from the saw", header="where next"),
)
SHEET = Sheet(
    "Labels",
    "One label a piece: cut the rows apart and tape each to its piece. Strips of a laid surface"
    " share one.",
    (TABLE,),
    group="output",
    landscape=False,
)
