"""Offcuts: what was left of boards and kept, so that plans use it before a board is bought."""

from __future__ import annotations

from typing import Annotated

from notchbook.language import expressions as x
from notchbook.language.expressions import this
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import Strength, look, no_number, of_values, state, unknown
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.kit.values import Length, Name, Number, Text
from notchbook.sheets.kit.written import Written

OFFCUTS = "Offcuts"


class OffcutRow(Row):
    """Offcuts of one size, left of a stock of boards or sheets."""

    written = (Written("offcuts.csv"),)
    stock: Annotated[Name, Given("the board or sheet it was left of", refers="Stock.stock")]
    thickness: Annotated[Length, Given("as it lies there", example="3/4")]
    width: Annotated[Length, Given("of a sheet: across its grain", example="5 1/2")]
    length: Annotated[Length, Given("of a sheet: along its grain", example="31 1/4")]
    count: Annotated[Number, Given("how many there are; 0: used up", look=show.COUNT, example="2")]
    run: Annotated[
        Text | None, Given("the run that left it", look=show.LABEL, example="6 herb rail, May")
    ] = None
    note: Annotated[Text | None, Given("anything", example="knot at one end")] = None


OTHER_OFFCUTS = x.rounded(setting.offcut_sum - setting.planned_offcut_sum, 6).differs(0)
"""Offcuts have come or gone since the cuts were planned."""


def _stock(column: str) -> x.Expression:
    return x.look_up("Stock", column, stock=this.stock)


_KIND = x.look_up("Stock", "kind", stock=this.stock, otherwise="")
_SIZE = 1 + this.length * (1 + this.width * (1 + this.thickness))


def _larger(side: str) -> x.Expression:
    return (_stock(side) > 0) & (this(side) > _stock(side))


TABLE = table(
    OFFCUTS,
    OffcutRow,
    computed(
        "boards",
        show.AMOUNT,
        this.count
        * this.thickness
        * this.width
        * this.length
        / (_stock("thickness") * _stock("width") * _stock("length")),
        "By volume, in whole boards of its stock.",
    ),
    state(
        no_number("thickness", "width", "length", "count"),
        unknown("stock", "Stock.stock", strength=Strength.LOOK),
        look(
            "no wood",
            _KIND.equals("hardware") | _KIND.equals("consumable"),
            "offcuts are of boards and sheets; write one of them",
            "stock",
        ),
        *of_values(OffcutRow),
        *(
            look(f"over its stock's {side}", _larger(side), "measure it again", side)
            for side in ("thickness", "width", "length")
        ),
    ),
    computed(
        "size_sum",
        show.CHECKSUM,
        this.count * _SIZE,
        "Changes when a size or a count does.",
    ),
    silent="stock",
    spare=40,
    capacity=2_000,
    workings=("size_sum",),
)
SHEET = Sheet(
    OFFCUTS,
    "What was left and kept, used before a board is bought. cuts --keep adds what a plan leaves"
    " and takes off what it used.",
    (TABLE,),
    after="Cut plan",
    group="plan",
)
