"""What looks wrong with a row of a ledger and may be right: `ok`, typed beside it, silences it.

Each reads given columns alone, so that it is found in files and in cells before there is a plan.
"""

from __future__ import annotations

from dataclasses import replace

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit.faults import Fault, look
from notchbook.sheets.kit.settings import in_year, setting
from notchbook.sheets.ledgers.receipts import BACK

OK_NOTE = "the row is right as it is, however it looks"
_SALES, _SLIPS = "Sales ledger", "Purchases"


def unless_ok(*faults: Fault) -> tuple[Fault, ...]:
    """The faults, silent in rows that the maker calls right."""
    return tuple(replace(each, when=this.ok.differs("yes") & each.when) for each in faults)


def _many_times(more: x.Expression, less: x.Expression) -> x.Expression:
    return more > less * setting.price_off


# --- sales ---------------------------------------------------------------------------------------

_IS_SALE = this.kind.differs("return") & this.kind.differs("deposit") & this.kind.differs("own use")
_OF_SALES = (
    x.where("kind", "<>", "return"),
    x.where("kind", "<>", "deposit"),
    x.where("kind", "<>", "own use"),
)


def _of_project(column: str) -> x.Expression:
    return x.look_up("Projects", column, project=this.project)


_ASKED = x.greatest(
    "Pricing tiers", "asked", x.where("project", "=", this.project), x.where("tier", "=", this.tier)
)
_OTHERS = (_of_project("price_sum") - this.price) / (_of_project("price_rows") - 1)
USUAL = x.cases((_ASKED > 0, _ASKED), (_OTHERS > 0, _OTHERS), otherwise=_of_project("seen_average"))
"""What such a piece is sold for: as asked, else as the other sales of it were, else as seen."""

_VALUE = x.call("ABS", this.quantity * this.price)
_OF_PROJECT = x.where("project", "=", this.project)


def _on(receipt_column: str) -> tuple[x.Where, ...]:
    """The rows of this row's project that belong to the receipt which it returns."""
    return (x.where(receipt_column, "=", this.return_of), _OF_PROJECT)


def _worth(*rows: x.Where) -> x.Expression:
    return x.products(_SALES, ("quantity", "price"), *rows)


_RETURNED = BACK & x.call("NOT", x.blank(this.return_of))
_BOUGHT_BACK = (*_on("receipt"), x.where("kind", "<>", "return"))
_GIVEN = _worth(*_BOUGHT_BACK) - x.total(_SALES, "discount", *_BOUGHT_BACK)
_REFUNDED = -_worth(*_on("return_of")) - x.total(_SALES, "discount", *_on("return_of"))
_TAX_BACK = -x.total(_SALES, "sales_tax", *_on("return_of"))
_TAX_GIVEN = x.total(_SALES, "sales_tax", *_BOUGHT_BACK)


def _more(back: x.Expression, given: x.Expression) -> x.Expression:
    """More went back than came; silent where the receipt is of another year."""
    known = x.look_up(_SALES, "receipt", receipt=this.return_of, otherwise="").differs("")
    return when(_RETURNED, when(known & (back - given > setting.tolerance), 1, 0), 0).equals(1)


_FULL = x.call("MAX", _ASKED, _of_project("price_high"))
_LATER = (
    _OF_PROJECT,
    x.where("tier", "=", this.tier),
    x.where("date", ">=", this.date),
    *_OF_SALES,
)
_DEPOSIT = this.quantity * this.price
_SETTLED = (
    x.count(_SALES, "quantity", x.where("return_of", "=", this.receipt))
    + x.count(_SALES, "quantity", *_LATER, x.where("discount", ">=", _DEPOSIT))
    + x.count(_SALES, "quantity", *_LATER, x.where("price", "<=", _FULL - this.price))
)
_AT_FULL_PRICE = x.count(_SALES, "quantity", *_LATER, x.where("price", ">", _FULL - this.price))
_PAID_TWICE = when(
    this.kind.equals("deposit"), when(_SETTLED.equals(0) & (_AT_FULL_PRICE > 0), 1, 0), 0
).equals(1)
_TAXED = x.look_up("Tiers", "taxed_rows", tier=this.tier)
_COLLECTS = x.look_up("Channels", "collects_sales_tax", channel=this.channel, otherwise="")

