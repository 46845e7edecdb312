"""The price list: what a partner is asked, and nothing of what it costs."""

from __future__ import annotations

from notchbook.language.expressions import look_up, this, total, when
from notchbook.sheets.kit.declare import COUNT, MONEY, NAME, TEXT, Sheet, computed, planned, table

_LEAST = look_up("Tiers", "least_quantity", tier=this("tier"))

TABLE = table(
    "Price list",
    None,
    planned("project", "project", NAME, "what is made"),
    computed(
        "title",
        "what it is",
        TEXT,
        look_up("Projects", "title", project=this("project"), otherwise=""),
    ),
    planned("tier", "tier", NAME, "the kind of price"),
    computed("least", "from pieces", COUNT, when(_LEAST > 0, _LEAST, 1), "The smallest order."),
    computed(
        "price",
        "price a piece",
        MONEY,
        total("Pricing tiers", "price", project=this("project"), tier=this("tier")),
        "Before sales tax.",
    ),
)
SHEET = Sheet("Price list", "Prices a piece.", (TABLE,), group="price", landscape=False)
