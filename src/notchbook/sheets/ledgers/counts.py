"""Counts: what was counted on the shelf at the start and the end of the year."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language.expressions import (
    Where,
    blank,
    call,
    known,
    text_in,
    this,
    when,
    where,
)
from notchbook.sheets.kit.declare import (
    AMOUNT,
    DATE,
    MONEY,
    NAME,
    RATE,
    WORD,
    Given,
    Row,
    Sheet,
    computed,
    table,
)
from notchbook.sheets.kit.settings import YEAR_END, YEAR_START
from notchbook.sheets.kit.values import Day, Money, Name, Number

STAGES = ("raw", "in work", "finished")


class CountRow(Row):
    """One count of a stock or of a finished project."""

    date: Annotated[Day, Given("date", DATE, "first day: opening; last day: closing")]
    stock: Annotated[Name | None, Given("stock", NAME, "the stock counted", "Stock.stock")] = None
    project: Annotated[
        Name | None, Given("project", NAME, "or the finished project counted", "Projects.project")
    ] = None
    stage: Annotated[
        Literal["raw", "in work", "finished"] | None,
        Given(
            "stage",
            WORD,
            "in work: cut or begun, not yet on Production log; blank: a stock is raw, a project"
            " finished",
            STAGES,
            strict=True,
        ),
    ] = None
    quantity: Annotated[Number, Given("quantity", AMOUNT, "how many, or how much")]
    value: Annotated[Money, Given("value", MONEY, "what it cost to buy: materials, not labor")]


COUNTED = {
    "opening": (where("date", ">=", YEAR_START - 1), where("date", "<=", YEAR_START)),
    "closing": (where("date", ">=", YEAR_END), where("date", "<=", YEAR_END + 1)),
}
"""When a count is the year's opening or closing one: on the day, or on its neighbour."""

BEGUN = where("stage", "=", "in work")
_NOT_BEGUN = where("stage", "<>", "in work")
STAGE: dict[str, tuple[Where, ...]] = {
    "raw": (where("stock", "<>", ""), _NOT_BEGUN),
    "in work": (BEGUN,),
    "finished": (where("project", "<>", ""), _NOT_BEGUN),
}
"""Which counts are raw stock, in work, and finished: together all, each row once."""

_DATE = this("date")
_NO_STOCK = blank(this("stock"))
_NO_PROJECT = blank(this("project"))

_OF_BOTH = call("AND", call("NOT", _NO_STOCK), call("NOT", _NO_PROJECT))
_WRONG_STAGE = call(
    "OR",
    call("AND", this("stage").equals("finished"), _NO_PROJECT),
    call("AND", this("stage").equals("raw"), _NO_STOCK),
)

TABLE = table(
    "Counts",
    CountRow,
    computed(
        "count",
        "count",
        WORD,
        when(
            call("AND", _DATE >= YEAR_START - 1, _DATE <= YEAR_START),
            "opening",
            when(call("AND", _DATE >= YEAR_END, _DATE <= YEAR_END + 1), "closing", "between"),
        ),
        "Only opening and closing counts enter the year; others are for your own use.",
    ),
    computed(
        "state",
        "state",
        WORD,
        when(
            text_in("quantity", "value"),
            "no number",
            when(
                call("NOT", known("stock", "Stock", stock=this("stock"))),
                "no stock",
                when(
                    call("NOT", known("project", "Projects", project=this("project"))),
                    "no project",
                    when(
                        call("OR", call("AND", _NO_STOCK, _NO_PROJECT), _OF_BOTH),
                        "stock or project",
                        when(_WRONG_STAGE, "other stage", ""),
                    ),
                ),
            ),
        ),
        "stock or project: a row counts one of the two. other stage: a stock is raw or in work, a"
        " project in work or finished.",
    ),
    computed("worth", "value each", RATE, this("value") / this("quantity")),
    silent="date",
    spare=100,
    capacity=10_000,
)
SHEET = Sheet(
    "Counts",
    "Count the shelf on the first and the last day of the year: raw stock, what is in work, and"
    " finished pieces.",
    (TABLE,),
    group="ledger",
    takes_rows=True,
    landscape=False,
)
