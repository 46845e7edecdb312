"""What a row of a ledger brings or costs where earnings are worked out: nothing counts twice.

Rows that a slip covers take no estimate: packaging by the channel's rate counts only in a year
without a slip for it, an estimated fee or postage only in a channel that no such slip belongs to;
and these slips count only where the channel's own rows hold nothing of the kind, or the maker says
`ok` beside one: then it is no slip of what the rows hold.
"""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed
from notchbook.sheets.kit.settings import YEAR_END, YEAR_START
from notchbook.sheets.ledgers.sales_totals import PAID, SOLD
from notchbook.sheets.ledgers.slip_totals import COST_OF_SLIP

IN_YEAR = (this.date >= YEAR_START) & (this.date <= YEAR_END)
PACKAGING_SLIPS = x.Line("Results", "packaging_slips")
CAR_SLIPS = x.Line("Results", "car_slips")
"""What the year's slips say of packaging and of the car, in all."""


def of_channel(column: str) -> x.Expression:
    """What Results says of the row's channel."""
    return x.look_up("Results by channel", column, channel=this.channel)


def _project(column: str) -> x.Expression:
    return x.look_up("Projects", column, project=this.project)


def _no_slip_for(category: str, typed: str) -> x.Expression:
    """Whether a slip of the category tells what the rows of its channel hold already."""
    return this.category.equals(category) & this.ok.differs("yes") & of_channel(typed).differs(0)


BORNE = when(
    IN_YEAR
    & (this.counts_as.equals("selling") | this.counts_as.equals("overhead"))
    & x.call("NOT", x.blank(this.channel)),
    when(
        _no_slip_for("fees", "fees_typed") | _no_slip_for("postage", "postage_typed"),
        0,
        COST_OF_SLIP,
    ),
    0,
)


def drives(*conditions: x.Where) -> x.Expression:
    """What drives cost at the rate of their day; none where the real costs of the car count."""
    return when(CAR_SLIPS.equals(0), x.total("Mileage", "amount", *conditions), 0)


def income(*conditions: x.Where) -> x.Expression:
    """What was paid for goods and postage less what was given back, own use aside."""
    return x.total("Sales ledger", "gross", *conditions) + x.total(
        "Sales ledger", "postage_charged", *conditions, SOLD[1]
    )


_MOVES = x.call(
    "NOT",
    this.kind.equals("deposit") | this.kind.equals("own use") | this.deposit_back.differs(0),
)


def _taken(typed: str, taken: str, on_slips: str) -> x.Expression:
    """A fee or postage as typed; estimated only where no slip covers it."""
    return when(x.blank(this(typed)) & (of_channel(on_slips) > 0), 0, this(taken))


EARNINGS = (
    computed("pieces", show.COUNT, when(_MOVES, this.quantity, 0), "Sold less given back."),
    computed(
        "materials",
        show.MONEY,
        this.pieces * this.unit_materials.or_else(_project("unit_materials")),
        "Of the pieces, as kept with the row.",
    ),
    computed(
        "packaging",
        show.MONEY,
        when(
            PACKAGING_SLIPS.equals(0) & (this.gross > 0) & this.kind.differs("deposit"),
            this.quantity * x.look_up("Channels", "packaging", channel=this.channel),
            0,
        ),
        "By the channel's rate, in a year without a slip for packaging.",
    ),
    computed(
        "slips",
        show.MONEY,
        PAID * of_channel("slip_rate"),
        "Its share of the selling slips that its channel bears.",
    ),
    computed(
        "proceeds",
        show.MONEY,
        PAID
        - _taken("fee", "fee_taken", "fee_slips")
        - _taken("postage", "postage_taken", "postage_slips")
        - this.packaging
        - this.slips,
        "What is left of the price and the postage charged after all costs of selling it.",
    ),
    computed(
        "wear",
        show.MONEY,
        this.pieces * _project("tools") / (1 - _project("spoilage")),
        "Tool wear of the pieces.",
    ),
    computed(
        "bench_minutes",
        show.MINUTES,
        this.pieces * x.look_up("Results by project", "minutes_taken", project=this.project),
        "Of the pieces: as the log has it, else as planned.",
    ),
)
"""What a row of the Sales ledger brings, in columns that Results adds up."""
