"""Settings: the single values of the shop, its channels and its price tiers."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import BaseModel, ConfigDict

from notchbook.language.expressions import (
    Arithmetic,
    Expression,
    Line,
    Operand,
    Unit,
    Where,
    blank,
    call,
    look_up,
    products,
    rounded,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.declare import (
    AMOUNT,
    COUNT,
    DATE,
    FACTOR,
    LENGTH,
    MONEY,
    NAME,
    PERCENT,
    RATE,
    WORD,
    YEAR,
    Cell,
    Given,
    LineRow,
    Lines,
    Role,
    Row,
    Sheet,
    computed,
    heading,
    line,
    table,
    typed,
)
from notchbook.sheets.values import (
    Day,
    Factor,
    Length,
    LengthOrNone,
    Money,
    Name,
    Number,
    Positive,
    Share,
    Text,
    Whole,
    Year,
)


class ShopSettings(BaseModel):
    """The single values of shop.yaml, in the order of the Settings sheet."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)

    shop: Annotated[Text, Given("shop", NAME, "the name on every printed sheet")]
    year: Annotated[Year, Given("year", YEAR, "the year whose books this workbook holds")]
    as_of: Annotated[Day, Given("as of", DATE, "the day from which the age of prices is counted")]
    currency: Annotated[str, Given("currency", WORD, "the ISO 4217 code; change it in shop.yaml")]
    units: Annotated[
        Literal["inch", "mm"],
        Given("units", WORD, "lengths are in this unit; change it in shop.yaml"),
    ]
    show_fractions_to: Annotated[
        Length, Given("show fractions to", LENGTH, "readings are rounded to this")
    ]
    paper: Annotated[
        Literal["letter", "a4"],
        Given("paper", WORD, "the paper printed on", ("letter", "a4"), strict=True),
    ]
    labor_rate: Annotated[Money, Given("labor rate an hour", MONEY, "what an hour of work costs")]
    overhead_rate: Annotated[
        Money, Given("overhead rate an hour", MONEY, "rent, power and the like, a bench hour")
    ]
    kerf: Annotated[LengthOrNone, Given("saw kerf", LENGTH, "what the blade turns to dust")]
    squaring: Annotated[
        LengthOrNone,
        Given("squaring", LENGTH, "lost at each long edge before a board is ripped, kerf included"),
    ]
    end_trim: Annotated[LengthOrNone, Given("end trim", LENGTH, "lost at each end, kerf included")]
    shortest_rip: Annotated[
        LengthOrNone, Given("shortest rip", LENGTH, "no shorter blank is ripped; for safe hands")
    ]
    deepest_cut: Annotated[
        LengthOrNone | None, Given("deepest cut", LENGTH, "no rip is deeper; blank where unlimited")
    ] = None
    usable_offcut: Annotated[
        LengthOrNone, Given("usable offcut", LENGTH, "shorter offcuts are scrap")
    ]
    local_factor: Annotated[
        Factor, Given("local factor", FACTOR, "what share of the shop price people pay here")
    ]
    target_margin: Annotated[Share, Given("target margin", PERCENT, "the profit wanted of a price")]
    ending: Annotated[Money, Given("price ending", MONEY, "suggested prices end so, e.g. 0.95")]
    offcuts: Annotated[
        Literal["share", "whole"],
        Given(
            "offcuts",
            WORD,
            "whole charges whole boards; share leaves usable offcuts out of the cost",
            ("share", "whole"),
            strict=True,
        ),
    ]
    main_tier: Annotated[
        Name, Given("main tier", NAME, "the tier that profit is judged by", "Tiers.tier")
    ]
    worth_per_hour: Annotated[
        Money, Given("worth making from", MONEY, "earned an hour: from here it is worth making")
    ]
    skip_per_hour: Annotated[Money, Given("skip below", MONEY, "earned an hour: below it, skip it")]
    check_prices_after: Annotated[
        Whole, Given("check prices after (days)", COUNT, "older prices are marked")
    ]
    stock_method: Annotated[
        Literal["materials", "inventory"],
        Given(
            "stock method",
            WORD,
            "materials: stock is a cost when the piece is sold, by the materials kept with each"
            " sale. inventory: by Counts, opening + purchases - closing",
            ("materials", "inventory"),
        ),
    ]
    tax: Annotated[
        Literal["us", "none"], Given("tax form", WORD, "us or none; change it in shop.yaml")
    ]
    other_income: Annotated[
        Money, Given("other income", MONEY, "business income that is no sale; see Year-end")
    ] = 0.0
    home_use: Annotated[
        Money,
        Given("business use of the home", MONEY, "the amount you may claim; 0: by the area below"),
    ] = 0.0
    home_area: Annotated[
        Number,
        Given("home area (sq ft)", AMOUNT, "used for the business alone; for the simplified rate"),
    ] = 0.0
    carried_179: Annotated[
        Money,
        Given("section 179 carried in", MONEY, "what past years' profit was too small for"),
    ] = 0.0
    other_earned: Annotated[
        Money,
        Given("other earned income", MONEY, "wages and other business; raises section 179's limit"),
    ] = 0.0
    other_wages: Annotated[
        Money,
        Given("other wages", MONEY, "social security was held back from them; see Year-end"),
    ] = 0.0
    income_tax_rate: Annotated[
        Share,
        Given("income tax rate", PERCENT, "your own guess, set aside with self-employment tax"),
    ] = 0.0
    written_off: Annotated[
        Money,
        Given("stock written off", MONEY, "wasted or lost; only with the stock method materials"),
    ] = 0.0
    smallest: Annotated[
        Positive, Given("smallest amount", RATE, "what amounts are rounded to; the currency's")
    ]
    tolerance: Annotated[
        Positive, Given("tolerance of checks", RATE, "sums that differ by less are taken as equal")
    ]


