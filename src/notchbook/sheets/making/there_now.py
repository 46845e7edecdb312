"""There now: what should lie on the shelf, from the newest dated count and what came and went."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed
from notchbook.sheets.kit.settings import YEAR_START
from notchbook.sheets.ledgers.counts import STAGE
from notchbook.sheets.making.stock_used import USED
from notchbook.sheets.making.wood_kinds import IS_WOOD

_MINE = x.where("stock", "=", this.stock)
_SINCE = _MINE, x.where("date", ">", this.moves_after)
_BY_COUNTS = (this.counts_day > 0) & (this.counts_day >= this.counted_on)
_ON_SHELF = x.total("Counts", "quantity", _MINE, *STAGE["raw"], date=this.counts_day)
_LEFT = x.call("MAX", this.counted_then + this.bought_since - this.used_since, 0)


def _after_count(amount: x.Expression) -> x.Expression:
    return when(this.counted_last.equals(0), 0, amount)


THERE_NOW = (
    computed(
        "counts_day",
        show.DATE,
        x.greatest("Counts", "date", _MINE, x.where("quantity", ">=", 0)),
        header="newest day on Counts",
    ),
    computed(
        "counted_last",
        show.DATE,
        when(_BY_COUNTS, this.counts_day, this.counted_on.or_else(0)),
        "The newest day on Counts, or that of on hand; without any day nothing moves on hand.",
    ),
    computed(
        "moves_after",
        show.DATE,
        this.counted_last - when(this.counted_last.equals(YEAR_START), 1, 0),
        "What comes and goes after this day moves what is there: the day of the count, the one"
        " before where that is the year's first, since an opening is counted in the morning.",
        header="moved after",
    ),
    computed(
        "counted_then",
        show.AMOUNT,
        when(
            _BY_COUNTS,
            x.total("Counts", "quantity", _MINE, date=this.counts_day),
            this.on_hand,
        ),
        "Raw and in work together.",
    ),
    computed(
        "bought_since",
        show.AMOUNT,
        _after_count(x.total("Purchases", "packs", *_SINCE) * this.pack.or_else(1)),
        "After the day of the count, or on the year's first day where that is it.",
    ),
    computed(
        "used_since",
        show.AMOUNT,
        _after_count(
            x.total(USED, "units", *_SINCE)
            + x.total("Material takeoff", "new_use_since", stock=this.stock)
        ),
        "By runs after the day of the count, spoiled pieces too; see Stock used.",
    ),
    computed(
        "there_now",
        show.AMOUNT,
        when(
            this.counted_last.equals(0),
            this.on_hand,
            when(IS_WOOD, x.whole_down(_LEFT), _LEFT),
        ),
        "An estimate, which the next count corrects: counted, bought since, less used since; whole"
        " boards.",
    ),
    computed(
        "on_hand_gap",
        show.AMOUNT,
        when(
            x.blank(this.counted_on) & (this.on_hand > 0) & (this.counts_day > 0),
            this.on_hand - _ON_SHELF,
            0,
        ),
        "Where no day stands beside it: against the newest count of the shelf, which counts.",
        header="on hand less counted",
    ),
)
