"""Months and channels: the year by month, quarter, channel and category of purchases."""

from __future__ import annotations

from notchbook.language.expressions import (
    Expression,
    Where,
    blank,
    call,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.declare import (
    COUNT,
    DATE,
    MONEY,
    NAME,
    WORD,
    Sheet,
    computed,
    planned,
    table,
)
from notchbook.sheets.settings import returned_value, setting, sold_value

_PERIOD = (where("date", ">=", this("start")), where("date", "<=", this("end")))
_BY_CHANNEL = call("NOT", blank(this("channel")))
_BY_CATEGORY = call("NOT", blank(this("category")))


def _sold(by_tier: str, in_period: Expression) -> Expression:
    """Channels add up their tiers; months and quarters read the ledger; categories sell nothing."""
    of_channel = total("Tiers", by_tier, channel=this("channel"))
    return when(_BY_CHANNEL, of_channel, when(_BY_CATEGORY, 0, in_period))


def _spent(*conditions: Where) -> Expression:
    return total("Purchases", "amount", *conditions, *_PERIOD)


TABLE = table(
    "Months and channels",
    None,
    planned("kind", "kind", WORD, "what the row sums up"),
    planned("label", "of", NAME, "the month, quarter, channel or category"),
    planned("first_month", "first month", COUNT, "the month it begins with"),
    planned("months", "months", COUNT, "how many months it lasts"),
    planned("channel", "channel", NAME, "only in rows of channels"),
    planned("category", "category", NAME, "only in rows of categories"),
    planned("line", "line", WORD, "the line of the tax form, for categories"),
    computed("start", "from", DATE, call("DATE", setting("year"), this("first_month"), 1)),
    computed(
        "end",
        "to",
        DATE,
        call("DATE", setting("year"), this("first_month") + this("months"), 1) - 1,
    ),
    computed(
        "sales",
        "sales",
        MONEY,
        _sold("sales", sold_value(*_PERIOD)),
        "Pieces × price less discounts, plus postage charged.",
    ),
    computed("returns", "returns", MONEY, _sold("returns", returned_value(*_PERIOD))),
    computed("fees", "fees charged", MONEY, _sold("fees", total("Sales ledger", "fee", *_PERIOD))),
    computed(
        "postage",
        "postage paid",
        MONEY,
        _sold("postage", total("Sales ledger", "postage", *_PERIOD)),
    ),
    computed(
        "spent",
        "purchases",
        MONEY,
        when(
            _BY_CHANNEL,
            0,
            when(_BY_CATEGORY, _spent(where("category", "=", this("category"))), _spent()),
        ),
    ),
    computed(
        "left",
        "left",
        MONEY,
        this("sales") - this("returns") - this("fees") - this("postage") - this("spent"),
        "Money in less money out; stock and tools are not spread over their use here.",
    ),
    capacity=500,
)
SHEET = Sheet(
    "Months and channels",
    "Totals of the ledgers. Filter by kind: month, quarter, channel or category.",
    (TABLE,),
    group="books",
)
