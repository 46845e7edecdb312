"""Money: what lay in the accounts at first and last, and what is in no other ledger."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Lines, Sheet, heading, line, table
from notchbook.sheets.kit.faults import look, no_number, of_values, state
from notchbook.sheets.kit.settings import YEAR_END, YEAR_START, in_year
from notchbook.sheets.kit.values import Day, Money, Name, Text
from notchbook.sheets.kit.written import Written
from notchbook.sheets.ledgers.dated import OTHER_YEAR
from notchbook.sheets.ledgers.sales_totals import returned_value, sold_value


class MoneyRow(Row):
    """What an account held, or money that is in no other ledger."""

    written = (Written("money.csv"),)
    date: Annotated[
        Day, Given("an opening is that day's morning, a closing its evening", example="2026-01-01")
    ]
    account: Annotated[Name, Given("the till, the bank, a platform", example="till")]
    what: Annotated[
        Literal[
            "opening",
            "closing",
            "owner in",
            "owner out",
            "other income",
            "other in",
            "other out",
            "transfer",
            "sales tax paid",
            "use tax paid",
        ],
        Given("what it is; sales, fees and slips stand in their own ledgers", example="opening"),
    ]
    amount: Annotated[Money, Given("how much; always above zero", example="150.00")]
    to: Annotated[Name | None, Given("the account that a transfer goes to", example="bank")] = None
    note: Annotated[Text | None, Given("anything", example="float for the stall")] = None


def money_line(name: str) -> x.Line:
    """A line above the table of Money."""
    return x.Line("Accounts", name)


def paid_on(what: str) -> x.Expression:
    """What the year's rows of a kind come to."""
    return x.total("Money", "amount", x.where("what", "=", what), *in_year())


def _how_many(what: str) -> x.Expression:
    return x.count("Money", "amount", x.where("what", "=", what))


_OPENED = x.least("Money", "date", x.where("what", "=", "opening"))
_CLOSED = x.greatest("Money", "date", x.where("what", "=", "closing"))
_PERIOD = (
    x.where("date", ">=", money_line("opened_on")),
    x.where("date", "<=", money_line("closed_on")),
)


def _of(*kinds: str) -> x.Expression:
    first, *rest = (
        x.total("Money", "amount", x.where("what", "=", kind), *_PERIOD) for kind in kinds
    )
    result: x.Expression = first
    for each in rest:
        result = result + each
    return result


_TAX = x.total("Sales ledger", "sales_tax", *_PERIOD) - x.total("Tiers", "tax_elsewhere")
_TOOLS_SOLD = x.total(
    "Tool depreciation",
    "disposed_for",
    x.where("disposed", ">=", money_line("opened_on")),
    x.where("disposed", "<=", money_line("closed_on")),
)
TAX_ELSEWHERE = x.total("Sales ledger", "sales_tax", x.where("tier", "=", this.tier), *_PERIOD)
"""Of a tier, while the accounts are looked at: yours only where the channel leaves it to you."""

_LINES = Lines(
    "Accounts",
    ("what", "amount", "how it is found"),
    (
        heading("The accounts together"),
        line(
            "opened_on",
            "from the morning of",
            show.DATE,
            when(_how_many("opening") > 0, _OPENED, YEAR_START),
            "the first opening, else the year's first day",
        ),
        line(
            "closed_on",
            "to the evening of",
            show.DATE,
            when(_how_many("closing") > 0, _CLOSED, YEAR_END),
            "the newest closing, else the year's last day",
        ),
        line("opening", "there at the beginning", show.MONEY, _of("opening")),
        line(
            "sales",
            "sales, postage charged and sales tax",
            show.MONEY,
            sold_value(*_PERIOD) - returned_value(*_PERIOD) + _TAX,
            "less returns; sales tax that a marketplace keeps is not in it",
        ),
        line(
            "other_in",
            "other money in",
            show.MONEY,
            _of("owner in", "other income", "other in") + _TOOLS_SOLD,
            "the owner's, other income, tools sold",
        ),
        line(
            "fees",
            "fees and postage",
            show.MONEY,
            x.total("Sales ledger", "fee", *_PERIOD) + x.total("Sales ledger", "postage", *_PERIOD),
            "as typed in the ledger; what a platform keeps is paid, too",
        ),
        line("slips", "slips", show.MONEY, x.total("Purchases", "amount", *_PERIOD)),
        line(
            "other_out",
            "other money out",
            show.MONEY,
            _of("owner out", "other out", "sales tax paid", "use tax paid"),
        ),
        line(
            "expected",
            "should be there at the end",
            show.MONEY,
            money_line("opening")
            + money_line("sales")
            + money_line("other_in")
            - money_line("fees")
            - money_line("slips")
            - money_line("other_out"),
        ),
        line(
            "closing",
            "is there at the end",
            show.MONEY,
            x.total(
                "Money",
                "amount",
                x.where("what", "=", "closing"),
                x.where("date", "=", money_line("closed_on")),
            ),
        ),
        line(
            "gap",
            "missing (below 0) or too much",
            show.MONEY,
            when(
                (_how_many("opening") > 0) & (_how_many("closing") > 0),
                money_line("closing") - money_line("expected"),
                0,
            ),
            "0, or a row is missing; payouts that a platform still holds are part of it",
        ),
    ),
)

TABLE = table(
    "Money",
    MoneyRow,
    computed("month", show.COUNT, x.call("MONTH", this.date)),
    state(
        no_number("amount"),
        OTHER_YEAR,
        look(
            "to which account",
            this.what.equals("transfer") & x.blank(this.to),
            "write the account that it goes to",
            "to",
        ),
        *of_values(MoneyRow),
    ),
    silent="date",
    spare=100,
    capacity=10_000,
    workings=("month",),
)
SHEET = Sheet(
    "Money",
    "What each account held at first and at last, and money that is in no other ledger.",
    (_LINES, TABLE),
    after="Counts",
    group="ledger",
    landscape=False,
)
