"""What the sales ledger adds up to: sold, given back, and the goods alone."""

from __future__ import annotations

from notchbook.language.expressions import Expression, Where, products, total, where

SOLD = (where("kind", "<>", "return"), where("kind", "<>", "own use"))
RETURNED = (where("kind", "=", "return"),)


def _goods(*rows: Where) -> Expression:
    return products("Sales ledger", ("quantity", "price"), *rows)


def _sum(column: str, *rows: Where) -> Expression:
    return total("Sales ledger", column, *rows)


def sold_value(*conditions: Where) -> Expression:
    """Pieces × price less discounts, plus postage charged, of sales and deposits."""
    rows = (*conditions, *SOLD)
    return _goods(*rows) - _sum("discount", *rows) + _sum("postage_charged", *rows)


def returned_value(*conditions: Where) -> Expression:
    """What was given back for returns: a discount on the row was never paid, so it stays out."""
    rows = (*conditions, *RETURNED)
    return -(_goods(*rows) + _sum("discount", *rows) + _sum("postage_charged", *rows))


def goods_value(*conditions: Where) -> Expression:
    """Pieces × price of sales, deposits and returns after discounts, without postage."""
    sold, back = (*conditions, *SOLD), (*conditions, *RETURNED)
    return _goods(*sold) - _sum("discount", *sold) + _goods(*back) + _sum("discount", *back)
