"""Consumables: hardware, glue and finish by the unit made, and the wear of tools."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from notchbook.language.expressions import (
    Expression,
    blank,
    call,
    known,
    look_up,
    missing,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.kit.declare import (
    AMOUNT,
    COUNT,
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
from notchbook.sheets.kit.settings import in_year
from notchbook.sheets.kit.values import Name, Number

BASES = ("piece", "length", "area", "use", "hour")


class UseRow(Row):
    """What one unit uses of a stock or a tool, and how that is measured."""

    key: ClassVar[tuple[str, ...]] = ("project", "stock", "tool", "part")
    project: Annotated[
        Name, Given("project", NAME, "the project it belongs to", "Projects.project", strict=True)
    ]
    stock: Annotated[
        Name | None,
        Given("stock", NAME, "what is used up; blank where a tool wears", "Stock.stock"),
    ] = None
    tool: Annotated[
        Name | None, Given("tool", NAME, "the tool that wears", "Tool depreciation.tool")
    ] = None
    basis: Annotated[
        Literal["piece", "length", "area", "use", "hour"],
        Given("counted by", WORD, "what the amount is for", BASES, strict=True),
    ]
    amount: Annotated[
        Number,
        Given("amount", AMOUNT, "a unit; a {length} of the part; coats; uses or hours of the tool"),
    ]
    part: Annotated[
        Name | None, Given("part", NAME, "the part or surface whose length or area counts")
    ] = None
    faces: Annotated[
        Literal[1, 2] | None, Given("faces", COUNT, "coated faces; blank: all six")
    ] = None


def _of_part(column: str, table_name: str = "Cut list", key: str = "part") -> Expression:
    mine = where("project", "=", this("project"))
    return total(table_name, column, mine, where(key, "=", this("part")))


_LAID = _of_part("area", "Laid surfaces", "surface")
_AREA = when(
    blank(this("faces")), _of_part("surface") + _LAID, (_of_part("face") + _LAID) * this("faces")
)


def _stock(column: str) -> Expression:
    return look_up("Stock", column, stock=this("stock"))


def _tool(column: str) -> Expression:
    return look_up("Tool depreciation", column, tool=this("tool"))


TABLE = table(
    "Consumables",
    UseRow,
    computed(
        "kind",
        "kind",
        WORD,
        when(
            blank(this("stock")),
            "tool",
            look_up("Stock", "kind", stock=this("stock"), otherwise=""),
        ),
    ),
    computed(
        "measure",
        "measure",
        AMOUNT,
        when(
            this("basis").equals("length"),
            _of_part("unit_run"),
            when(this("basis").equals("area"), _AREA, 1),
        ),
        "The length ({length}) or area ({area}) of the part in one unit, else 1.",
    ),
    computed(
        "unit_amount",
        "used a unit",
        AMOUNT,
        this("amount")
        * this("measure")
        * when(this("basis").equals("area"), _stock("covers_per") / _stock("covers"), 1),
    ),
    computed(
        "each",
        "price each",
        RATE,
        when(
            blank(this("stock")),
            when(this("basis").equals("use"), _tool("wear_use"), _tool("wear_hour")),
            _stock("each"),
        ),
    ),
    computed("cost", "cost a unit", MONEY, this("unit_amount") * this("each")),
    computed(
        "batch_amount",
        "used for the batch",
        AMOUNT,
        this("unit_amount") * look_up("Projects", "batch", project=this("project")),
    ),
    computed(
        "year_amount",
        "used this year",
        AMOUNT,
        this("unit_amount")
        * total("Production log", "made", where("project", "=", this("project")), *in_year()),
        "By the pieces on the production log.",
    ),
    computed(
        "state",
        "state",
        WORD,
        when(
            missing("Projects", project=this("project")),
            "no project",
            when(
                call("NOT", known("stock", "Stock", stock=this("stock"))),
                "no stock",
                when(
                    call("NOT", known("tool", "Tool depreciation", tool=this("tool"))),
                    "no tool",
                    when(
                        call(
                            "AND",
                            call("NOT", blank(this("part"))),
                            (
                                _of_part("make") + _of_part("strips", "Laid surfaces", "surface")
                            ).equals(0),
                        ),
                        "no part",
                        when(
                            call("AND", blank(this("stock")), blank(this("tool"))),
                            "no stock",
                            "",
                        ),
                    ),
                ),
            ),
        ),
    ),
    silent="project",
    spare=40,
    capacity=3_000,
)
SHEET = Sheet(
    "Consumables",
    "What one unit uses, by the piece, length or coated area, and the wear of tools.",
    (TABLE,),
    group="price",
    takes_rows=True,
)
