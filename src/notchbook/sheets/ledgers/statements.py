"""Statements: what payment platforms report, beside the ledger."""

from __future__ import annotations

from typing import Annotated

from pydantic import ConfigDict, Field

from notchbook.language.expressions import missing, text_in, this, total, when, where
from notchbook.sheets.kit.declare import DATE, MONEY, NAME, WORD, Given, Row, Sheet, computed, table
from notchbook.sheets.kit.values import Day, Money, Name


class StatementRow(Row):
    """A platform's total for a period."""

    model_config = ConfigDict(populate_by_name=True)
    channel: Annotated[
        Name, Given("channel", NAME, "the channel it reports on", "Channels.channel")
    ]
    first: Annotated[Day, Field(alias="from"), Given("from", DATE, "first day reported")]
    last: Annotated[Day, Field(alias="to"), Given("to", DATE, "last day reported")]
    gross: Annotated[Money, Given("gross", MONEY, "sales and postage charged, before fees")]


_PERIOD = (
    where("channel", "=", this("channel")),
    where("date", ">=", this("first")),
    where("date", "<=", this("last")),
    where("kind", "<>", "return"),
)

TABLE = table(
    "Statements",
    StatementRow,
    computed(
        "ledger",
        "ledger",
        MONEY,
        total("Sales ledger", "gross", *_PERIOD)
        + total("Sales ledger", "postage_charged", *_PERIOD),
        "Sales and postage charged of the channel in the period, before returns.",
    ),
    computed("difference", "difference", MONEY, this("gross") - this("ledger")),
    computed(
        "state",
        "state",
        WORD,
        when(
            text_in("gross"),
            "no number",
            when(missing("Channels", channel=this("channel")), "no channel", ""),
        ),
    ),
    silent="channel",
    spare=100,
    capacity=2_000,
)
SHEET = Sheet(
    "Statements",
    "Totals that payment platforms report; they should equal the ledger.",
    (TABLE,),
    group="ledger",
    takes_rows=True,
    landscape=False,
)
