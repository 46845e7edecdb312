"""Counts: what was counted on the shelf at the start and the end of the year."""

from __future__ import annotations

from typing import Annotated

from notchbook.language.expressions import blank, call, look_up, this, when
from notchbook.sheets.declare import (
    AMOUNT,
    DATE,
    MONEY,
    NAME,
    WORD,
    Given,
    Row,
    Sheet,
    computed,
    table,
)
from notchbook.sheets.settings import YEAR_END, YEAR_START
from notchbook.sheets.values import Day, Money, Name, Number


class CountRow(Row):
    """One count of a stock or of a finished project."""

    date: Annotated[Day, Given("date", DATE, "first day: opening; last day: closing")]
    stock: Annotated[Name | None, Given("stock", NAME, "the stock counted", "Stock.stock")] = None
    project: Annotated[
        Name | None, Given("project", NAME, "or the finished project counted", "Projects.project")
    ] = None
    quantity: Annotated[Number, Given("quantity", AMOUNT, "how many, or how much")]
    value: Annotated[Money, Given("value", MONEY, "what it cost to buy: materials, not labor")]


_CLOSING = this("date") >= YEAR_END

TABLE = table(
    "Counts",
    CountRow,
    computed(
        "count",
        "count",
        WORD,
        when(this("date") <= YEAR_START, "opening", when(_CLOSING, "closing", "between")),
    ),
    computed(
        "expected",
        "expected",
        AMOUNT,
        when(
            call("AND", _CLOSING, call("NOT", blank(this("project")))),
            look_up("Projects", "finished", project=this("project")),
            this("quantity"),
        ),
        "For finished projects at the close: opening + made − spoiled − sold.",
    ),
    computed("difference", "difference", AMOUNT, this("quantity") - this("expected")),
    silent="date",
    spare=100,
    capacity=10_000,
)
SHEET = Sheet(
    "Counts",
    "Count the shelf on the first and the last day of the year.",
    (TABLE,),
    group="ledger",
    takes_rows=True,
    landscape=False,
)
