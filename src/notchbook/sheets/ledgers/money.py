"""Money: what each account held at first and at last, and what is in no other ledger."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import table
from notchbook.sheets.kit.faults import look, no_number, of_values, state
from notchbook.sheets.kit.settings import in_year
from notchbook.sheets.kit.values import AnyMoney, Day, Name, Text
from notchbook.sheets.kit.written import Written
from notchbook.sheets.ledgers.dated import OTHER_YEAR
from notchbook.sheets.ledgers.looks import OF_MONEY, OK_NOTE


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
        Given(
            "what it is; sales, fees and slips stand in their own ledgers",
            look=show.LABEL,
            example="opening",
        ),
    ]
    amount: Annotated[
        AnyMoney, Given("how much; below zero only where an account is owed", example="150.00")
    ]
    to: Annotated[Name | None, Given("the account that a transfer goes to", example="bank")] = None
    note: Annotated[Text | None, Given("anything", example="float for the stall")] = None
    ok: Annotated[Literal["yes"] | None, Given(OK_NOTE)] = None


def money_line(name: str) -> x.Line:
    """A line above the table of Money."""
    return x.Line("Accounts", name)


def paid_on(what: str) -> x.Expression:
    """What the year's rows of a kind come to."""
    return x.total("Money", "amount", x.where("what", "=", what), *in_year())


def how_many(what: str, *rows: x.Where) -> x.Expression:
    """How many rows of a kind there are."""
    return x.count("Money", "amount", x.where("what", "=", what), *rows)


OPENED = x.least("Money", "date", x.where("what", "=", "opening"))
CLOSED = x.greatest("Money", "date", x.where("what", "=", "closing"))
PERIOD = (
    x.where("date", ">=", money_line("opened_on")),
    x.where("date", "<=", money_line("closed_on")),
)


TAX_ELSEWHERE = x.total("Sales ledger", "sales_tax", x.where("tier", "=", this.tier), *PERIOD)
"""Of a tier, while the accounts are looked at: yours only where the channel leaves it to you."""

_OF_ACCOUNT = x.where("account", "=", this.account)
_ON_DAY = x.where("date", "=", this.date)
_LAST_OF_IT = (_OF_ACCOUNT, x.where("date", "=", CLOSED))
_IS_CLOSED = how_many("closing") > 0

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
        look(
            "below zero",
            this.what.differs("opening") & this.what.differs("closing") & (this.amount < 0),
            "write it above zero; what it is says which way it goes",
            "amount",
        ),
        look("to itself", this.to.equals(this.account), "write the account that it goes to"),
        look(
            "opened twice",
            this.what.equals("opening") & (how_many("opening", _OF_ACCOUNT) > 1),
            "an account opens once; what it holds on a later day is a closing",
            "what",
        ),
        look(
            "closed twice",
            this.what.equals("closing") & (how_many("closing", _OF_ACCOUNT, _ON_DAY) > 1),
            "it holds one amount on one evening; delete the other",
            "what",
        ),
        look(
            "not closed",
            this.what.equals("opening") & _IS_CLOSED & how_many("closing", *_LAST_OF_IT).equals(0),
            "write what it held on the day of the newest closing; the accounts wait for it",
            "account",
        ),
        *of_values(MoneyRow),
        *OF_MONEY,
    ),
    silent="date",
    spare=100,
    capacity=10_000,
    workings=("month",),
)
