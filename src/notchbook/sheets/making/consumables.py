"""Consumables: hardware, glue and finish by the unit made, and the wear of tools."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import NO_PROJECT, fault, lacks, state, unknown, useless
from notchbook.sheets.kit.settings import in_year
from notchbook.sheets.kit.values import Name, Number
from notchbook.sheets.kit.written import PROJECT, Reads, Written
from notchbook.sheets.making.wood_kinds import IS_WOOD


class UseRow(Row):
    """What one unit uses of a stock or a tool, and how that is measured."""

    key = ("project", "stock", "tool", "part")
    written = (
        Written(PROJECT, "uses", "use", "hardware, glue and finish", without=("tool",)),
        Written(PROJECT, "tools", "tool use", "tools that wear", without=("stock",)),
    )
    project: Annotated[
        Name, Given("the project it belongs to", refers="Projects.project", strict=True)
    ]
    stock: Annotated[
        Name | None,
        Given(
            "what is used up",
            blank="a tool wears",
            needed=True,
            refers="Stock.stock",
            example="wood glue",
        ),
    ] = None
    tool: Annotated[
        Name | None, Given("the tool that wears", needed=True, refers="Tool depreciation.tool")
    ] = None
    basis: Annotated[
        Literal["piece", "length", "area", "glue", "use", "hour"],
        Given("what the amount is for; glue: the faces between layers", header="counted by"),
    ]
    amount: Annotated[
        Number, Given("per piece; per {length} of the part; coats; uses or hours of the tool")
    ]
    part: Annotated[
        Name | None,
        Given(
            "the one part or surface whose length or area counts",
            refers="Cut list.part or Laid surfaces.surface",
            within="project",
        ),
    ] = None
    faces: Annotated[
        Literal[1, 2] | None,
        Given(
            "how many large faces are coated, 1 or 2",
            look=show.COUNT,
            reads=Reads.WHOLE,
            blank="all six",
            example="2",
        ),
    ] = None


def _of_part(column: str, table_name: str = "Cut list", key: str = "part") -> x.Expression:
    mine = x.where("project", "=", this.project)
    return x.total(table_name, column, mine, x.where(key, "=", this.part))


_LAID = _of_part("area", "Laid surfaces", "surface")
_AREA = when(
    x.blank(this.faces), _of_part("surface") + _LAID, (_of_part("face") + _LAID) * this.faces
)


def _stock(column: str) -> x.Expression:
    return x.look_up("Stock", column, stock=this.stock)


def _tool(column: str) -> x.Expression:
    return x.look_up("Tool depreciation", column, tool=this.tool)


_USE, _HOUR = this.basis.equals("use"), this.basis.equals("hour")
_LENGTH, _COATED = this.basis.equals("length"), this.basis.equals("area")
_GLUED = this.basis.equals("glue")
_BY_AREA = _COATED | _GLUED
_SAID, _STOCK, _TOOL = ~x.blank(this.basis), ~x.blank(this.stock), ~x.blank(this.tool)
_WEAR = x.look_up("Tool depreciation", "wear", tool=this.tool, otherwise="")
_ON_PARTS = _of_part("make")
_ON_SURFACES = _of_part("width", "Laid surfaces", "surface")
_FAULTS = (
    NO_PROJECT,
    unknown("stock", "Stock.stock"),
    unknown("tool", "Tool depreciation.tool"),
    fault("no stock", x.blank(this.stock) & x.blank(this.tool), "write one, or a tool"),
    fault("stock and tool", _STOCK & _TOOL, "write one of the two", "tool"),
    fault(
        "wood is cut",
        IS_WOOD,
        "let a part be cut from it, or write hardware or a consumable",
        "stock",
    ),
    fault("no tool", _STOCK & (_USE | _HOUR), "write piece, length or area", "basis"),
    fault("not by a tool", _TOOL & _SAID & ~(_USE | _HOUR), "write use or hour", "basis"),
    fault(
        "other wear",
        (_USE & _WEAR.differs("per use")) | (_HOUR & _WEAR.differs("hours")),
        "count it as the tool wears, per use or by hours",
        "basis",
    ),
    fault(
        "no covers",
        _BY_AREA & _stock("covers").equals(0),
        "write covers and covers per of that stock",
        "stock",
    ),
    lacks("part", _LENGTH | _BY_AREA, "no part", "write the part whose length or area counts"),
    unknown("part", "Cut list.part", when=(_LENGTH | _GLUED) & _ON_PARTS.equals(0)),
    fault(
        "no layers",
        _GLUED & (_ON_PARTS > 0) & this.measure.equals(0),
        "write layers on that part, or count it by area",
        "part",
    ),
    unknown(
        "part",
        "Cut list.part",
        "Laid surfaces.surface",
        when=_COATED & (_ON_PARTS + _ON_SURFACES).equals(0),
    ),
    useless("part", _SAID & ~(_LENGTH | _BY_AREA)),
    useless("faces", _SAID & ~_COATED),
)

TABLE = table(
    "Consumables",
    UseRow,
    computed(
        "kind",
        show.WORD,
        when(
            x.blank(this.stock), "tool", x.look_up("Stock", "kind", stock=this.stock, otherwise="")
        ),
    ),
    computed(
        "measure",
        show.AMOUNT,
        when(
            this.basis.equals("length"),
            _of_part("unit_run"),
            x.cases((_COATED, _AREA), (_GLUED, _of_part("glue_faces")), otherwise=1),
        ),
        "The length ({length}) or area ({area}) of the part in one unit, else 1.",
    ),
    computed(
        "unit_amount",
        show.AMOUNT,
        this.amount * this.measure * when(_BY_AREA, _stock("covers_per") / _stock("covers"), 1),
        header="used a unit",
    ),
    computed(
        "each",
        show.RATE,
        when(
            x.blank(this.stock),
            when(this.basis.equals("use"), _tool("wear_use"), _tool("wear_hour")),
            _stock("each"),
        ),
        header="price each",
    ),
    computed("cost", show.MONEY, this.unit_amount * this.each, header="cost a unit"),
    computed(
        "batch_amount",
        show.AMOUNT,
        this.unit_amount * x.look_up("Projects", "batch", project=this.project),
        header="used for the batch",
    ),
    computed(
        "year_amount",
        show.AMOUNT,
        this.unit_amount
        * x.total("Production log", "made", x.where("project", "=", this.project), *in_year()),
        "By the pieces on the production log.",
        header="used this year",
    ),
    state(*_FAULTS),
    silent="project",
    spare=40,
    capacity=3_000,
    workings=("measure", "year_amount"),
)
SHEET = Sheet(
    "Consumables",
    "What one unit uses, by the piece, length or coated area, and the wear of tools.",
    (TABLE,),
    after="Material takeoff",
    group="price",
)