GIVEN = {
    name: next(each for each in info.metadata if isinstance(each, Given))
    for name, info in ShopSettings.model_fields.items()
}


def setting(name: str) -> Line:
    """A single value of the Settings sheet."""
    return Line("Settings", name)


YEAR_START, YEAR_END = setting("year_start"), setting("year_end")


def in_year(column: str = "date") -> tuple[Where, Where]:
    """The conditions that a date falls in the shop's year."""
    return where(column, ">=", YEAR_START), where(column, "<=", YEAR_END)


def state_in_year(state: Operand) -> Expression:
    """The state of a dated row: `other year` where the date falls outside, else as given."""
    outside = call("OR", this("date") < YEAR_START, this("date") > YEAR_END)
    return when(outside, "other year", state)


def _saw_sum() -> Expression:
    """One number that changes when any saw setting does, to tell a stale plan."""
    result: Expression = setting("kerf")
    for name in ("squaring", "end_trim", "shortest_rip", "deepest_cut", "usable_offcut"):
        result = Arithmetic("*", result + setting(name), setting(name) + 1)
    return result


class ChannelRow(Row):
    """A place or way of selling, with what it charges."""

    key: ClassVar[tuple[str, ...]] = ("channel",)
    channel: Annotated[Name, Given("channel", NAME, "a way of selling")]
    fee: Annotated[Share, Given("fee", PERCENT, "the share of the price it keeps")]
    fixed_fee: Annotated[Money, Given("fixed fee", MONEY, "charged for each receipt")]
    packaging: Annotated[Money, Given("packaging", MONEY, "box, paper and tape for a piece")]
    postage: Annotated[Money, Given("postage", MONEY, "paid by you for each receipt")]
    collects_sales_tax: Annotated[
        Literal["self", "marketplace"],
        Given(
            "sales tax by",
            WORD,
            "who collects it and pays it on",
            ("self", "marketplace"),
            strict=True,
        ),
    ] = "self"


class TierRow(Row):
    """A kind of price, sold through one channel."""

    key: ClassVar[tuple[str, ...]] = ("tier",)
    tier: Annotated[Name, Given("tier", NAME, "a kind of price")]
    channel: Annotated[
        Name,
        Given("channel", NAME, "the channel it is sold through", "Channels.channel", strict=True),
    ]
    margin: Annotated[
        Share | None, Given("margin", PERCENT, "the profit wanted; blank: the target margin")
    ] = None
    least_quantity: Annotated[
        Positive, Given("least quantity", COUNT, "sold from so many pieces at once")
    ] = 1.0
    follows: Annotated[
        Literal["market", "margin"],
        Given("follows", WORD, "what the price follows first", ("market", "margin"), strict=True),
    ] = "market"


_CHANNELS = table("Channels", ChannelRow, silent="channel", spare=6, capacity=100)


def _channel(name: str, otherwise: Operand = 0) -> Expression:
    return look_up("Channels", name, channel=this("channel"), otherwise=otherwise)


SOLD = (where("kind", "<>", "return"), where("kind", "<>", "own use"))
RETURNED = (where("kind", "=", "return"),)


def _goods(*rows: Where) -> Expression:
    return products("Sales ledger", ("quantity", "price"), *rows)


def _sum(column: str, *rows: Where) -> Expression:
    return total("Sales ledger", column, *rows)


def sold_value(*conditions: Where) -> Expression:
    """Pieces × price less discounts, plus postage charged, of sales and deposits."""
    rows = (*conditions, *SOLD)
    return _goods(*rows) - _sum("discount", *rows) + _sum("postage_charged", *rows)


