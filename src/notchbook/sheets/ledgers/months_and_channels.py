"""Months and channels: the year by month, quarter, channel, project, tier and category."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from notchbook.language.expressions import (
    Expression,
    Where,
    call,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.kit.declare import (
    COUNT,
    DATE,
    MONEY,
    NAME,
    WORD,
    Sheet,
    computed,
    planned,
    table,
)
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.ledgers.channels import QUARTERS
from notchbook.sheets.ledgers.sales_totals import returned_value, sold_value
from notchbook.tax.forms import categories, form_lines

_PERIOD = (where("date", ">=", this("start")), where("date", "<=", this("end")))
_KINDS = ("channel", "category", "project", "tier")
_MONTHS = (
    *("Jan", "Feb", "Mar", "Apr", "May", "Jun"),
    *("Jul", "Aug", "Sep", "Oct", "Nov", "Dec"),
)


def _is(kind: str) -> Expression:
    return this("kind").equals(kind)


def _sold(by_tier: str, in_period: Callable[..., Expression]) -> Expression:
    """Channels add up their tiers; all else reads the ledger; categories sell nothing."""
    of_channel = total("Tiers", by_tier, channel=this("label"))
    of_project = in_period(*_PERIOD, where("project", "=", this("label")))
    of_tier = in_period(*_PERIOD, where("tier", "=", this("label")))
    of_ledger = when(_is("project"), of_project, when(_is("tier"), of_tier, in_period(*_PERIOD)))
    return when(_is("channel"), of_channel, when(_is("category"), 0, of_ledger))


def _ledger(column: str) -> Callable[..., Expression]:
    return lambda *conditions: total("Sales ledger", column, *conditions)


def _spent(*conditions: Where) -> Expression:
    return total("Purchases", "amount", *conditions, *_PERIOD)


def _profit(*conditions: Where) -> Expression:
    return total("Sales ledger", "profit", *conditions, *_PERIOD)


def period_rows(
    tax: str, year: int, channels: Iterable[str], projects: Iterable[str], tiers: Iterable[str]
) -> list[dict[str, object]]:
    """The rows: months, quarters, channels, projects, tiers, and categories with their lines."""
    months: list[dict[str, object]] = [
        {"kind": "month", "label": name, "first_month": n, "months": 1}
        for n, name in enumerate(_MONTHS, 1)
    ]
    months += [
        {"kind": "quarter", "label": name, "first_month": 3 * n + 1, "months": 3}
        for n, name in enumerate(QUARTERS)
    ]
    numbers = {each.name: f"line {each.number}" for each in form_lines(tax, year)}
    lines = {each.category: numbers.get(each.line, "no line") for each in categories(tax)}
    named = {"channel": channels, "project": projects, "tier": tiers, "category": lines}
    return months + [
        {"kind": kind, "label": label, "first_month": 1, "months": 12}
        | ({"category": label, "line": lines[label]} if kind == "category" else {})
        for kind, labels in named.items()
        for label in labels
    ]


TABLE = table(
    "Months and channels",
    None,
    planned("kind", "kind", WORD, "what the row sums up"),
    planned("label", "of", NAME, "the month, quarter, channel, project, tier or category"),
    planned("first_month", "first month", COUNT, "the month it begins with"),
    planned("months", "months", COUNT, "how many months it lasts"),
    planned("category", "category", NAME, "only in rows of categories"),
    planned("line", "line", WORD, "the line of the tax form, for categories"),
    computed("start", "from", DATE, call("DATE", setting("year"), this("first_month"), 1)),
    computed(
        "end",
        "to",
        DATE,
        call("DATE", setting("year"), this("first_month") + this("months"), 1) - 1,
    ),
    computed(
        "sales",
        "sales",
        MONEY,
        _sold("sales", sold_value),
        "Pieces × price less discounts, plus postage charged.",
    ),
    computed(
        "sales_tax",
        "sales tax collected",
        MONEY,
        _sold("sales_tax", _ledger("sales_tax")),
        "Not in sales; part of it is yours to pay on, see Year-end.",
    ),
    computed("returns", "returns", MONEY, _sold("returns", returned_value)),
    computed("fees", "fees charged", MONEY, _sold("fees", _ledger("fee"))),
    computed(
        "postage",
        "postage paid",
        MONEY,
        _sold("postage", _ledger("postage")),
    ),
    computed(
        "spent",
        "purchases",
        MONEY,
        when(
            _is("category"),
            _spent(where("category", "=", this("category"))),
            when(call("OR", *(_is(kind) for kind in _KINDS)), 0, _spent()),
        ),
    ),
    computed(
        "profit",
        "profit of sales",
        MONEY,
        when(
            _is("channel"),
            _profit(where("channel", "=", this("label"))),
            when(
                _is("project"),
                _profit(where("project", "=", this("label"))),
                when(
                    _is("tier"),
                    _profit(where("tier", "=", this("label"))),
                    when(_is("category"), 0, _profit()),
                ),
            ),
        ),
        "What the rows of Sales ledger earned after fees, postage and the full cost of each piece,"
        " your own labor included.",
    ),
    computed(
        "left",
        "left",
        MONEY,
        this("sales") - this("returns") - this("fees") - this("postage") - this("spent"),
        "Money in less money out; stock and tools are not spread over their use here.",
    ),
    capacity=500,
)
SHEET = Sheet(
    "Months and channels",
    "Totals of the ledgers. Filter by kind: month, quarter, channel, project, tier or category.",
    (TABLE,),
    group="books",
)
