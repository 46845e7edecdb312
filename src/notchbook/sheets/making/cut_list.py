"""Cut list: every part of every project, at its finished size."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed, planned
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import NO_PROJECT, each_of, state, twice
from notchbook.sheets.kit.fractions import to_fraction
from notchbook.sheets.kit.values import Count, Layers, Length, Name, Text
from notchbook.sheets.kit.written import PROJECT, Joined, Reads, Written
from notchbook.sheets.making.ends import EndCuts
from notchbook.sheets.making.wood_kinds import WOOD


class CutRow(Row):
    """A part: how many a unit, its finished size, the stocks it may be cut from."""

    key = ("project", "part")
    written = (
        Written(PROJECT, "parts", "part", "what it is cut from; may be left out beside laid"),
    )
    joined = (
        Joined(
            "size",
            ("thickness", "width", "length"),
            "finished, long point to long point",
            "3/4 x 5 1/2 x long",
        ),
        Joined(
            "rough",
            ("rough_length", "rough_width", "rough_thickness"),
            "cut so much larger where the board allows, then planed to size; one length alone:"
            " for length and width",
            "1/8",
            inside=("length", "width", "thickness"),
            bare=2,
        ),
    )
    project: Annotated[
        Name, Given("the project it belongs to", refers="Projects.project", strict=True)
    ]
    part: Annotated[Name, Given("what the part is called", example="front")]
    make: Annotated[Count, Given("pieces for one unit", example="2")]
    thickness: Annotated[Length, Given("finished thickness")]
    width: Annotated[Length, Given("finished width")]
    length: Annotated[Length, Given("finished length, long point to long point")]
    stocks: Annotated[
        Text,
        Given(
            "the stocks it may be cut from",
            header="cut from",
            key="from",
            several=True,
            refers="Stock.stock",
            example="[pine 1x6 8ft, barn board]",
        ),
    ]
    ends: Annotated[
        EndCuts | None,
        Given(
            "how the ends are cut: miter or bevel, degrees, then one end or parallel",
            look=show.LABEL,
            reads=Reads.ENDS,
            example="miter 45",
        ),
    ] = None
    turn: Annotated[Literal["yes"] | None, Given("may lie across the grain of a sheet")] = None
    layers: Annotated[
        Layers | None,
        Given("so many boards, alike, are glued into one part", example="2", blank="one"),
    ] = None
    rough_length: Annotated[
        Length | None, Given("cut so much longer, trimmed after", key="length", example="1/2")
    ] = None
    rough_width: Annotated[
        Length | None, Given("cut so much wider, planed after", key="width", example="1/8")
    ] = None
    rough_thickness: Annotated[
        Length | None,
        Given("each layer cut so much thicker, planed after", key="thickness", example="1/16"),
    ] = None


_ACROSS = this.width * this.length
_SIX = (this.thickness * this.width + this.thickness * this.length + _ACROSS) * x.Unit("both")

_IN_ONE = when(x.blank(this.layers), 1, this.layers)
_LAYER = this.thickness / this.in_one

_PLAN_KEY = x.join(this.turn, "/", this.ends, "/", this.stocks)

# a bevel slants through the thickness, a mitre across the width; it begins with either letter
_BEVELLED = x.call("LEFT", this.ends, 1).equals("b")
_SLANT = when(_BEVELLED, this.thickness, this.width) * this.tangent
_SHORT_BY = _SLANT * when(this.slanted.equals("both"), x.Unit("both"), 1)
_CUT_ENDS = when(this.slanted.equals("one end"), 1, x.Unit("both"))

CUT_FROM = (each_of("stocks", "Stock.stock"), each_of("stocks", "Stock.stock", kind=WOOD))
"""What a part or a strip is cut from: boards and panels of Stock."""

TABLE = table(
    "Cut list",
    CutRow,
    computed(
        "pieces",
        show.COUNT,
        this.make * this.in_one * x.look_up("Projects", "batch", project=this.project),
        "Pieces to cut: of a part in layers, each layer.",
        header="pieces for the batch",
    ),
    computed(
        "run",
        show.AMOUNT,
        this.pieces * this.length / x.Unit("run"),
        header="run for the batch ({run})",
    ),
    computed(
        "board_measure",
        show.VOLUME,
        this.pieces * x.call("MAX", _LAYER, x.Unit("least_board")) * _ACROSS / x.Unit("board"),
        "Finished sizes, no waste; thinner than an inch counts as an inch.",
        header="board measure for the batch ({volume})",
    ),
    computed("unit_run", show.AMOUNT, this.make * this.length, header="run a unit ({length})"),
    computed(
        "face", show.AMOUNT, this.make * _ACROSS / x.Unit("area"), header="one face a unit ({area})"
    ),
    computed(
        "surface",
        show.AMOUNT,
        this.make * _SIX / x.Unit("area"),
        header="all faces a unit ({area})",
    ),
    computed(
        "glue_faces",
        show.AMOUNT,
        this.make * (this.in_one - 1) * _ACROSS / x.Unit("area"),
        "One face for each joint between layers.",
        header="glue faces a unit ({area})",
    ),
    planned(
        "degrees", show.ANGLE, "what the saw is set to, from square", header="off square (deg)"
    ),
    computed(
        "slant",
        show.LENGTH,
        to_fraction(_SLANT),
        "How far a slanted end runs along the part; rounded to the shop's fraction.",
    ),
    computed(
        "short_point",
        show.LENGTH,
        when(x.blank(this.ends), 0, to_fraction(this.length - _SHORT_BY)),
        "The edge opposite the long points; of parallel ends each edge. Below 0: the slants meet.",
    ),
    computed(
        "end_waste",
        show.PERCENT,
        _SLANT * _CUT_ENDS / (this.length * x.Unit("both")),
        "The share of the blank that falls off at slanted ends: half a rectangle each.",
        header="off the ends",
    ),
    computed("in_one", show.COUNT, _IN_ONE, header="pieces in one part"),
    planned("over_thickness", show.LENGTH, "what the boards allow", header="cut thicker by"),
    planned("over_width", show.LENGTH, "what the boards allow", header="cut wider by"),
    planned("over_length", show.LENGTH, "what the boards allow", header="cut longer by"),
    planned("slanted", show.WORD, "which ends: both, one end, or both in parallel"),
    planned(
        "tangent",
        show.TANGENT,
        "the tangent of the degrees off square",
        header="slant for 1 across",
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
        "Its stocks, ends or turn changed since the cuts were planned.",
    ),
    state(
        NO_PROJECT,
        twice("Cut list", "project", "part"),
        *CUT_FROM,
        otherwise=when(
            this.short_point < 0,
            "ends meet",
            x.look_up("Projects", "stale", project=this.project, otherwise=""),
        ),
        note="stale: compile again; ends meet: the slants of its ends cross before the other edge.",
    ),
    silent="project",
    spare=40,
    capacity=3_000,
    details=(
        *("unit_run", "face", "surface", "glue_faces", "degrees", "slant", "short_point"),
        "end_waste",
    ),
    workings=(
        *("in_one", "over_thickness", "over_width", "over_length", "slanted", "tangent"),
        *("plan_key", "planned_key", "changed"),
    ),
)
SHEET = Sheet(
    "Cut list",
    "Every part at its finished size. Change a size and its plan is stale until you compile.",
    (TABLE,),
    after="Seen prices",
    group="plan",
)
