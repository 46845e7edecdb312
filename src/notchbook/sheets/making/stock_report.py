"""What a stock did this year: opening, bought, used, what should be left, and what was counted."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.settings import in_year, setting
from notchbook.sheets.ledgers.counts import COUNTED, counted_value
from notchbook.sheets.ledgers.slip_totals import slip_costs
from notchbook.sheets.making.stock_used import USED

_MINE = x.where("stock", "=", this.stock)
_CLOSING: tuple[x.Where, ...] = (_MINE, *COUNTED["closing"])
_BOUGHT: tuple[x.Where, ...] = (_MINE, *in_year())
_PACK = this.pack.or_else(1)

STOCK_REPORT = (
    computed(
        "opening",
        show.AMOUNT,
        x.total("Counts", "quantity", _MINE, *COUNTED["opening"]),
        header="at the beginning",
    ),
    computed(
        "bought",
        show.AMOUNT,
        x.total("Purchases", "packs", *_BOUGHT) * _PACK,
        header="bought this year",
    ),
    computed(
        "average_cost",
        show.RATE,
        (
            counted_value(_MINE, *COUNTED["opening"])
            + slip_costs(*_BOUGHT, x.where("packs", "<>", 0))
        )
        / (this.opening + this.bought),
        "Of all that was there in the year, beside the standard cost each.",
        header="average cost each",
    ),
    planned(
        "moving_average",
        show.RATE,
        "of what was there after the last slip, by dates; the list price where the books know none",
        header="moving average each",
    ),
    planned(
        "books_value",
        show.MONEY,
        "what is left cost, by the books: goods by their slips, less what the runs took",
        header="left by the books",
    ),
    planned(
        "not_paid",
        show.AMOUNT,
        "what runs took that no opening count and no slip of the year covers; it cost nothing",
        header="used without a slip",
    ),
    computed(
        "used",
        show.AMOUNT,
        x.total(USED, "units", _MINE, *in_year())
        + x.total("Material takeoff", "new_use", stock=this.stock),
        "By the runs on the production log, as Stock used keeps them.",
        header="used this year",
    ),
    computed(
        "expected",
        show.AMOUNT,
        this.opening + this.bought - this.used,
        header="expected at the end",
    ),
    computed(
        "counted",
        show.AMOUNT,
        x.total("Counts", "quantity", *_CLOSING),
        "What is in work as this stock is counted with it.",
        header="closing count",
    ),
    computed(
        "uncounted",
        show.COUNT,
        when(
            x.count("Counts", "quantity", *_CLOSING).equals(0)
            & (this.expected > this.used * setting.count_from)
            & (this.expected > setting.tolerance),
            1,
            0,
        ),
        "1: more is expected at the end than a share of the year's use, and none was counted.",
        header="not counted",
    ),
    computed(
        "shrinkage",
        show.AMOUNT,
        when(x.count("Counts", "quantity", *_CLOSING) > 0, this.expected - this.counted, 0),
        "Waste, losses and other uses; below 0: more is there than the log lets expect.",
        header="expected minus counted",
    ),
    computed(
        "shrinkage_value",
        show.MONEY,
        this.shrinkage * this.average_cost,
        "At the average cost.",
        header="its value",
    ),
)
