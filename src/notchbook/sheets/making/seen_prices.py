"""Seen prices: what shops and others ask for such a thing."""

from __future__ import annotations

from typing import Annotated, ClassVar

from notchbook.language.expressions import blank, missing, this, when
from notchbook.sheets.kit.declare import (
    COUNT,
    DATE,
    MONEY,
    NAME,
    TEXT,
    WORD,
    Given,
    Row,
    Sheet,
    computed,
    table,
)
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.kit.values import Day, Money, Name, Text


class SeenRow(Row):
    """One price seen for a thing like a project."""

    key: ClassVar[tuple[str, ...]] = ("project", "where")
    project: Annotated[
        Name, Given("project", NAME, "the project it is like", "Projects.project", strict=True)
    ]
    where: Annotated[Text, Given("where", TEXT, "where it was seen")]
    price: Annotated[Money, Given("price", MONEY, "what was asked")]
    on: Annotated[Day | None, Given("on", DATE, "the day it was seen")] = None


TABLE = table(
    "Seen prices",
    SeenRow,
    computed("age", "age (days)", COUNT, when(blank(this("on")), 0, setting("as_of") - this("on"))),
    computed(
        "state",
        "state",
        WORD,
        when(missing("Projects", project=this("project")), "no project", ""),
    ),
    silent="project",
    spare=30,
    capacity=2_000,
)
SHEET = Sheet(
    "Seen prices",
    "What others ask for such a thing. The average, times the local factor, is the market price"
    " here.",
    (TABLE,),
    group="plan",
    takes_rows=True,
    landscape=False,
)
