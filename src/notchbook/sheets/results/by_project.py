"""Results by project: what it really earned, beside what was planned, and what to do."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.declare import table
from notchbook.sheets.kit.settings import in_year, money_words, setting
from notchbook.sheets.results.estimates import percent_words, whole_words

_MINE = (x.where("project", "=", this.project), *in_year())


def _project(column: str) -> x.Expression:
    return x.look_up("Projects", column, project=this.project)


def _sold(column: str) -> x.Expression:
    return x.total("Sales ledger", column, *_MINE)


def _log(column: str) -> x.Expression:
    return x.total("Production log", column, *_MINE)


def _estimate(column: str) -> x.Expression:
    return x.look_up("Estimates", column, project=this.project)


_SLOW = _estimate("ratio") > _estimate("pace") * (1 + setting.off_by)
_ENOUGH = this.sold >= setting.least_sold

DOINGS = ("stop", "make faster", "raise the price", "make more", "fine")
_STOP, _FASTER, _RAISE, _MORE, _FINE = DOINGS
_TODO = x.cases(
    (_ENOUGH & (this.per_hour < setting.skip_per_hour), _STOP),
    (_SLOW, _FASTER),
    (
        _ENOUGH
        & (this.price < setting.raise_below * this.market)
        & (this.shelf_days < setting.raise_days),
        _RAISE,
    ),
    (_ENOUGH & (this.finished <= 0) & (this.per_hour >= setting.worth_per_hour), _MORE),
    otherwise=_FINE,
)


_EARNED = x.join(
    when(this.per_hour < 0, "lost ", "earned "),
    money_words(x.call("ABS", this.per_hour)),
    " an hour",
)
_REASON = x.cases(
    (this.todo.equals(_STOP), x.join(_EARNED, " over ", whole_words(this.sold), " sold")),
    (
        this.todo.equals(_FASTER),
        x.join(
            "the log has ",
            percent_words(_estimate("ratio")),
            " of the steps' minutes, the pace says ",
            percent_words(_estimate("pace")),
        ),
    ),
    (
        this.todo.equals(_RAISE),
        x.join(
            "people here pay ",
            money_words(this.market),
            ", you take ",
            money_words(this.price),
            "; ",
            whole_words(this.shelf_days),
            " days on the shelf",
        ),
    ),
    (this.todo.equals(_MORE), x.join(_EARNED, " and none is left")),
    (this.sold.equals(0), "none sold yet"),
    otherwise=_EARNED,
)

BY_PROJECT = table(
    "Results by project",
    None,
    planned("project", show.NAME, "the project"),
    computed(
        "todo", show.LABEL, _TODO, "The first advice whose reason holds.", header="what to do"
    ),
    computed("reason", show.NOTE, _REASON),
    computed(
        "per_hour",
        show.MONEY,
        (this.earned - setting.overhead_rate * this.hours) / this.hours,
        "Really earned: after the typed overhead rate, before your own labor.",
        header="really an hour",
    ),
    computed(
        "per_hour_real",
        show.MONEY,
        (this.earned + this.wear - x.Line("Results", "real_rate") * this.hours) / this.hours,
        "With the real overheads an hour, which hold the tools' depreciation in place of wear.",
        header="at real overheads",
    ),
    computed("planned_per_hour", show.MONEY, _project("per_hour"), header="planned"),
    computed("made", show.COUNT, _log("made")),
    computed("sold", show.COUNT, _sold("pieces"), "Less those given back."),
    computed("finished", show.COUNT, _project("finished"), header="finished on hand"),
    computed(
        "proceeds",
        show.MONEY,
        _sold("proceeds"),
        "After fees, postage, packaging and its share of selling slips.",
    ),
    computed("materials", show.MONEY, _sold("materials"), "Of the pieces, as kept with the sales."),
    computed("wear", show.MONEY, _sold("wear"), "Of the pieces.", header="tool wear"),
    computed("earned", show.MONEY, this.proceeds - this.materials - this.wear),
    computed(
        "hours",
        show.AMOUNT,
        this.sold * this.minutes_taken / x.Unit("hour"),
        "Pieces sold, at the log's minutes a good piece, else at the planned ones.",
        header="hours of the sold",
    ),
    computed(
        "to_break_even",
        show.COUNT,
        x.whole_up(this.sold * x.Line("Results", "break_even_share")),
        "So many of the mix as sold pay all fixed costs.",
        header="to break even",
    ),
    computed("spoiled", show.COUNT, _log("spoiled")),
    computed(
        "own_use",
        show.COUNT,
        x.total("Sales ledger", "quantity", *_MINE, x.where("kind", "=", "own use")),
        header="gifts and own use",
    ),
    computed(
        "got",
        show.MONEY,
        _sold("gross") / this.sold,
        "Of a piece, after discounts and returns, without postage.",
        header="average got",
    ),
    computed("price", show.MONEY, _project("price"), header="price asked"),
    computed("market", show.MONEY, _project("market"), header="market price here"),
    computed("shelf_days", show.COUNT, _project("days_on_hand"), header="days on the shelf"),
    computed(
        "minutes_taken",
        show.MINUTES,
        when(
            _estimate("minutes_logged") > 0,
            _estimate("minutes_logged"),
            _project("good_minutes"),
        ),
        "By the log, else as planned.",
        header="minutes used",
    ),
    capacity=500,
    details=(
        *("proceeds", "materials", "wear", "hours", "made", "finished", "spoiled", "own_use"),
        *("got", "price", "market", "shelf_days", "per_hour_real", "to_break_even"),
    ),
    workings=("minutes_taken",),
)
