"""Jigs: what a project is made with, listed in its file."""

from __future__ import annotations

from typing import Annotated

from notchbook.language import expressions as x
from notchbook.language.expressions import this
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import NO_PROJECT, look, state, unknown
from notchbook.sheets.kit.values import Length, Money, Name
from notchbook.sheets.kit.written import PROJECT, Written


class JigRow(Row):
    """A jig, and the stock that it is made of."""

    key = ("project", "jig")
    written = (Written(PROJECT, "jigs", "jig", "what it is made with"),)
    project: Annotated[Name, Given("the project it serves", refers="Projects.project", strict=True)]
    jig: Annotated[Name, Given("what the jig is called", example="drill guide")]
    stock: Annotated[Name, Given("what it is made of", key="made_of", refers="Stock.stock")]
    length: Annotated[Length, Given("how long it is", header="length ({length})", example="14")]
    worth: Annotated[Money, Given("what making it was worth", blank="nothing")] = 0.0


TABLE = table(
    "Jigs",
    JigRow,
    computed("board", show.LENGTH, x.look_up("Stock", "length", stock=this.stock)),
    computed("share", show.PERCENT, this.length / this.board, "Of a board."),
    computed("key", show.LABEL, x.join(this.project, "/", this.jig)),
    state(
        NO_PROJECT,
        unknown("stock", "Stock.stock"),
        look("longer than its board", this.length > this.board, "write another stock", "length"),
    ),
    silent="project",
    spare=5,
    workings=("key",),
)
SHEET = Sheet(
    "Jigs",
    "What a project is made with. A jig costs its share of a board.",
    (TABLE,),
    after="Work steps",
    group="plan",
)
