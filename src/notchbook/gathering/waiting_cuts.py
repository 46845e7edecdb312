"""Cuts that wait for their runs, as the files of a shop without a workbook hold them."""

from __future__ import annotations

from collections.abc import Iterator

from notchbook.base.problems import nearest, quoted
from notchbook.definitions import Stated
from notchbook.definitions.reading.rows import Candidate, checked
from notchbook.sheets.making.stock_used import KeptCut
from notchbook.sheets.making.waiting_cuts import WaitingCutRow, build_cuts

_NAMED = {"project": "Projects", "stock": "Stock"}


def read_waiting_cuts(stated: Stated) -> list[KeptCut]:
    """Read the cuts that wait; what is wrong with a row is added to the problems."""
    rows = (_read(stated, each) for each in stated.waiting)
    return build_cuts(row for row in rows if row is not None)


def _read(stated: Stated, candidate: Candidate) -> WaitingCutRow | None:
    def report(column: str, what: str) -> None:
        if column not in candidate.unread:
            told = f"{candidate.label(column)}: {what}"
            stated.problems.add(*candidate.where(column), told)

    for column, what in _list_unknown(stated, candidate):
        report(column, what)
    return checked(WaitingCutRow, candidate.values, report)


def _list_unknown(stated: Stated, candidate: Candidate) -> Iterator[tuple[str, str]]:
    for column, table in _NAMED.items():
        known = [str(row.values.get(column, "")) for row in stated.rows[table]]
        word = candidate.values.get(column)
        if word is not None and word not in known and table not in stated.open:
            near = nearest(str(word), known)
            yield column, f"there is no {column} {quoted(str(word))}{near}; write one that is there"
