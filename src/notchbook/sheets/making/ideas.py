"""Ideas: what was seen in a shop, what it may be made of, and how long it may take."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import (
    Strength,
    fault,
    lacks,
    names_header,
    state,
    twice,
    unknown,
    useless,
)
from notchbook.sheets.kit.settings import money_words, overhead_for, setting
from notchbook.sheets.kit.values import Batch, Factor, Money, Name, Number, Text
from notchbook.sheets.kit.written import IDEAS_FILE, Written
from notchbook.sheets.making.idea_cuts import IDEA_CUTS, OR_OTHER

PAIRS = tuple((f"stock_{n}", f"amount_{n}") for n in (1, 2, 3))
"""The columns of what one piece takes by eye: a stock, and how many boards or pieces of it."""
_OF_PAIRS = tuple(name for pair in PAIRS for name in pair)

_Few = Annotated[Number, Field(le=50)]


def _stock(number: int) -> Given:
    note = "a stock that one piece takes" if number == 1 else "another one"
    return Given(note, look=show.LABEL, refers="Stock.stock")


def _amount(number: int) -> Given:
    return Given(
        f"boards or pieces of stock {number} for one piece, by eye; type 0 1/2 for half a board",
        header=f"boards or pieces {number}",
        look=show.BOARDS,
    )


class IdeaRow(Row):
    """A thing that was seen, and a guess how it is made."""

    key = ("idea",)
    written = (
        Written(
            *(IDEAS_FILE, "ideas", "idea", "what may be worth making"),
            without=("price", "seen_at", *_OF_PAIRS),
            examples={"setup": "10", "batch": "4"},
        ),
    )
    idea: Annotated[Name, Given("what it would be called", example="slatted key shelf")]
    note: Annotated[
        Text | None, Given("what to remember", look=show.NOTE, example="back is thin plywood")
    ] = None
    price: Annotated[Money | None, Given("what was asked for it", header="price seen")] = None
    seen_at: Annotated[Text | None, Given("where it was seen", look=show.WORD)] = None
    stock_1: Annotated[Name | None, _stock(1)] = None
    amount_1: Annotated[_Few | None, _amount(1)] = None
    stock_2: Annotated[Name | None, _stock(2)] = None
    amount_2: Annotated[_Few | None, _amount(2)] = None
    stock_3: Annotated[Name | None, _stock(3)] = None
    amount_3: Annotated[_Few | None, _amount(3)] = None
    other: Annotated[
        Money,
        Given(
            "what else one piece costs, for what is not in stock yet",
            header="other money",
            example="3.25",
        ),
    ] = 0.0
    minutes: Annotated[
        Number | None,
        Given("a guess", header="minutes a piece", look=show.MINUTES, example="40"),
    ] = None
    setup: Annotated[
        Number, Given("minutes once a batch", header="setup (min)", look=show.MINUTES)
    ] = 0.0
    batch: Annotated[Batch, Given("how many would be made at a time")] = 1
    local_factor: Annotated[
        Factor | None, Given("what share of the price seen people pay here", blank="the shop's")
    ] = None
    make_it: Annotated[
        Literal["yes", "made"] | None,
        Given(
            "yes: the next compile makes a project of it, and writes made",
            header="make it a project",
            key="project",
        ),
    ] = None


def _tier(column: str) -> x.Expression:
    return x.look_up("Tiers", column, tier=setting.main_tier)


_MINE = x.where("project", "=", this.idea)
_IS_THERE = x.count(
    "Seen prices",
    "price",
    _MINE,
    x.where("where", "=", this.seen_at),
    x.where("price", "=", this.price),
)
_OWN = when(
    x.blank(this.price),
    0,
    when(x.blank(this.seen_at), 1, when(_IS_THERE > 0, 0, 1)),
)
_KEPT = 1 - _tier("fee")
_SELLING = _tier("selling_cost")
_FACTOR = when(
    _tier("local_factor") > 0,
    _tier("local_factor"),
    when(this.local_factor > 0, this.local_factor, setting.local_factor),
)
_GUESSED = this.minutes > 0
_HOURS = this.batch_minutes / x.Unit("hour")
_NO_PRICE = this.seen.equals(0)
_WHOLE_MINUTES = x.whole_down(this.minutes_allowed)
_WORTH = money_words(setting.worth_per_hour)


def _pair(stock: str, amount: str) -> x.Expression:
    return this(amount) * x.look_up("Stock", "each", stock=this(stock))


TABLE = table(
    "Ideas",
    IdeaRow,
    computed(
        "verdict",
        show.VERDICT,
        x.cases(
            (_NO_PRICE, "no price seen"),
            (_GUESSED & (this.per_hour >= setting.worth_per_hour), "worth a closer look"),
            (_GUESSED & (this.per_hour >= setting.skip_per_hour), "borderline"),
            (_GUESSED | (this.left <= 0), "leave it"),
            otherwise=x.join("worth it up to ", _WHOLE_MINUTES, " minutes"),
        ),
    ),
    computed(
        "reason",
        show.TEXT,
        when(
            _NO_PRICE,
            x.join("type the price you saw; it takes ", money_words(this.materials + this.other)),
            x.join(
                "people here pay ",
                money_words(this.market),
                ", ",
                money_words(this.left),
                " is left after material and fees; ",
                when(
                    _GUESSED,
                    x.join(money_words(this.per_hour), " an hour"),
                    x.join("enough for ", _WHOLE_MINUTES, " minutes at ", _WORTH, " an hour"),
                ),
            ),
        ),
    ),
    computed(
        "materials",
        show.MONEY,
        _pair(*PAIRS[0])
        + _pair(*PAIRS[1])
        + _pair(*PAIRS[2])
        + x.total("Idea cuts", "cost", idea=this.idea),
        "At the price of each stock, with what stands on Idea cuts.",
    ),
    computed(
        "market",
        show.MONEY,
        this.seen_average * _FACTOR,
        "What people here pay, at the main tier.",
        header="price here",
    ),
    computed(
        "left",
        show.MONEY,
        when(_NO_PRICE, 0, this.market * _KEPT - _SELLING - this.materials - this.other),
        "Of the price here, after fees, what selling costs, and material.",
    ),
    computed(
        "minutes_allowed",
        show.MINUTES,
        x.call("MAX", this.left, 0)
        * x.Unit("hour")
        / (setting.worth_per_hour + setting.overhead_rate),
        "The longest that one piece may take and still be worth making.",
        header="minutes it may take",
    ),
    computed(
        "per_hour",
        show.MONEY,
        when(
            _GUESSED & (this.seen > 0),
            (this.left - overhead_for(this.batch_minutes)) / _HOURS,
            0,
        ),
        "Where a price was seen and minutes were guessed.",
        header="earned an hour",
    ),
    computed(
        "least_price",
        show.MONEY,
        when(
            _GUESSED,
            (
                this.materials
                + this.other
                + _SELLING
                + overhead_for(this.batch_minutes)
                + _HOURS * setting.worth_per_hour
            )
            / _KEPT,
            0,
        ),
        "From this price on it is worth making, with the minutes guessed.",
        header="least price that pays",
    ),
    state(
        names_header("idea"),
        twice("Ideas", "idea"),
        *(unknown(stock, "Stock.stock", write=OR_OTHER) for stock, _ in PAIRS),
        *(
            lacks(amount, ~x.blank(this(stock)), "no amount", "write how many a piece")
            for stock, amount in PAIRS
        ),
        *(useless(amount, x.blank(this(stock)), "write the stock, too") for stock, amount in PAIRS),
        fault(
            "no material",
            x.call("AND", *(x.blank(this(stock)) for stock, _ in PAIRS))
            & (x.blank(this.other) | this.other.equals(0))
            & x.count("Idea cuts", "stock", idea=this.idea).equals(0),
            "write what it takes",
            "idea",
            Strength.NOTICE,
        ),
    ),
    computed(
        "seen",
        show.COUNT,
        x.count("Seen prices", "price", _MINE) + this.own_price,
        header="prices seen",
    ),
    computed(
        "seen_average",
        show.MONEY,
        (x.total("Seen prices", "price", _MINE) + this.own_price * this.price.or_else(0))
        / this.seen,
        header="average seen",
    ),
    computed(
        "batch_minutes",
        show.MINUTES,
        when(_GUESSED, this.setup / this.batch.or_else(1) + this.minutes, 0),
        "With its share of the set-up.",
        header="minutes in a batch",
    ),
    computed(
        "own_price",
        show.COUNT,
        _OWN,
        "0: there is no price in this row, or the same stands on Seen prices.",
        header="price counts",
    ),
    silent="idea",
    spare=30,
    leads=("idea", "verdict", "reason", "price", *_OF_PAIRS, "other", "minutes", "make_it"),
    details=(
        *("setup", "batch", "local_factor"),  # typed by few
        *("left", "minutes_allowed", "per_hour"),  # as the reason says
        *("materials", "market", "least_price", "seen", "seen_average", "batch_minutes"),
    ),
    workings=("own_price",),
)

SHEET = Sheet(
    "Ideas",
    "What you saw: type its price, what it takes, and how long you guess; the verdict is there at"
    " once. Pieces with their sizes go on the right.",
    (TABLE, IDEA_CUTS),
    after="Settings",
    group="plan",
)
