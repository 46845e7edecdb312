"""Laid surfaces: faces covered with strips."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from notchbook.language.expressions import Unit, blank, join, look_up, this, when, whole_up
from notchbook.sheets.kit.declare import (
    AMOUNT,
    COUNT,
    LABEL,
    LENGTH,
    NAME,
    PERCENT,
    TEXT,
    WORD,
    Given,
    Row,
    Sheet,
    computed,
    planned,
    table,
)
from notchbook.sheets.kit.values import Length, Name, Share, Text

__all__ = ["PATTERNS", "SHEET", "TABLE", "LaidRow"]
PATTERNS = ("straight", "herringbone", "chevron")


class LaidRow(Row):
    """A surface laid with strips of one size."""

    key: ClassVar[tuple[str, ...]] = ("project", "surface")
    project: Annotated[
        Name, Given("project", NAME, "the project it belongs to", "Projects.project", strict=True)
    ]
    surface: Annotated[Name, Given("surface", NAME, "what the surface is called")]
    pattern: Annotated[
        Literal["straight", "herringbone", "chevron"],
        Given("pattern", WORD, "how the strips lie", PATTERNS, strict=True),
    ]
    width: Annotated[Length, Given("width ({length})", LENGTH, "of the surface")]
    height: Annotated[Length, Given("height ({length})", LENGTH, "of the surface")]
    strip_thickness: Annotated[Length, Given("strip thickness ({length})", LENGTH, "of a strip")]
    strip_width: Annotated[Length, Given("strip width ({length})", LENGTH, "of a strip")]
    strip_length: Annotated[Length, Given("strip length ({length})", LENGTH, "of a strip")]
    waste: Annotated[
        Share | None, Given("waste", PERCENT, "cut away at the edges; blank: strips are counted")
    ] = None
    stocks: Annotated[
        Text, Given("cut from", TEXT, "the stocks it may be cut from, with semicolons between")
    ]


_AREA = this("width") * this("height")
_FACE = this("strip_width") * this("strip_length")

_PLAN_KEY = join(this("pattern"), "/", this("stocks"))

TABLE = table(
    "Laid surfaces",
    LaidRow,
    planned("counted", "strips counted", COUNT, "the strips that touch the surface in this lay"),
    computed("area", "area ({area})", AMOUNT, _AREA / Unit("area")),
    computed(
        "strips",
        "strips a unit",
        COUNT,
        when(
            blank(this("waste")),
            this("counted"),
            whole_up(_AREA / _FACE * (1 + this("waste"))),
        ),
    ),
    computed(
        "batch_strips",
        "strips for the batch",
        COUNT,
        this("strips") * look_up("Projects", "batch", project=this("project")),
    ),
    computed(
        "run",
        "run a unit ({run})",
        AMOUNT,
        this("strips") * this("strip_length") / Unit("run"),
        "All strips end to end, as they are before trimming.",
    ),
    planned("whole", "stay whole", COUNT, "strips that no edge of the surface cuts"),
    computed("trimmed", "trimmed", COUNT, this("counted") - this("whole"), "Cut at an edge."),
    computed(
        "offcut",
        "cut away",
        PERCENT,
        when(this("strips") > 0, 1 - _AREA / (this("strips") * _FACE), 0),
        "The share of the strips that does not stay on the surface, slanted ends included.",
    ),
    planned("lengths", "trimmed to ({length})", TEXT, "how many, long point to long point"),
    computed(
        "end_cuts",
        "end cuts",
        LABEL,
        when(
            this("pattern").equals("chevron"),
            "mitre 45 parallel",
            when(this("pattern").equals("herringbone"), "square, trim at 45", "square"),
        ),
        "How a strip's ends are cut before it is laid, and the edges of the surface after.",
    ),
    computed(
        "state",
        "state",
        WORD,
        when(this("strips") < this("counted"), "reuse offcuts", ""),
        "reuse offcuts: the waste share gives fewer strips than lie on the surface, so pieces cut"
        " off at one edge must do at another.",
    ),
    computed("plan_key", "plan words", TEXT, _PLAN_KEY, "What else the plan looked at."),
    planned("planned_key", "plan words of the plan", TEXT, "the plan words when planned"),
    computed(
        "changed",
        "changed",
        WORD,
        when(this("plan_key").differs(this("planned_key")), "changed", ""),
        "Its pattern or stocks changed since the cuts were planned.",
    ),
    silent="project",
    spare=20,
    prints_to="batch_strips",
)
SHEET = Sheet(
    "Laid surfaces",
    "Faces laid with strips. With a waste share the strips follow from the area, else they are"
    " counted from the pattern at compile.",
    (TABLE,),
    group="plan",
    takes_rows=True,
)
