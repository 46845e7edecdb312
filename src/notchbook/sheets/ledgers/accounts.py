"""The accounts of Money: what they should hold and what they do, together and one by one.

Together they are looked at in any case; one by one where every row that moves money names its
account, so that a transfer nobody wrote down shows, too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.declare import Lines, Sheet, heading, line, table
from notchbook.sheets.kit.settings import YEAR_END, YEAR_START, setting
from notchbook.sheets.ledgers.money import CLOSED, OPENED, PERIOD, TABLE, how_many, money_line
from notchbook.sheets.ledgers.sales_totals import returned_value, sold_value

BY_ACCOUNT = "By account"
NEVER_OPENED, MISSING, TOO_MUCH = "not opened", "missing", "too much"
_IN, _OUT = ("owner in", "other income", "other in"), ("owner out", "other out")
_TAX_PAID = ("sales tax paid", "use tax paid")


def _of(*kinds: str, rows: tuple[x.Where, ...] = PERIOD) -> x.Expression:
    first, *rest = (x.total("Money", "amount", x.where("what", "=", kind), *rows) for kind in kinds)
    result: x.Expression = first
    for each in rest:
        result = result + each
    return result


_TAX = x.total("Sales ledger", "sales_tax", *PERIOD) - x.total("Tiers", "tax_elsewhere")
_DISPOSED = (
    x.where("disposed", ">=", money_line("opened_on")),
    x.where("disposed", "<=", money_line("closed_on")),
)
_TOOLS_SOLD = x.total("Tool depreciation", "disposed_for", *_DISPOSED)
_LAST_DAY = x.where("date", "=", money_line("closed_on"))
_MONEY_MOVES = (*PERIOD, x.where("kind", "<>", "own use"))
_NAMED = x.where("account", "<>", "")
_UNNAMED = (
    money_line("unnamed_sales")
    + x.count("Purchases", "date", *PERIOD)
    - x.count("Purchases", "date", *PERIOD, _NAMED)
    + x.count("Tool depreciation", "disposed_for", x.where("disposed_for", ">", 0), *_DISPOSED)
)
ALL_CLOSED = (
    (how_many("opening") > 0)
    & (how_many("closing") > 0)
    & (how_many("closing", _LAST_DAY) >= how_many("opening"))
)
"""Every account that was opened is closed on the newest closing day; until then nothing is told."""

_LINES = Lines(
    "Accounts",
    ("what", "amount", "how it is found"),
    (
        heading("The accounts together"),
        line(
            "opened_on",
            "from the morning of",
            show.DATE,
            when(how_many("opening") > 0, OPENED, YEAR_START),
            "the first opening, else the year's first day",
        ),
        line(
            "closed_on",
            "to the evening of",
            show.DATE,
            when(how_many("closing") > 0, CLOSED, YEAR_END),
            "the newest closing, else the year's last day",
        ),
        line("opening", "there at the beginning", show.MONEY, _of("opening")),
        line("sold", "sold, with postage charged", show.MONEY, sold_value(*PERIOD)),
        line("given_back", "given back for returns", show.MONEY, returned_value(*PERIOD)),
        line(
            "sales",
            "sales and their sales tax",
            show.MONEY,
            money_line("sold") - money_line("given_back") + _TAX,
            "less returns; sales tax that a marketplace keeps is not in it",
        ),
        line(
            "other_in",
            "other money in",
            show.MONEY,
            _of(*_IN) + _TOOLS_SOLD,
            "from the owner, other income, tools sold",
        ),
        line(
            "fees",
            "fees and postage",
            show.MONEY,
            x.total("Sales ledger", "fee", *PERIOD) + x.total("Sales ledger", "postage", *PERIOD),
            "as typed in the ledger; what a platform keeps counts as paid",
        ),
        line("slips", "slips", show.MONEY, x.total("Purchases", "amount", *PERIOD)),
        line(
            "other_out",
            "other money out",
            show.MONEY,
            _of(*_OUT, *_TAX_PAID),
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
            when(ALL_CLOSED, money_line("closing") - money_line("expected"), 0),
            "waits until every account that was opened is closed that evening",
        ),
        line(
            "unnamed_sales",
            "sales that name no account",
            show.NUMBER_OF,
            x.count("Sales ledger", "date", *_MONEY_MOVES)
            - x.count("Sales ledger", "date", *_MONEY_MOVES, _NAMED),
        ),
        line(
            "unnamed",
            "rows that name no account",
            show.NUMBER_OF,
            _UNNAMED,
            "with none left, each account is looked at by itself on Statements",
        ),
    ),
)

_MINE = x.where("account", "=", this.account)
_SINCE = (x.where("date", ">=", this.opened), x.where("date", "<=", money_line("closed_on")))
_OF_IT = (_MINE, *_SINCE)
_TO_IT = (x.where("to", "=", this.account), *_SINCE)
_IS_OPENED = how_many("opening", _MINE) > 0
_GAP = when(money_line("unnamed").equals(0) & ALL_CLOSED, this.closing - this.expected, 0)

ACCOUNTS = table(
    BY_ACCOUNT,
    None,
    planned("account", show.NAME, "one that a row of Money, of the Sales ledger or a slip names"),
    computed(
        "opened",
        show.DATE,
        when(
            _IS_OPENED,
            x.least("Money", "date", x.where("what", "=", "opening"), _MINE),
            money_line("opened_on"),
        ),
        "The day of its opening, else that of the first of all.",
        header="from",
    ),
    computed("opening", show.MONEY, _of("opening", rows=_OF_IT)),
    computed(
        "sold",
        show.MONEY,
        x.total("Sales ledger", "moved", *_OF_IT),
        "Sales, postage charged and sales tax that is yours, less fees and postage.",
        header="sales less fees",
    ),
    computed(
        "other_in",
        show.MONEY,
        _of(*_IN, rows=_OF_IT) + _of("transfer", rows=_TO_IT),
        "The owner's, other income, transfers to it.",
        header="other in",
    ),
    computed("slips", show.MONEY, x.total("Purchases", "amount", *_OF_IT)),
    computed(
        "other_out",
        show.MONEY,
        _of(*_OUT, *_TAX_PAID, "transfer", rows=_OF_IT),
        "The owner's, taxes paid, transfers from it.",
        header="other out",
    ),
    computed(
        "expected",
        show.MONEY,
        this.opening + this.sold + this.other_in - this.slips - this.other_out,
        header="should be there",
    ),
    computed("closing", show.MONEY, _of("closing", rows=(_MINE, _LAST_DAY)), header="is there"),
    computed(
        "gap",
        show.MONEY,
        _GAP,
        "0 until every row that moves money names its account, and every account is closed.",
        header="missing (below 0) or too much",
    ),
    computed(
        "state",
        show.WORD,
        x.cases(
            (
                (how_many("opening") > 0) & ~_IS_OPENED & how_many("transfer", *_TO_IT).equals(0),
                NEVER_OPENED,
            ),
            (this.gap <= -setting.tolerance, MISSING),
            (this.gap >= setting.tolerance, TOO_MUCH),
            otherwise="",
        ),
    ),
    silent="account",
    capacity=200,
)
SHEET = Sheet(
    "Money",
    "What each account held at first and at last, and money that is in no other ledger.",
    (_LINES, TABLE),
    after="Counts",
    group="ledger",
)


def account_rows(
    money: Iterable[Mapping[str, object]], *ledgers: Iterable[Mapping[str, object]]
) -> list[dict[str, str]]:
    """A row for each account that is named, those of Money first."""
    said = [
        *(row.get(column) for row in money for column in ("account", "to")),
        *(row.get("account") for rows in ledgers for row in rows),
    ]
    names = {str(each).casefold(): str(each) for each in reversed(said) if each}
    return [{"account": name} for name in reversed(names.values())]
