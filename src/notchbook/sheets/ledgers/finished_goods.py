"""What became of a project's pieces this year: made, sold, left, and the materials in them."""

from __future__ import annotations

from notchbook.language.expressions import (
    Expression,
    Where,
    call,
    count,
    products,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.kit.declare import AMOUNT, COUNT, MONEY, PERCENT, computed
from notchbook.sheets.kit.settings import YEAR_END, YEAR_START, in_year, setting, to_money
from notchbook.sheets.ledgers.counts import COUNTED, STAGE
from notchbook.sheets.ledgers.sales_totals import goods_value

_MINE = where("project", "=", this("project"))
_OPENING = (*STAGE["finished"], *COUNTED["opening"])
_CLOSING = (*STAGE["finished"], *COUNTED["closing"])
_SOLD = (_MINE, where("kind", "<>", "deposit"), *in_year())
_GOODS_SOLD = (*_SOLD, where("kind", "<>", "own use"))


def _materials(*rows: Where) -> Expression:
    """Materials kept with the rows, and today's for the pieces of rows without any."""
    kept = (*rows, where("unit_materials", ">=", 0))
    without = total("Sales ledger", "quantity", *rows) - total("Sales ledger", "quantity", *kept)
    return products("Sales ledger", ("quantity", "unit_materials"), *rows) + without * this(
        "unit_materials"
    )


FINISHED_GOODS = (
    computed(
        "opening",
        "opening count",
        COUNT,
        total("Counts", "quantity", _MINE, *_OPENING),
    ),
    computed("made", "made this year", COUNT, total("Production log", "made", _MINE, *in_year())),
    computed("spoiled", "spoiled", COUNT, total("Production log", "spoiled", _MINE, *in_year())),
    computed(
        "sold",
        "sold this year",
        COUNT,
        total("Sales ledger", "quantity", *_SOLD) - total("Sales ledger", "deposit_back", *_SOLD),
        "Sold, kept and given back; deposits move no piece.",
    ),
    computed(
        "finished",
        "finished on hand",
        COUNT,
        this("opening") + this("made") - this("spoiled") - this("sold"),
    ),
    computed(
        "counted",
        "closing count",
        COUNT,
        total("Counts", "quantity", _MINE, *_CLOSING),
    ),
    computed(
        "uncounted",
        "counted less expected",
        COUNT,
        when(
            count("Counts", "quantity", *_CLOSING) > 0,
            this("counted") - this("finished"),
            0,
        ),
        "Once any project is counted at the close, all are.",
    ),
    computed(
        "sell_through",
        "sell through",
        PERCENT,
        this("sold") / (this("opening") + this("made") - this("spoiled")),
        "The share sold of what there was to sell.",
    ),
    computed(
        "days_on_hand",
        "days on hand",
        COUNT,
        this("finished")
        * call("MAX", call("MIN", setting("as_of"), YEAR_END) - YEAR_START + 1, 1)
        / this("sold"),
        "How long the finished ones last at the pace from the first day of the year to the as-of"
        " day.",
    ),
    computed(
        "materials_sold",
        "materials sold",
        MONEY,
        to_money(
            _materials(*_GOODS_SOLD) - total("Sales ledger", "deposit_materials", _MINE, *in_year())
        ),
        "As kept with each sale; today's materials a unit where none are kept.",
    ),
    computed(
        "materials_kept",
        "materials of own use",
        MONEY,
        to_money(_materials(_MINE, where("kind", "=", "own use"), *in_year())),
    ),
    computed(
        "income",
        "sales this year",
        AMOUNT,
        goods_value(_MINE, *in_year()),
        "After discounts and returns, without postage.",
    ),
)