OF_A_SALE = unless_ok(
    look(
        "no price",
        _IS_SALE & this.price.equals(0),
        "write the price, or own use where nobody pays",
        "price",
    ),
    look(
        "far above usual",
        _IS_SALE & (this.usual > 0) & _many_times(this.price, this.usual),
        "it is many times what such a piece costs; write the price of one",
        "price",
    ),
    look(
        "far below usual",
        _IS_SALE
        & (this.price > 0)
        & ((_ASKED > 0) | (_OTHERS > 0))
        & _many_times(this.usual, this.price),
        "such a piece costs many times that; write the price of one",
        "price",
    ),
    look(
        "part of a piece",
        x.whole_down(this.quantity).differs(this.quantity),
        "write whole pieces",
        "quantity",
    ),
    look(
        "no tax",
        _IS_SALE
        & (this.price > 0)
        & (this.sales_tax.equals(0) | x.blank(this.sales_tax))
        & _COLLECTS.equals("self")
        & (_TAXED > 0),
        "other sales at this kind of price hold sales tax; write it",
        "sales_tax",
    ),
    look(
        "much tax",
        (_VALUE > 0)
        & _many_times(x.call("ABS", this.sales_tax), _VALUE - x.call("ABS", this.sales_tax)),
        "it is far more than a share of the price; write the tax on the row",
        "sales_tax",
    ),
    look(
        "tax has other sign",
        (BACK & (this.sales_tax > 0)) | (~BACK & (this.sales_tax < 0)),
        "tax goes back with a return and comes in with a sale; write it so",
        "sales_tax",
    ),
    look(
        "fee below zero",
        ~BACK & ((this.fee.or_else(0) < 0) | (this.postage_charged.or_else(0) < 0)),
        "what goes back belongs to a return; write it above zero",
        "fee",
    ),
    look(
        "fee above price",
        (_VALUE > 0) & (x.call("ABS", this.fee) > _VALUE + this.postage_charged.or_else(0)),
        "write the fee of this row",
        "fee",
    ),
    look(
        "refund too high",
        _more(_REFUNDED, _GIVEN),
        "more goes back than was paid; write what the buyer paid",
        "price",
    ),
    look(
        "tax refund too high",
        _more(_TAX_BACK, _TAX_GIVEN),
        "more tax goes back than was paid; write what the buyer paid",
        "sales_tax",
    ),
    look(
        "deposit paid twice",
        _PAID_TWICE,
        "the full price came later; give the deposit back, or take it off that sale",
        "receipt",
    ),
)

# --- slips ---------------------------------------------------------------------------------------

_GOODS = ("materials", "hardware", "consumables")
_LIKE = (
    x.where("vendor", "=", this.vendor),
    x.where("amount", "=", this.amount),
    x.where("category", "=", this.category),
    x.where("date", ">=", this.date - setting.same_slip_days),
    x.where("date", "<=", this.date + setting.same_slip_days),
)
_ON_SAME_RECEIPT = x.count(
    _SLIPS, "amount", *_LIKE, x.where("receipt", "=", this.receipt), x.where("what", "=", this.what)
)
_SLIP_TWICE = when(
    x.count(_SLIPS, "amount", *_LIKE) > 1,
    when(x.blank(this.receipt), 1, when(_ON_SAME_RECEIPT > 1, 1, 0)),
    0,
).equals(1)
_LISTED = x.look_up("Stock", "price", stock=this.stock)


def _in_rows(column: str) -> x.Expression:
    return x.total(_SALES, column, x.where(column, ">", 0), *in_year()) > 0


