"""Stock: boards, panels, hardware and consumables, and what they cost by the piece and measure."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed, planned
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import fault, lacks, names_header, state, twice, useless
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.kit.values import Day, Length, Money, Name, Number, Positive, Text
from notchbook.sheets.kit.written import Reads, Written
from notchbook.sheets.ledgers.slip_totals import slip_costs
from notchbook.sheets.making.stock_report import STOCK_REPORT
from notchbook.sheets.making.there_now import THERE_NOW
from notchbook.sheets.making.wood_kinds import IS_LUMBER, IS_PANEL, IS_WOOD

_PACKS_HAVE = ("pack", "unit", "covers", "covers_per")
_BOARDS_HAVE = ("nominal", "thickness", "width", "length", "grain", "reclaimed", "prep_minutes")


class StockRow(Row):
    """Something bought: by the board, the sheet or the pack."""

    key = ("stock",)
    written = (
        Written(
            *("stock.yaml", "lumber", "lumber", "boards"),
            sets={"kind": "lumber"},
            without=("grain", *_PACKS_HAVE),
            asks=("length",),
            reads={"on_hand": Reads.WHOLE},
        ),
        Written(
            *("stock.yaml", "panels", "panel", "plywood and other sheets"),
            sets={"kind": "panel"},
            without=("nominal", *_PACKS_HAVE),
            asks=("thickness", "width", "length"),
            reads={"on_hand": Reads.WHOLE},
            examples={"stock": "ply 1/4 2x4ft", "thickness": "1/4", "width": "24", "length": "48"},
        ),
        Written(
            *("stock.yaml", "hardware", "hardware", "what is used by the piece"),
            sets={"kind": "hardware"},
            without=(*_BOARDS_HAVE, "covers", "covers_per"),
            examples={"stock": "brass cup pull", "pack": "10", "unit": "piece"},
        ),
        Written(
            *("stock.yaml", "consumables", "consumable", "glue, finish and the like"),
            sets={"kind": "consumable"},
            without=_BOARDS_HAVE,
            asks=("pack", "unit"),
            examples={"stock": "wood glue", "price": "8.90", "on_hand": "40"},
        ),
    )
    stock: Annotated[Name, Given("the name that parts and uses refer to", example="spruce 2x4 8ft")]
    kind: Annotated[
        Literal["lumber", "panel", "hardware", "consumable"], Given("what sort of stock it is")
    ]
    nominal: Annotated[
        Text | None,
        Given(
            "the trade's size, in place of thickness and width; where these stand beside it, they"
            " are the real ones",
            look=show.WORD,
            example="2x4",
        ),
    ] = None
    thickness: Annotated[Length | None, Given("the real thickness", example="7/8")] = None
    width: Annotated[Length | None, Given("the real width", example="5 1/2")] = None
    length: Annotated[Length | None, Given("as bought", example="96")] = None
    grain: Annotated[Literal["yes"] | None, Given("parts keep their length along the sheet")] = None
    reclaimed: Annotated[Literal["yes"] | None, Given("it cannot be bought again")] = None
    price: Annotated[
        Money,
        Given(
            "of a board, a sheet or a whole pack, sales tax included; 0 for reclaimed",
            header="pack price",
            example="4.15",
        ),
    ]
    pack: Annotated[
        Positive,
        Given(
            "how many, or how much, are in a pack",
            header="pack size",
            look=show.COUNT,
            example="16",
        ),
    ] = 1.0
    unit: Annotated[
        Text | None, Given("what the pack size counts", look=show.WORD, example="fl oz")
    ] = None
    covers: Annotated[
        Positive | None,
        Given(
            "the {area} of one coat, from the can; see covers per",
            header="covers ({area})",
            example="125",
        ),
    ] = None
    covers_per: Annotated[
        Positive | None,
        Given("with so many units of the pack", example="32"),
    ] = None
    vendor: Annotated[
        Text | None, Given("where it is bought", look=show.LABEL, example="Yard A")
    ] = None
    priced_on: Annotated[Day | None, Given("the day the price was seen")] = None
    on_hand: Annotated[
        Number,
        Given("the last count: boards, sheets, pieces or units", look=show.COUNT, example="3"),
    ] = 0.0
    counted_on: Annotated[
        Day | None,
        Given(
            "the day on hand was counted; without a day, on hand stays as typed",
            example="2026-12-31",
        ),
    ] = None
    prep_minutes: Annotated[
        Number,
        Given(
            "to clean and flatten one board; counts as labor",
            header="prep (min)",
            look=show.MINUTES,
            example="12",
        ),
    ] = 0.0


_NOMINAL_THICKNESS = when(this.nominal_thickness.equals(0), this.thickness, this.nominal_thickness)
_NOMINAL_WIDTH = when(this.nominal_width.equals(0), this.width, this.nominal_width)
_BOUGHT = (x.where("stock", "=", this.stock), x.where("packs", ">", 0), x.where("amount", ">", 0))
_SPARED = x.call(
    "MIN",
    x.total("Material takeoff", "spared", stock=this.stock),
    x.total("Offcuts", "count", stock=this.stock),
)
_PLAN_KEY = x.join(this.kind, "/", this.grain, "/", this.reclaimed)
_SIZE = 1 + this.length * (1 + this.width * (1 + this.thickness))

_PACKED = this.kind.equals("hardware") | this.kind.equals("consumable")
_OF_WOOD = "leave it out; it is for boards and panels"
_FAULTS = (
    names_header("stock"),
    twice("Stock", "stock"),
    *(
        lacks(size, IS_WOOD, "no size", "wood needs all three; write it, or a nominal size")
        for size in ("thickness", "width", "length")
    ),
    *(useless(name, _PACKED, _OF_WOOD) for name in ("thickness", "width", "length", "reclaimed")),
    fault("of no use here", _PACKED & (this.prep_minutes > 0), _OF_WOOD, "prep_minutes"),
    useless("nominal", _PACKED | IS_PANEL, "leave it out; it is for lumber"),
    useless("grain", _PACKED | IS_LUMBER, "leave it out; it is for panels"),
    useless("covers", IS_WOOD),
    lacks("covers_per", ~x.blank(this.covers), "no covers per", "write both of them"),
    lacks("covers", ~x.blank(this.covers_per), "no covers", "write both of them"),
)

TABLE = table(
    "Stock",
    StockRow,
    computed("each", show.RATE, this.price / this.pack.or_else(1), "By the piece or unit."),
    computed(
        "board_measure",
        show.VOLUME,
        when(
            IS_LUMBER,
            x.call("MAX", _NOMINAL_THICKNESS, x.Unit("least_board"))
            * _NOMINAL_WIDTH
            * this.length
            / x.Unit("board"),
            0,
        ),
        "Nominal sizes; stock under an inch counts as an inch.",
        header="board measure ({volume})",
    ),
    computed("per_measure", show.MONEY, this.each / this.board_measure, header="price a {volume}"),
    computed(
        "face",
        show.AMOUNT,
        when(IS_WOOD, this.width * this.length / x.Unit("area"), 0),
        header="face ({area})",
    ),
    computed("per_face", show.MONEY, this.each / this.face, header="price a {area}"),
    computed(
        "coat",
        show.RATE,
        this.each * this.covers_per / this.covers,
        "What it costs to cover an area once.",
        header="one coat a {area}",
    ),
    computed(
        "price_age",
        show.COUNT,
        when(x.blank(this.priced_on), 0, setting.as_of - this.priced_on),
        header="age of price (days)",
    ),
    computed(
        "price_flag",
        show.WORD,
        x.cases(
            (this.reclaimed.equals("yes"), ""),
            (x.blank(this.priced_on), "no date"),
            (this.price_age > setting.check_prices_after, "old price"),
        ),
        header="price check",
    ),
    computed("last_bought", show.DATE, x.greatest("Purchases", "date", *_BOUGHT)),
    computed(
        "last_paid",
        show.MONEY,
        slip_costs(*_BOUGHT, date=this.last_bought)
        / x.total("Purchases", "packs", *_BOUGHT, date=this.last_bought),
        "From the newest row of Purchases that names this stock.",
        header="last paid a pack",
    ),
    computed(
        "paid_more",
        show.MONEY,
        when(this.last_paid.equals(0), 0, x.rounded(this.last_paid - this.price, 4)),
        header="paid over list price",
    ),
    computed(
        "claimed",
        show.AMOUNT,
        x.total("Material takeoff", "need", stock=this.stock),
        "All projects at their batch sizes, each planned for itself.",
        header="needed for all batches",
    ),
    computed(
        "missing",
        show.AMOUNT,
        when(
            this.reclaimed.equals("yes"),
            x.call("MAX", this.claimed - _SPARED - this.there_now, 0),
            0,
        ),
        "Reclaimed stock that all projects together want and that is not there. An offcut spares"
        " one board at most, whichever project it is cut for.",
    ),
    *THERE_NOW,
    *STOCK_REPORT,
    computed("size_sum", show.CHECKSUM, _SIZE, "Changes when a size does."),
    computed(
        "plan_key", show.LABEL, _PLAN_KEY, "What else the plan looked at.", header="plan words"
    ),
    computed(
        "stale",
        show.WORD,
        when(
            x.rounded(this.size_sum - this.planned_size, 6).differs(0)
            | this.plan_key.differs(this.planned_key),
            "stale",
            "",
        ),
        "stale: its size, kind or grain changed since the cuts were planned.",
        header="plan state",
    ),
    state(*_FAULTS),
    computed(
        "use_rate",
        show.PERCENT,
        this.planned_use.or_else(
            x.cases(
                (IS_LUMBER, setting.use_lumber),
                (IS_PANEL, setting.use_panel),
                otherwise=x.as_node(0),
            )
        ),
        "The share of the wood bought that ends up in pieces; ideas reckon by it.",
    ),
    computed(
        "use_from",
        show.LABEL,
        when(x.blank(this.planned_use), when(IS_WOOD, "common practice", ""), this.planned_from),
        header="use rate from",
    ),
    planned(
        "planned_use",
        show.PERCENT,
        "the use rate of your proved plans; blank: none tells it",
        header="use rate planned",
    ),
    planned("planned_from", show.LABEL, "which plans told it", header="use rate by"),
    planned(
        "nominal_thickness",
        show.LENGTH,
        "the thickness that board feet are counted by; blank: the real one",
    ),
    planned(
        "nominal_width",
        show.LENGTH,
        "the width that board feet are counted by; blank: the real one",
    ),
    planned(
        "planned_size", show.CHECKSUM, "the size sum when planned", header="size sum of the plan"
    ),
    planned(
        "planned_there",
        show.AMOUNT,
        "what was there when the cuts were planned; of reclaimed stock they take no more",
        header="there when planned",
    ),
    planned(
        "planned_key", show.LABEL, "the plan words when planned", header="plan words of the plan"
    ),
    silent="stock",
    spare=20,
    leads=(
        "stock",
        "kind",
        "price",
        "pack",
        "unit",
        "each",
        "on_hand",
        "counted_on",
        "there_now",
        "vendor",
        "priced_on",
        "price_flag",
    ),
    details=(
        *("board_measure", "per_measure", "face", "per_face", "coat", "price_age"),
        *("last_bought", "last_paid", "paid_more", "claimed", "missing"),
        *("counted_last", "moves_after", "counted_then", "bought_since", "used_since"),
        *("opening", "bought"),
        *("average_cost", "moving_average", "books_value", "not_paid", "used", "expected"),
        *("counted", "shrinkage", "shrinkage_value", "on_hand_gap", "stale"),
    ),
    workings=(
        *(
            "uncounted",
            "counts_day",
            "size_sum",
            "plan_key",
            "nominal_thickness",
            "nominal_width",
            "planned_size",
        ),
        *("planned_there", "planned_key", "use_rate", "use_from", "planned_use", "planned_from"),
    ),
)

SHEET = Sheet(
    "Stock",
    "What you buy. Prices are for the whole pack, with the sales tax you paid. A new row counts in"
    " plans after the next compile.",
    (TABLE,),
    after="Ideas",
    group="plan",
)
