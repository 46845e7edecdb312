"""Stock: boards, panels, hardware and consumables, and what they cost by the piece and measure."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from notchbook.language.expressions import (
    Unit,
    blank,
    call,
    greatest,
    join,
    rounded,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.kit.declare import (
    AMOUNT,
    CHECKSUM,
    COUNT,
    DATE,
    LABEL,
    LENGTH,
    MINUTES,
    MONEY,
    NAME,
    RATE,
    VOLUME,
    WORD,
    Given,
    Row,
    Sheet,
    computed,
    planned,
    table,
)
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.kit.values import Day, Length, Money, Name, Number, Positive, Text
from notchbook.sheets.making.stock_report import STOCK_REPORT

KINDS = ("lumber", "panel", "hardware", "consumable")


class StockRow(Row):
    """Something bought: by the board, the sheet or the pack."""

    key: ClassVar[tuple[str, ...]] = ("stock",)
    stock: Annotated[Name, Given("stock", NAME, "the name that parts and uses refer to")]
    kind: Annotated[
        Literal["lumber", "panel", "hardware", "consumable"],
        Given("kind", WORD, "what sort of stock it is", KINDS, strict=True),
    ]
    nominal: Annotated[
        Text | None, Given("nominal", WORD, "the trade's size, such as 2x4; sizes beside are real")
    ] = None
    thickness: Annotated[
        Length | None, Given("thickness ({length})", LENGTH, "the real thickness")
    ] = None
    width: Annotated[Length | None, Given("width ({length})", LENGTH, "the real width")] = None
    length: Annotated[Length | None, Given("length ({length})", LENGTH, "as bought")] = None
    grain: Annotated[
        Literal["yes"] | None,
        Given("grain", WORD, "yes: parts keep their length along the sheet", ("yes",), strict=True),
    ] = None
    reclaimed: Annotated[
        Literal["yes"] | None,
        Given("reclaimed", WORD, "yes: it cannot be bought again", ("yes",), strict=True),
    ] = None
    price: Annotated[
        Money, Given("price of a pack", MONEY, "the price of a whole pack, sales tax included")
    ]
    pack: Annotated[Positive, Given("pack size", COUNT, "how many, or how much, are in a pack")] = (
        1.0
    )
    unit: Annotated[Text | None, Given("unit", WORD, "what the pack size counts")] = None
    covers: Annotated[
        Positive | None,
        Given("covers ({area})", AMOUNT, "the area of one coat, from the can; see covers per"),
    ] = None
    covers_per: Annotated[
        Positive | None, Given("covers per (units)", AMOUNT, "by so many units of the pack")
    ] = None
    vendor: Annotated[Text | None, Given("vendor", LABEL, "where it is bought")] = None
    priced_on: Annotated[Day | None, Given("priced on", DATE, "the day the price was seen")] = None
    on_hand: Annotated[
        Number, Given("on hand", COUNT, "the last count: boards, sheets, pieces or units")
    ] = 0.0
    prep_minutes: Annotated[
        Number, Given("prep minutes", MINUTES, "to clean and flatten one board; counts as labor")
    ] = 0.0


_NOMINAL_THICKNESS = when(
    this("nominal_thickness").equals(0), this("thickness"), this("nominal_thickness")
)
_NOMINAL_WIDTH = when(this("nominal_width").equals(0), this("width"), this("nominal_width"))
_IS_WOOD = call("OR", this("kind").equals("lumber"), this("kind").equals("panel"))
_BOUGHT = (
    where("stock", "=", this("stock")),
    where("packs", ">", 0),
    where("amount", ">", 0),
)
_PLAN_KEY = join(
    this("kind"),
    "/",
    this("grain"),
    "/",
    this("reclaimed"),
    "/",
    rounded(when(this("reclaimed").equals("yes"), this("on_hand"), 0), 2),
)
_SIZE = 1 + this("length") * (1 + this("width") * (1 + this("thickness")))

TABLE = table(
    "Stock",
    StockRow,
    computed(
        "each",
        "each",
        RATE,
        this("price") / when(blank(this("pack")), 1, this("pack")),
        "By the piece or unit.",
    ),
    computed(
        "board_measure",
        "board measure ({volume})",
        VOLUME,
        when(
            this("kind").equals("lumber"),
            call("MAX", _NOMINAL_THICKNESS, Unit("least_board"))
            * _NOMINAL_WIDTH
            * this("length")
            / Unit("board"),
            0,
        ),
        "Nominal sizes; stock under an inch counts as an inch.",
    ),
    computed("per_measure", "price a {volume}", MONEY, this("each") / this("board_measure")),
    computed(
        "face",
        "face ({area})",
        AMOUNT,
        when(_IS_WOOD, this("width") * this("length") / Unit("area"), 0),
    ),
    computed("per_face", "price a {area}", MONEY, this("each") / this("face")),
    computed(
        "coat",
        "one coat a {area}",
        RATE,
        this("each") * this("covers_per") / this("covers"),
        "What it costs to cover an area once.",
    ),
    computed(
        "price_age",
        "age of price (days)",
        COUNT,
        when(blank(this("priced_on")), 0, setting("as_of") - this("priced_on")),
    ),
    computed(
        "price_flag",
        "price check",
        WORD,
        when(
            this("reclaimed").equals("yes"),
            "",
            when(
                blank(this("priced_on")),
                "no date",
                when(this("price_age") > setting("check_prices_after"), "check price", ""),
            ),
        ),
    ),
    computed("last_bought", "last bought", DATE, greatest("Purchases", "date", *_BOUGHT)),
    computed(
        "last_paid",
        "last paid a pack",
        MONEY,
        total("Purchases", "amount", *_BOUGHT, date=this("last_bought"))
        / total("Purchases", "packs", *_BOUGHT, date=this("last_bought")),
        "From the newest row of Purchases that names this stock.",
    ),
    computed(
        "paid_more",
        "paid above price",
        MONEY,
        when(this("last_paid").equals(0), 0, rounded(this("last_paid") - this("price"), 4)),
    ),
    computed(
        "claimed",
        "wanted by batches",
        AMOUNT,
        total("Material takeoff", "need", stock=this("stock")),
        "All projects at their batch sizes, each planned for itself.",
    ),
    computed(
        "missing",
        "missing",
        AMOUNT,
        when(
            call("AND", this("reclaimed").equals("yes"), this("claimed") > this("on_hand")),
            this("claimed") - this("on_hand"),
            0,
        ),
        "Reclaimed stock that all projects together want and that is not there.",
    ),
    *STOCK_REPORT,
    computed("size_sum", "size sum", CHECKSUM, _SIZE, "Changes when a size does."),
    computed("plan_key", "plan words", LABEL, _PLAN_KEY, "What else the plan looked at."),
    computed(
        "stale",
        "plan state",
        WORD,
        when(
            call(
                "OR",
                rounded(this("size_sum") - this("planned_size"), 6).differs(0),
                this("plan_key").differs(this("planned_key")),
            ),
            "stale",
            "",
        ),
        "stale: its size, kind, grain or reclaimed count changed since the cuts were planned.",
    ),
    planned(
        "nominal_thickness",
        "nominal thickness",
        LENGTH,
        "the thickness that board feet are counted by; blank: the real one",
    ),
    planned(
        "nominal_width",
        "nominal width",
        LENGTH,
        "the width that board feet are counted by; blank: the real one",
    ),
    planned("planned_size", "size sum of the plan", CHECKSUM, "the size sum when planned"),
    planned("planned_key", "plan words of the plan", LABEL, "the plan words when planned"),
    silent="stock",
    spare=20,
    prints_to="missing",
)

SHEET = Sheet(
    "Stock",
    "What you buy. Prices are for the whole pack, with the sales tax you paid. A new row counts in"
    " plans after the next compile.",
    (TABLE,),
    group="plan",
    takes_rows=True,
)
