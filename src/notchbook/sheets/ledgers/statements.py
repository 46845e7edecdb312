"""Statements: what payment platforms report, beside the ledger; accounts one by one."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import Strength, look, no_number, of_values, state, unknown
from notchbook.sheets.kit.values import Day, Money, Name
from notchbook.sheets.kit.written import Written
from notchbook.sheets.ledgers.accounts import ACCOUNTS
from notchbook.sheets.ledgers.looks import OF_A_STATEMENT, OK_NOTE


class StatementRow(Row):
    """A platform's total for a period."""

    model_config = ConfigDict(populate_by_name=True)
    written = (Written("statements.csv"),)
    channel: Annotated[Name, Given("the channel it reports on", refers="Channels.channel")]
    first: Annotated[Day, Field(alias="from"), Given("first day reported", example="2026-01-01")]
    last: Annotated[Day, Field(alias="to"), Given("last day reported", example="2026-03-31")]
    gross: Annotated[
        Money,
        Given(
            "sales and postage charged, before fees, with or without sales tax", example="1204.50"
        ),
    ]
    ok: Annotated[Literal["yes"] | None, Given(OK_NOTE)] = None


_PERIOD = (
    x.where("channel", "=", this.channel),
    x.where("date", ">=", this.first),
    x.where("date", "<=", this.last),
    x.where("kind", "<>", "return"),
)

_TAX = x.total("Sales ledger", "sales_tax", *_PERIOD)

TABLE = table(
    "Statements",
    StatementRow,
    computed(
        "ledger",
        show.MONEY,
        x.total("Sales ledger", "gross", *_PERIOD)
        + x.total("Sales ledger", "postage_charged", *_PERIOD),
        "Sales and postage charged of the channel in the period, before returns.",
    ),
    computed(
        "tax_in_it",
        show.MONEY,
        when(
            x.call("ABS", this.gross - this.ledger - _TAX)
            < x.call("ABS", this.gross - this.ledger),
            _TAX,
            0,
        ),
        "Collected in the period, where what the platform reports holds it.",
        header="sales tax in it",
    ),
    computed("difference", show.MONEY, this.gross - this.ledger - this.tax_in_it),
    state(
        no_number("gross"),
        unknown("channel", "Channels.channel", strength=Strength.LOOK),
        look("ends too early", this.last < this.first, "write a day after the first"),
        *of_values(StatementRow),
        *OF_A_STATEMENT,
    ),
    silent="channel",
    spare=100,
    capacity=2_000,
)
SHEET = Sheet(
    "Statements",
    "Totals that payment platforms report; they should equal the ledger. On the right the accounts"
    " of Money, one by one.",
    (TABLE, ACCOUNTS),
    after="Money",
    group="ledger",
)
