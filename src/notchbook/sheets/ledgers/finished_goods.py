"""What became of a project's pieces this year: made, sold, left, and the materials in them."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.settings import YEAR_END, YEAR_START, in_year, setting
from notchbook.sheets.ledgers.counts import COUNTED, STAGE
from notchbook.sheets.ledgers.sales_totals import SOLD, goods_value

_MINE = x.where("project", "=", this.project)
_OPENING = (*STAGE["finished"], *COUNTED["opening"])
_CLOSING = (*STAGE["finished"], *COUNTED["closing"])
_SOLD = (_MINE, x.where("kind", "<>", "deposit"), *in_year())
_PRICED = (_MINE, *SOLD, x.where("kind", "<>", "deposit"), x.where("price", ">", 0), *in_year())
_GOODS_SOLD = (*_SOLD, x.where("kind", "<>", "own use"))


def _since(*rows: x.Where) -> x.Expression:
    """Today's materials of the pieces of rows typed since the books were kept."""
    known = (*rows, x.where("books_cost", ">=", 0))
    return (
        x.total("Sales ledger", "quantity", *rows) - x.total("Sales ledger", "quantity", *known)
    ) * this.unit_materials


FINISHED_GOODS = (
    computed(
        "opening",
        show.COUNT,
        x.total("Counts", "quantity", _MINE, *_OPENING),
        header="opening count",
    ),
    computed(
        "made",
        show.COUNT,
        x.total("Production log", "made", _MINE, *in_year()),
        header="made this year",
    ),
    computed("spoiled", show.COUNT, x.total("Production log", "spoiled", _MINE, *in_year())),
    computed(
        "sold",
        show.COUNT,
        x.total("Sales ledger", "quantity", *_SOLD)
        - x.total("Sales ledger", "deposit_back", *_SOLD),
        "Sold, kept and given back; deposits move no piece.",
        header="sold this year",
    ),
    computed(
        "finished",
        show.COUNT,
        this.opening + this.made - this.spoiled - this.sold,
        header="finished on hand",
    ),
    computed(
        "counted",
        show.COUNT,
        x.total("Counts", "quantity", _MINE, *_CLOSING),
        header="closing count",
    ),
    computed(
        "not_counted",
        show.COUNT,
        when((this.finished > 0) & x.count("Counts", "quantity", _MINE, *_CLOSING).equals(0), 1, 0),
        "1: finished ones are expected at the end, and nobody counted them.",
    ),
    computed(
        "uncounted",
        show.COUNT,
        when(x.count("Counts", "quantity", *_CLOSING) > 0, this.counted - this.finished, 0),
        "Once any project is counted at the close, all are.",
        header="counted minus expected",
    ),
    computed(
        "sell_through",
        show.PERCENT,
        this.sold / (this.opening + this.made - this.spoiled),
        "The share sold of what there was to sell.",
    ),
    computed(
        "days_on_hand",
        show.COUNT,
        this.finished
        * x.call("MAX", x.call("MIN", setting.as_of, YEAR_END) - YEAR_START + 1, 1)
        / this.sold,
        "How long the finished ones last at the pace from the first day of the year to the as-of"
        " day.",
    ),
    planned(
        "books_each",
        show.MONEY,
        "what a piece left costs by the books; where they know none, its materials",
        header="books cost each",
    ),
    planned(
        "books_value",
        show.MONEY,
        "what the finished pieces left, and those in work, cost by the books",
        header="left by the books",
    ),
    computed(
        "since_sold",
        show.MONEY,
        _since(*_GOODS_SOLD) - x.total("Sales ledger", "deposit_materials", _MINE, *in_year()),
        "Today's materials in pieces whose sale was typed since the last compile.",
        header="materials sold since",
    ),
    computed(
        "since_kept",
        show.MONEY,
        _since(_MINE, x.where("kind", "=", "own use"), *in_year()),
        "Today's materials in pieces kept for own use since the last compile.",
        header="materials kept since",
    ),
    computed(
        "income",
        show.AMOUNT,
        goods_value(_MINE, *in_year()),
        "After discounts and returns, without postage.",
        header="sales this year",
    ),
)

PRICES = (
    computed("price_rows", show.COUNT, x.count("Sales ledger", "price", *_PRICED)),
    computed("price_sum", show.MONEY, x.total("Sales ledger", "price", *_PRICED)),
    computed("price_high", show.MONEY, x.greatest("Sales ledger", "price", *_PRICED)),
)
"""What its sales say of the usual price, for the looks of Sales ledger."""
