"""Laid surfaces: faces covered with strips."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from notchbook.language.expressions import Unit, blank, join, look_up, this, when, whole_up
from notchbook.sheets.declare import (
    AMOUNT,
    COUNT,
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
from notchbook.sheets.values import Length, Name, Share, Text

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
            whole_up(_AREA / (this("strip_width") * this("strip_length")) * (1 + this("waste"))),
        ),
    ),
    computed(
        "batch_strips",
        "strips for the batch",
        COUNT,
        this("strips") * look_up("Projects", "batch", project=this("project")),
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