def returned_value(*conditions: Where) -> Expression:
    """What was given back for returns: a discount on the row was never paid, so it stays out."""
    rows = (*conditions, *RETURNED)
    return -(_goods(*rows) + _sum("discount", *rows) + _sum("postage_charged", *rows))


def goods_value(*conditions: Where) -> Expression:
    """Pieces × price of sales, deposits and returns after discounts, without postage."""
    sold, back = (*conditions, *SOLD), (*conditions, *RETURNED)
    return _goods(*sold) - _sum("discount", *sold) + _goods(*back) + _sum("discount", *back)


def to_money(value: Expression) -> Expression:
    """Rounded to the smallest amount of the currency, half away from zero."""
    return rounded(value / setting("smallest"), 0) * setting("smallest")


def labor_for(minutes: Expression) -> Expression:
    """What so many minutes of work cost."""
    return minutes / Unit("hour") * setting("labor_rate")


def overhead_for(minutes: Expression) -> Expression:
    """What so many minutes at the bench cost besides labor."""
    return minutes / Unit("hour") * setting("overhead_rate")


QUARTERS = ("quarter 1", "quarter 2", "quarter 3", "quarter 4")


def _tax_due(quarter: str) -> Expression:
    def day(end: str) -> Expression:
        return look_up("Months and channels", end, label=quarter)

    collected = total(
        "Sales ledger",
        "sales_tax",
        where("tier", "=", this("tier")),
        where("date", ">=", day("start")),
        where("date", "<=", day("end")),
    )
    return when(_channel("collects_sales_tax", "").equals("self"), collected, 0)


_OF_TIER = (where("tier", "=", this("tier")), *in_year())

_TIERS = table(
    "Tiers",
    TierRow,
    computed(
        "margin_wanted",
        "margin wanted",
        PERCENT,
        when(blank(this("margin")), setting("target_margin"), this("margin")),
    ),
    computed("fee", "fee of the channel", PERCENT, _channel("fee")),
    computed(
        "selling_cost",
        "selling cost a piece",
        MONEY,
        _channel("packaging")
        + (_channel("fixed_fee") + _channel("postage"))
        / when(blank(this("least_quantity")), 1, this("least_quantity")),
        "Fixed fee and postage are shared by the pieces of the smallest order.",
    ),
    computed("sales", "sales this year", MONEY, sold_value(*_OF_TIER)),
    computed("returns", "returns this year", MONEY, returned_value(*_OF_TIER)),
    computed("sales_tax", "sales tax", MONEY, total("Sales ledger", "sales_tax", *_OF_TIER)),
    computed("fees", "fees charged", MONEY, total("Sales ledger", "fee", *_OF_TIER)),
    computed("postage", "postage paid", MONEY, total("Sales ledger", "postage", *_OF_TIER)),
    *(
        computed(
            f"tax_{n}",
            f"sales tax {name}",
            MONEY,
            _tax_due(name),
            "Collected through a channel that leaves it to you to pay it on.",
        )
        for n, name in enumerate(QUARTERS, 1)
    ),
    silent="tier",
    spare=6,
    capacity=100,
)


def _rows(*names: str) -> tuple[LineRow, ...]:
    return tuple(typed(name, GIVEN[name].header, GIVEN[name]) for name in names)


_LINES = Lines(
    "Settings",
    ("setting", "value", "what it is for"),
    (
        heading("The shop"),
        *_rows("shop", "year", "as_of", "currency", "units", "show_fractions_to", "paper"),
        line("year_start", "first day", DATE, call("DATE", setting("year"), 1, 1)),
        line("year_end", "last day", DATE, call("DATE", setting("year") + 1, 1, 1) - 1),
        heading("Time"),
        *_rows("labor_rate", "overhead_rate", "worth_per_hour", "skip_per_hour"),
        heading("Saw"),
        *_rows("kerf", "squaring", "end_trim", "shortest_rip", "deepest_cut", "usable_offcut"),
        line("saw_sum", "saw sum", AMOUNT, _saw_sum(), "changes when any saw setting changes"),
        LineRow(
            "saw sum of the plan",
            (Cell("planned_saw_sum", AMOUNT, role=Role.PLANNED),),
            "the saw sum when the cuts were planned",
        ),
        heading("Prices"),
        *_rows("local_factor", "target_margin", "ending", "offcuts", "main_tier"),
        *_rows("check_prices_after"),
        heading("Books"),
        *_rows("stock_method", "written_off", "tax", "other_income", "home_use", "home_area"),
        *_rows("carried_179", "other_earned", "other_wages", "income_tax_rate"),
        *_rows("smallest", "tolerance"),
    ),
)

SHEET = Sheet(
    "Settings",
    "Change the cells with a cream fill; everything else follows. Channels and tiers stand on the"
    " right, with spare rows.",
    (_LINES, _CHANNELS, _TIERS),
    group="plan",
    takes_rows=True,
)
