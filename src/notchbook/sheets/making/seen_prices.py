"""Seen prices: what shops and others ask for such a thing."""

from __future__ import annotations

from typing import Annotated

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import Strength, missing, state, unknown
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.kit.values import Day, Money, Name, Text
from notchbook.sheets.kit.written import PROJECT, Written


class SeenRow(Row):
    """One price seen for a thing like a project."""

    key = ("project", "where")
    written = (Written(PROJECT, "seen", "seen", "what others ask for such a thing"),)
    project: Annotated[
        Name,
        Given(
            "the project or idea it is like",
            refers="Projects.project or Ideas.idea",
            choices="Projects.project",
        ),
    ]
    where: Annotated[Text, Given("where it was seen", example="home store")]
    price: Annotated[Money, Given("what was asked", example="64.00")]
    on: Annotated[Day | None, Given("the day it was seen", needed=True)] = None


TABLE = table(
    "Seen prices",
    SeenRow,
    computed(
        "age", show.COUNT, when(x.blank(this.on), 0, setting.as_of - this.on), header="age (days)"
    ),
    state(
        unknown(
            "project",
            "Projects.project",
            "Ideas.idea",
            when=missing("Projects", project=this.project) & missing("Ideas", idea=this.project),
            strength=Strength.OMIT,
        )
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
    after="Projects",
    group="plan",
    landscape=False,
)
