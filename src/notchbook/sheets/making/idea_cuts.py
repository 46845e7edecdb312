"""Idea cuts: what else an idea takes, in pieces with a size or by eye."""

from __future__ import annotations

from typing import Annotated

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import table
from notchbook.sheets.kit.faults import Strength, fault, lacks, state, unknown
from notchbook.sheets.kit.values import Length, Name, Positive
from notchbook.sheets.making.wood_kinds import IS_PANEL, IS_WOOD

SIZE = ("thickness", "width", "length")
OR_OTHER = "write one of Stock, or what it costs under other"
"""What to do about a stock that is not there: an idea is no reason to list it."""


class IdeaCutRow(Row):
    """Pieces of one size that an idea takes; without a size, boards or pieces by eye."""

    key = ("idea", "stock")
    idea: Annotated[Name, Given("the idea", refers="Ideas.idea", strict=True)]
    stock: Annotated[Name, Given("what it is cut from, or takes", refers="Stock.stock")]
    amount: Annotated[
        Positive,
        Given(
            "pieces of this size; without one, boards or pieces by eye",
            header="pieces or boards",
            look=show.BOARDS,
        ),
    ]
    thickness: Annotated[Length | None, Given("of a piece")] = None
    width: Annotated[Length | None, Given("of a piece")] = None
    length: Annotated[Length | None, Given("of a piece")] = None


def _stock(column: str, otherwise: x.Operand = 0) -> x.Expression:
    return x.look_up("Stock", column, stock=this.stock, otherwise=otherwise)


_SIZED = ~x.blank(this.length)
_LIES_FLAT = this.thickness <= _stock("thickness")
_LIES_TURNED = (this.thickness <= _stock("width")) & (this.width <= _stock("thickness"))
_WOOD = when(IS_PANEL, this.layers * _stock("thickness"), this.thickness)
_BOARD = _stock("thickness") * _stock("width") * _stock("length")
_ANY_SIZE = x.call("OR", *(~x.blank(this(each)) for each in SIZE))

IDEA_CUTS = table(
    "Idea cuts",
    IdeaCutRow,
    computed("cost", show.MONEY, this.boards * _stock("each"), header="cost a piece"),
    computed(
        "boards",
        show.AMOUNT,
        when(
            _SIZED,
            this.amount * _WOOD * this.width * this.length / (_BOARD * this.use_rate),
            this.amount,
        ),
        "Boards, sheets or pieces for one.",
        header="takes",
    ),
    computed(
        "use_rate",
        show.PERCENT,
        when(_SIZED, _stock("use_rate"), 0),
        "The share of the wood bought that ends up in pieces.",
    ),
    computed("rate_from", show.LABEL, when(_SIZED, _stock("use_from", ""), "")),
    computed(
        "layers",
        show.COUNT,
        when(
            _SIZED,
            when(
                _LIES_FLAT | (~IS_PANEL & _LIES_TURNED),
                1,
                x.whole_up(this.thickness / _stock("thickness")),
            ),
            0,
        ),
        "Glued up of so many where the stock is thinner.",
    ),
    state(
        unknown("idea", "Ideas.idea", strength=Strength.OMIT),
        unknown("stock", "Stock.stock", write=OR_OTHER),
        *(
            lacks(each, _ANY_SIZE, "no size", "write all three, or none: then it is by eye")
            for each in SIZE
        ),
        fault(
            "of no use here",
            _SIZED & _stock("kind", "").differs("") & ~IS_WOOD,
            "leave the size out; only wood is cut",
            "length",
        ),
    ),
    computed("kind", show.WORD, _stock("kind", "")),
    silent="idea",
    spare=30,
    details=("use_rate", "rate_from", "layers"),
    workings=("kind",),
)