OF_A_SLIP = unless_ok(
    look("no amount", this.amount.equals(0), "write what was paid"),
    look(
        "typed twice",
        _SLIP_TWICE,
        "the same vendor, amount and category stand close by; delete one of them",
        "amount",
    ),
    look(
        "fees twice",
        this.category.equals("fees") & _in_rows("fee"),
        "fees stand in the rows of Sales ledger already; keep one of both",
        "category",
    ),
    look(
        "postage twice",
        this.category.equals("postage") & _in_rows("postage"),
        "postage stands in the rows of Sales ledger already; keep one of both",
        "category",
    ),
    look(
        "stock of no goods",
        x.call("NOT", x.blank(this.stock))
        & x.call("AND", *(this.category.differs(each) for each in _GOODS)),
        "a stock is bought as materials, hardware or consumables; write which",
        "category",
    ),
    look(
        "packs of what",
        x.blank(this.stock) & (this.packs > 0),
        "write the stock that was bought",
        "stock",
    ),
    look(
        "other pack price",
        (_LISTED > 0)
        & (this.packs > 0)
        & (
            _many_times(this.amount, _LISTED * this.packs)
            | _many_times(_LISTED * this.packs, this.amount)
        )
        & (this.amount > 0),
        "a pack costs far more or less on Stock; write the amount and the packs of this slip",
        "packs",
    ),
    look(
        "whose cost",
        this.category.equals("tools") & x.blank(this.tool),
        "write the tool that was bought, so that it ties to Tool depreciation",
        "tool",
    ),
)

# --- runs, drives --------------------------------------------------------------------------------


def _typed_twice(table: str, what: str, number: str, *columns: str) -> Fault:
    same = (x.where(name, "=", this(name)) for name in columns)
    return look(
        "typed twice",
        x.count(table, number, *same) > 1,
        f"the same {what} stands in another row; delete one of them",
        number,
    )


OF_A_RUN = unless_ok(
    look("none made", this.made.equals(0), "write how many were begun and finished"),
    _typed_twice("Production log", "run", "made", "date", "project", "made"),
)
_SAME_PURPOSE = x.where("purpose", "=", this.purpose)
_OTHER_DRIVES = (x.total("Mileage", "miles", _SAME_PURPOSE) - this.miles) / (
    x.count("Mileage", "miles", _SAME_PURPOSE) - 1
)
OF_A_DRIVE = unless_ok(
    look(
        "far above usual",
        (_OTHER_DRIVES > 0) & _many_times(this.miles, _OTHER_DRIVES),
        "it is many times as far as other drives there; write how far this one was",
        "miles",
    ),
    look("no distance", this.miles.equals(0), "write how far it was, there and back"),
    _typed_twice("Mileage", "drive", "miles", "date", "purpose", "miles"),
)

# --- money, statements ---------------------------------------------------------------------------

OF_MONEY = unless_ok(
    look(
        "no amount",
        this.amount.equals(0) & this.what.differs("opening") & this.what.differs("closing"),
        "write how much it was",
        "amount",
    ),
    _typed_twice("Money", "row", "amount", "date", "account", "what", "amount"),
    look(
        "not opened",
        this.what.equals("closing")
        & x.count(
            "Money",
            "amount",
            x.where("what", "=", "opening"),
            x.where("account", "=", this.account),
        ).equals(0),
        "write what the account held at first, 0 where it began empty",
        "account",
    ),
)
_SAME_DAYS = (
    x.where("channel", "=", this.channel),
    x.where("first", "<=", this.last),
    x.where("last", ">=", this.first),
)
OF_A_STATEMENT = unless_ok(
    _typed_twice("Statements", "statement", "gross", "channel", "first", "last"),
    look(
        "days twice",
        (this.last >= this.first) & (x.count("Statements", "gross", *_SAME_DAYS) > 1),
        "another statement of the channel has some of the same days; write when each begins",
        "first",
    ),
)
