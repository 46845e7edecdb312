"""What the sales ledger adds up to: sold, given back, and the goods alone."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when

SOLD = (x.where("kind", "<>", "return"), x.where("kind", "<>", "own use"))
RETURNED = (x.where("kind", "=", "return"),)
PAID = when(this.kind.equals("own use"), 0, this.gross + this.postage_charged)
"""What is paid for a row with its postage; own use is no money."""


def _goods(*rows: x.Where) -> x.Expression:
    return x.products("Sales ledger", ("quantity", "price"), *rows)


def _sum(column: str, *rows: x.Where) -> x.Expression:
    return x.total("Sales ledger", column, *rows)


def sold_value(*conditions: x.Where) -> x.Expression:
    """Pieces × price less discounts, plus postage charged, of sales and deposits."""
    rows = (*conditions, *SOLD)
    return _goods(*rows) - _sum("discount", *rows) + _sum("postage_charged", *rows)


def returned_value(*conditions: x.Where) -> x.Expression:
    """What was given back for returns: a discount on the row was never paid, so it stays out."""
    rows = (*conditions, *RETURNED)
    return -(_goods(*rows) + _sum("discount", *rows) + _sum("postage_charged", *rows))


def goods_value(*conditions: x.Where) -> x.Expression:
    """Pieces × price of sales, deposits and returns after discounts, without postage."""
    sold, back = (*conditions, *SOLD), (*conditions, *RETURNED)
    return _goods(*sold) - _sum("discount", *sold) + _goods(*back) + _sum("discount", *back)
