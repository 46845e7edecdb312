"""Months and channels: the year by month, quarter, channel, project, tier and category."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.declare import Sheet, Table, table
from notchbook.sheets.kit.discovery import Terms
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.ledgers.channels import QUARTERS
from notchbook.sheets.ledgers.sales_totals import goods_value, returned_value, sold_value
from notchbook.sheets.ledgers.slip_totals import slip_costs
from notchbook.tax.forms import categories, form_lines, spellings

_PERIOD = (x.where("date", ">=", this.start), x.where("date", "<=", this.end))
PERSON = "person paid for work"
_KINDS = ("channel", "category", "project", "tier", PERSON)
_MONTHS = (*("Jan", "Feb", "Mar", "Apr", "May", "Jun"), *("Jul", "Aug", "Sep", "Oct", "Nov", "Dec"))


def _is(kind: str) -> x.Expression:
    return this.kind.equals(kind)


_IS_TIME = x.call("NOT", x.call("OR", *(_is(kind) for kind in _KINDS)))


def _sold(by_tier: str, in_period: Callable[..., x.Expression]) -> x.Expression:
    """Channels add up their tiers; all else reads the ledger; categories sell nothing."""
    of_channel = x.total("Tiers", by_tier, channel=this.label)
    of_project = in_period(*_PERIOD, x.where("project", "=", this.label))
    of_tier = in_period(*_PERIOD, x.where("tier", "=", this.label))
    of_ledger = when(_is("project"), of_project, when(_is("tier"), of_tier, in_period(*_PERIOD)))
    sells_nothing = _is("category") | _is(PERSON)
    return when(_is("channel"), of_channel, when(sells_nothing, 0, of_ledger))


def _ledger(column: str) -> Callable[..., x.Expression]:
    return lambda *conditions: x.total("Sales ledger", column, *conditions)


def _goods(*conditions: x.Where) -> x.Expression:
    """Goods of a month or quarter; the rows of other kinds hold the whole year."""
    return when(_IS_TIME, goods_value(*_PERIOD, *conditions), 0)


def _spent(*conditions: x.Where) -> x.Expression:
    return slip_costs(*conditions, *_PERIOD)


def _profit(*conditions: x.Where) -> x.Expression:
    return x.total("Sales ledger", "profit", *conditions, *_PERIOD)


WORK = ("contract labor", "contract labour")
"""The category of slips that pay people for work, in both spellings."""
_FOR_WORK = tuple(
    _spent(x.where("category", "=", word), x.where("paid_to", "=", this.label)) for word in WORK
)
_PAID_FOR_WORK = _FOR_WORK[0] + _FOR_WORK[1]


def people_paid(slips: Iterable[Mapping[str, object]]) -> list[str]:
    """Who was paid for work by the slips: the payee, else the vendor, each once."""
    names = (str(each.get("payee") or each.get("vendor") or "") for each in slips if _is_work(each))
    return list({name.casefold(): name for name in names if name}.values())


def _is_work(slip: Mapping[str, object]) -> bool:
    return str(slip.get("category") or "").casefold() in WORK


def period_rows(
    tax: str,
    year: int,
    channels: Iterable[str],
    projects: Iterable[str],
    tiers: Iterable[str],
    people: Iterable[str] = (),
) -> list[dict[str, object]]:
    """The rows: months, quarters, channels, projects, tiers, categories with lines, people."""
    months: list[dict[str, object]] = [
        {"kind": "month", "label": name, "first_month": n, "months": 1}
        for n, name in enumerate(_MONTHS, 1)
    ]
    months += [
        {"kind": "quarter", "label": name, "first_month": 3 * n + 1, "months": 3}
        for n, name in enumerate(QUARTERS)
    ]
    numbers = {each.name: f"line {each.number}" for each in form_lines(tax, year)}
    also = spellings(tax)
    spent = {
        each.category: {
            "category": each.category,
            "also": also.get(each.category, ""),
            "line": numbers.get(each.line, "no line"),
            "counts_as": each.counts_as,
        }
        for each in categories(tax)
    }
    named = {
        "channel": channels,
        "project": projects,
        "tier": tiers,
        "category": spent,
        PERSON: people,
    }
    return months + [
        {"kind": kind, "label": label, "first_month": 1, "months": 12}
        | (spent[label] if kind == "category" else {})
        for kind, labels in named.items()
        for label in labels
    ]


_LINE = planned("line", show.WORD, "the line of the tax form, for categories")


def _table(tax: str) -> Table:
    return table(
        "Months and channels",
        None,
        planned("kind", show.WORD, "what the row sums up"),
        planned(
            "label",
            show.NAME,
            "the month, quarter, channel, project, tier or category",
            header="of",
        ),
        planned("first_month", show.COUNT, "the month it begins with"),
        planned("months", show.COUNT, "how many months it lasts"),
        planned("category", show.NAME, "only in rows of categories"),
        planned("also", show.NAME, "counts as the category", header="other spelling"),
        *((_LINE,) if tax == "us" else ()),
        planned(
            "counts_as",
            show.WORD,
            "for categories: goods are in the pieces, selling is caused by each piece sold,"
            " overhead by none; tools wear, and none is no cost of the shop",
        ),
        computed(
            "start", show.DATE, x.call("DATE", setting.year, this.first_month, 1), header="from"
        ),
        computed(
            "end",
            show.DATE,
            x.call("DATE", setting.year, this.first_month + this.months, 1) - 1,
            header="to",
        ),
        computed(
            "sales",
            show.MONEY,
            _sold("sales", sold_value),
            "Pieces × price less discounts, plus postage charged.",
        ),
        computed(
            "sales_tax",
            show.MONEY,
            _sold("sales_tax", _ledger("sales_tax")),
            "Not in sales; part of it is yours to pay on, see Year-end.",
            header="sales tax collected",
        ),
        computed(
            "taxed",
            show.MONEY,
            _goods(x.where("sales_tax", ">", 0)) + _goods(x.where("sales_tax", "<", 0)),
            "Of rows that hold sales tax, after discounts and returns; of months and quarters.",
            header="goods with sales tax",
        ),
        computed("untaxed", show.MONEY, _goods() - this.taxed, header="goods without sales tax"),
        computed("returns", show.MONEY, _sold("returns", returned_value)),
        computed("fees", show.MONEY, _sold("fees", _ledger("fee")), header="fees charged"),
        computed(
            "postage", show.MONEY, _sold("postage", _ledger("postage")), header="postage paid"
        ),
        computed(
            "spent",
            show.MONEY,
            when(
                _is("category"),
                _spent(x.where("category", "=", this.category))
                + when(
                    x.blank(this.also) | this.also.equals(""),
                    0,
                    _spent(x.where("category", "=", this.also)),
                ),
                when(
                    _is(PERSON),
                    _PAID_FOR_WORK,
                    when(_IS_TIME, _spent(), 0),
                ),
            ),
            header="purchases",
        ),
        computed(
            "profit",
            show.MONEY,
            x.cases(
                (_is("channel"), _profit(x.where("channel", "=", this.label))),
                (_is("project"), _profit(x.where("project", "=", this.label))),
                (_is("tier"), _profit(x.where("tier", "=", this.label))),
                (_is("category") | _is(PERSON), 0),
                otherwise=_profit(),
            ),
            "What the rows of Sales ledger earned after fees, postage and the full cost of each"
            " piece, your own labor included.",
            header="profit of sales",
        ),
        computed(
            "left",
            show.MONEY,
            this.sales - this.returns - this.fees - this.postage - this.spent,
            "Money in less money out; what stock and tools cost is not spread over their use here.",
        ),
        capacity=500,
        workings=("first_month", "months", "also"),
    )


def sheet_for(terms: Terms) -> Sheet:
    """The sheet; a country without a form has no lines."""
    return Sheet(
        "Months and channels",
        "Totals of the ledgers. Filter by kind: month, quarter, channel, project, tier or"
        " category.",
        (_table(terms.tax),),
        after="Year-end",
        group="books",
    )
