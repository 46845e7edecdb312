"""Laid surfaces: faces covered with strips."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed, planned
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import NO_PROJECT, fault, state, twice
from notchbook.sheets.kit.values import Length, Name, Share, Text
from notchbook.sheets.kit.written import PROJECT, Joined, Written
from notchbook.sheets.making.cut_list import CUT_FROM


class LaidRow(Row):
    """A surface laid with strips of one size."""

    key = ("project", "surface")
    written = (Written(PROJECT, "laid", "laid", "surfaces laid with strips"),)
    joined = (
        Joined(
            "strip",
            ("strip_thickness", "strip_width", "strip_length"),
            "of one strip",
            "1/2 x 2 x 8",
        ),
    )
    project: Annotated[
        Name, Given("the project it belongs to", refers="Projects.project", strict=True)
    ]
    surface: Annotated[Name, Given("what the surface is called", example="face")]
    pattern: Annotated[Literal["straight", "herringbone", "chevron"], Given("how the strips lie")]
    width: Annotated[Length, Given("of the surface", example="12")]
    height: Annotated[Length, Given("of the surface", example="20")]
    strip_thickness: Annotated[Length, Given("of a strip")]
    strip_width: Annotated[Length, Given("of a strip")]
    strip_length: Annotated[Length, Given("of a strip")]
    waste: Annotated[
        Share | None,
        Given(
            "the share of the strips cut away at the edges",
            blank="strips are counted",
            example="12%",
        ),
    ] = None
    stocks: Annotated[
        Text,
        Given(
            "the stocks the strips may be cut from",
            header="cut from",
            key="from",
            several=True,
            refers="Stock.stock",
            example="[barn board]",
        ),
    ]


_AREA = this.width * this.height
_FACE = this.strip_width * this.strip_length

_PLAN_KEY = x.join(this.pattern, "/", this.stocks)

TABLE = table(
    "Laid surfaces",
    LaidRow,
    planned(
        "counted",
        show.COUNT,
        "the strips that touch the surface in this lay",
        header="strips counted",
    ),
    computed("area", show.AMOUNT, _AREA / x.Unit("area"), header="area ({area})"),
    computed(
        "strips",
        show.COUNT,
        when(x.blank(this.waste), this.counted, x.whole_up(_AREA / _FACE * (1 + this.waste))),
        header="strips a unit",
    ),
    computed(
        "batch_strips",
        show.COUNT,
        this.strips * x.look_up("Projects", "batch", project=this.project),
        header="strips for the batch",
    ),
    computed(
        "run",
        show.AMOUNT,
        this.strips * this.strip_length / x.Unit("run"),
        "All strips end to end, as they are before trimming.",
        header="run a unit ({run})",
    ),
    planned("whole", show.COUNT, "strips that no edge of the surface cuts", header="stay whole"),
    computed("trimmed", show.COUNT, this.counted - this.whole, "Cut at an edge."),
    computed(
        "offcut",
        show.PERCENT,
        when(this.strips > 0, 1 - _AREA / (this.strips * _FACE), 0),
        "The share of the strips that does not stay on the surface, slanted ends included.",
        header="cut away",
    ),
    planned(
        "lengths", show.TEXT, "how many, long point to long point", header="trimmed to ({length})"
    ),
    computed(
        "end_cuts",
        show.LABEL,
        when(
            this.pattern.equals("chevron"),
            "miter 45 parallel",
            when(this.pattern.equals("herringbone"), "square, trim at 45", "square"),
        ),
        "How a strip's ends are cut before it is laid, and the edges of the surface after.",
    ),
    state(
        NO_PROJECT,
        twice("Laid surfaces", "project", "surface"),
        fault(
            "a part too",
            x.count("Cut list", "part", project=this.project, part=this.surface) > 0,
            "write another name",
            at="surface",
        ),
        *CUT_FROM,
        otherwise=when(this.strips < this.counted, "reuse offcuts", ""),
        note="reuse offcuts: the waste share gives fewer strips than lie on the surface, so pieces"
        " cut off at one edge must do at another.",
    ),
    computed(
        "plan_key", show.TEXT, _PLAN_KEY, "What else the plan looked at.", header="plan words"
    ),
    planned(
        "planned_key", show.TEXT, "the plan words when planned", header="plan words of the plan"
    ),
    computed(
        "changed",
        show.WORD,
        when(this.plan_key.differs(this.planned_key), "changed", ""),
        "Its pattern or stocks changed since the cuts were planned.",
    ),
    silent="project",
    spare=20,
    details=("counted", "area", "run", "end_cuts"),
    workings=("plan_key", "planned_key", "changed"),
)
SHEET = Sheet(
    "Laid surfaces",
    "Faces laid with strips. With a waste share the strips follow from the area, else they are"
    " counted from the pattern at compile.",
    (TABLE,),
    after="Cut list",
    group="plan",
)
