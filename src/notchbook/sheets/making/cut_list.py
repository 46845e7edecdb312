"""Cut list: every part of every project, at its finished size."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from notchbook.language.expressions import Unit, blank, call, join, look_up, missing, this, when
from notchbook.sheets.kit.declare import (
    AMOUNT,
    ANGLE,
    COUNT,
    LABEL,
    LENGTH,
    NAME,
    PERCENT,
    TANGENT,
    TEXT,
    VOLUME,
    WORD,
    Given,
    Row,
    Sheet,
    computed,
    planned,
    table,
)
from notchbook.sheets.kit.fractions import to_fraction
from notchbook.sheets.kit.values import Count, Length, Name, Text


class CutRow(Row):
    """A part: how many a unit, its finished size, the stocks it may be cut from."""

    key: ClassVar[tuple[str, ...]] = ("project", "part")
    project: Annotated[
        Name, Given("project", NAME, "the project it belongs to", "Projects.project", strict=True)
    ]
    part: Annotated[Name, Given("part", NAME, "what the part is called")]
    make: Annotated[Count, Given("make", COUNT, "pieces for one unit")]
    thickness: Annotated[Length, Given("thickness ({length})", LENGTH, "finished thickness")]
    width: Annotated[Length, Given("width ({length})", LENGTH, "finished width")]
    length: Annotated[
        Length, Given("length ({length})", LENGTH, "finished length, long point to long point")
    ]
    stocks: Annotated[
        Text, Given("cut from", TEXT, "the stocks it may be cut from, with semicolons between")
    ]
    ends: Annotated[
        Text | None,
        Given("ends", LABEL, "how the ends are cut, such as mitre 45"),
    ] = None
    turn: Annotated[
        Literal["yes"] | None,
        Given("turn", WORD, "yes: may lie across the grain of a sheet", ("yes",), strict=True),
    ] = None


_ACROSS = this("width") * this("length")
_SIX = (this("thickness") * this("width") + this("thickness") * this("length") + _ACROSS) * Unit(
    "both"
)

_PLAN_KEY = join(this("turn"), "/", this("ends"), "/", this("stocks"))

# a bevel slants through the thickness, a mitre across the width; it begins with either letter
_BEVELLED = call("LEFT", this("ends"), 1).equals("b")
_SLANT = when(_BEVELLED, this("thickness"), this("width")) * this("tangent")
_SHORT_BY = _SLANT * when(this("slanted").equals("both"), Unit("both"), 1)
_CUT_ENDS = when(this("slanted").equals("one end"), 1, Unit("both"))

TABLE = table(
    "Cut list",
    CutRow,
    computed(
        "pieces",
        "pieces for the batch",
        COUNT,
        this("make") * look_up("Projects", "batch", project=this("project")),
    ),
    computed(
        "run",
        "run for the batch ({run})",
        AMOUNT,
        this("pieces") * this("length") / Unit("run"),
    ),
    computed(
        "board_measure",
        "board measure for the batch ({volume})",
        VOLUME,
        this("pieces")
        * call("MAX", this("thickness"), Unit("least_board"))
        * _ACROSS
        / Unit("board"),
        "Finished sizes, no waste; thinner than an inch counts as an inch.",
    ),
    computed("unit_run", "run a unit ({length})", AMOUNT, this("make") * this("length")),
    computed("face", "one face a unit ({area})", AMOUNT, this("make") * _ACROSS / Unit("area")),
    computed("surface", "all faces a unit ({area})", AMOUNT, this("make") * _SIX / Unit("area")),
    planned("degrees", "off square (deg)", ANGLE, "what the saw is set to, from square"),
    computed(
        "slant",
        "slant ({length})",
        LENGTH,
        to_fraction(_SLANT),
        "How far a slanted end runs along the part; rounded to the shop's fraction.",
    ),
    computed(
        "short_point",
        "short point ({length})",
        LENGTH,
        when(blank(this("ends")), 0, to_fraction(this("length") - _SHORT_BY)),
        "The edge opposite the long points; of parallel ends each edge. Below 0: the slants meet.",
    ),
    computed(
        "end_waste",
        "off the ends",
        PERCENT,
        _SLANT * _CUT_ENDS / (this("length") * Unit("both")),
        "The share of the blank that falls off at slanted ends: half a rectangle each.",
    ),
    planned("slanted", "slanted", WORD, "which ends: both, one end, or both in parallel"),
    planned("tangent", "slant for 1 across", TANGENT, "the tangent of the degrees off square"),
    computed("plan_key", "plan words", TEXT, _PLAN_KEY, "What else the plan looked at."),
    planned("planned_key", "plan words of the plan", TEXT, "the plan words when planned"),
    computed(
        "changed",
        "changed",
        WORD,
        when(this("plan_key").differs(this("planned_key")), "changed", ""),
        "Its stocks, ends or turn changed since the cuts were planned.",
    ),
    computed(
        "state",
        "state",
        WORD,
        when(
            missing("Projects", project=this("project")),
            "no project",
            when(
                this("short_point") < 0,
                "ends meet",
                look_up("Projects", "stale", project=this("project"), otherwise=""),
            ),
        ),
        "stale: compile again; no project: the name is not on Projects; ends meet: the slants of"
        " its ends cross before the other edge.",
    ),
    silent="project",
    spare=40,
    capacity=3_000,
    prints_to="end_waste",
)
SHEET = Sheet(
    "Cut list",
    "Every part at its finished size. Change a size and its plan is stale until you compile.",
    (TABLE,),
    group="plan",
    takes_rows=True,
)
