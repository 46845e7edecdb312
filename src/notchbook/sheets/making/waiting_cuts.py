"""Cuts that wait for their runs from one year into the next, as a ledger's file holds them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated

from pydantic import Field

from notchbook.language.functions import to_serial
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row
from notchbook.sheets.kit.values import Day, Name, Number, Text
from notchbook.sheets.kit.written import Reads, Written
from notchbook.sheets.making.stock_used import KeptCut

_Offcuts = Annotated[str, Field(max_length=30_000), show.LABEL, Reads.TEXT]


class WaitingCutRow(Row):
    """What a cut took of one stock that was kept, and whose run is not logged yet."""

    written = (Written("waiting_cuts.csv"),)
    cut: Annotated[
        Text, Given("its name, as on Offcuts", look=show.LABEL, example="6 herb rail, 2026-12-30")
    ]
    date: Annotated[Day, Given("the day it was cut; of a year before: this year's first")]
    project: Annotated[Name, Given("what was cut for", refers="Projects.project")]
    cut_for: Annotated[
        Number, Given("pieces that it was planned for", look=show.COUNT, example="6")
    ]
    stock: Annotated[Name, Given("a board or sheet", refers="Stock.stock")]
    boards: Annotated[
        Number, Given("how many were cut into; 0: offcuts alone", look=show.AMOUNT, example="2")
    ]
    offcuts: Annotated[
        _Offcuts | None,
        Given(
            "offcuts that it used in place of boards",
            example="1 offcut 3/4 x 5 1/2 x 41",
        ),
    ] = None


def build_cuts(rows: Iterable[WaitingCutRow]) -> list[KeptCut]:
    """Build the cuts that rows tell of; the first row of a project tells its day and pieces."""
    found: dict[tuple[str, str], list[WaitingCutRow]] = {}
    for row in rows:
        found.setdefault((row.cut, row.project), []).append(row)
    return [
        KeptCut(
            name,
            project,
            to_serial(its[0].date),
            its[0].cut_for,
            {row.stock: row.boards for row in its},
            {row.stock: row.offcuts for row in its if row.offcuts},
        )
        for (name, project), its in found.items()
    ]
