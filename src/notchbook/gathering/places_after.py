"""Cells by the place that they will have: rows of the files may come in above those typed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from notchbook.gathering.sides import Gathered

_CELL = re.compile(r"[^!]+![A-Z]{1,3}[0-9]+\b")


def name_places_after(gathered: Gathered) -> None:
    """Name each cell in what needs a look as a compile leaves it."""
    after = dict(_moves(gathered))

    def told(text: str) -> str:
        cell = _CELL.match(text)
        now = None if cell is None else after.get(cell[0])
        return text if cell is None or now is None else now + text[cell.end() :]

    definitions = gathered.definitions
    gathered.look = [told(each) for each in gathered.look]
    look = [told(each) for each in definitions.look]
    gathered.definitions = replace(definitions, look=look)


def _moves(gathered: Gathered) -> Iterator[tuple[str, str]]:
    """Where each cell of the old workbook stands whose row moves, and where it comes to stand."""
    if gathered.old is None:
        return
    from notchbook.workbook.read.anchors import address

    for name, origins in gathered.origins.items():
        table = gathered.old.typed.tables.get(name)
        for now, then in enumerate(origins):
            if table is not None and then is not None and then != now:
                for column in table.columns:
                    yield address(table.place(then, column)), address(table.place(now, column))
