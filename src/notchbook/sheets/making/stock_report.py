"""What a stock did this year: opening, bought, used, what should be left, and what was counted."""

from __future__ import annotations

from notchbook.language.expressions import Where, blank, count, this, total, when, where
from notchbook.sheets.kit.declare import AMOUNT, MONEY, RATE, computed, planned
from notchbook.sheets.kit.settings import in_year
from notchbook.sheets.ledgers.counts import COUNTED, STAGE

_MINE = where("stock", "=", this("stock"))
_CLOSING: tuple[Where, ...] = (_MINE, *COUNTED["closing"])
_ON_SHELF: tuple[Where, ...] = (*_CLOSING, *STAGE["raw"])
_BOUGHT: tuple[Where, ...] = (_MINE, *in_year())
_PACK = when(blank(this("pack")), 1, this("pack"))

STOCK_REPORT = (
    computed(
        "opening",
        "at the beginning",
        AMOUNT,
        total("Counts", "quantity", _MINE, *COUNTED["opening"]),
    ),
    computed("bought", "bought this year", AMOUNT, total("Purchases", "packs", *_BOUGHT) * _PACK),
    computed(
        "average_cost",
        "average cost each",
        RATE,
        (
            total("Counts", "value", _MINE, *COUNTED["opening"])
            + total("Purchases", "amount", *_BOUGHT, where("packs", "<>", 0))
        )
        / (this("opening") + this("bought")),
        "Of all that was there in the year, beside the standard cost each.",
    ),
    planned(
        "moving_average",
        "moving average each",
        RATE,
        "of what was left after the last slip, by dates; found at compile from the ledgers",
    ),
    computed(
        "used",
        "used this year",
        AMOUNT,
        total("Material takeoff", "year_need", stock=this("stock")),
        "By the pieces on the production log.",
    ),
    computed(
        "expected",
        "expected at the end",
        AMOUNT,
        this("opening") + this("bought") - this("used"),
    ),
    computed(
        "counted",
        "closing count",
        AMOUNT,
        total("Counts", "quantity", *_CLOSING),
        "What is in work as this stock is counted with it.",
    ),
    computed(
        "shrinkage",
        "expected less counted",
        AMOUNT,
        when(
            count("Counts", "quantity", *_CLOSING) > 0,
            this("expected") - this("counted"),
            0,
        ),
        "Waste, losses and other uses; below 0: more is there than the log lets expect.",
    ),
    computed(
        "shrinkage_value",
        "its value",
        MONEY,
        this("shrinkage") * this("average_cost"),
        "At the average cost.",
    ),
    computed(
        "on_hand_gap",
        "on hand less counted",
        AMOUNT,
        when(
            count("Counts", "quantity", *_ON_SHELF) > 0,
            this("on_hand") - total("Counts", "quantity", *_ON_SHELF),
            0,
        ),
        "Against the closing count of the shelf, without what is in work.",
    ),
)
