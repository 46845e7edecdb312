"""What slips come to: what was paid, and the use tax that is owed on them beside it."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this


def slip_costs(*conditions: x.Where, **equal: x.Operand) -> x.Expression:
    """What slips cost: paid, with the use tax owed on them.

    The use tax is part of what the goods or the service cost (Instructions for Schedule C, line
    23: sales taxes on goods bought are part of their cost).
    """
    paid = x.total("Purchases", "amount", *conditions, **equal)
    return paid + x.total("Purchases", "use_tax", *conditions, **equal)


COST_OF_SLIP = this.amount + this.use_tax.or_else(0)
"""What a row of Purchases costs."""
