"""The price list: what a partner is asked, and nothing of what it costs."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.declare import Sheet, table

_LEAST = x.look_up("Tiers", "least_quantity", tier=this.tier)

TABLE = table(
    "Price list",
    None,
    planned("project", show.NAME, "what is made"),
    computed(
        "title",
        show.NAME,
        x.look_up("Projects", "title", project=this.project, otherwise=""),
        header="description",
    ),
    planned("tier", show.NAME, "the kind of price"),
    computed(
        "least",
        show.COUNT,
        when(_LEAST > 0, _LEAST, 1),
        "The smallest order.",
        header="from (pieces)",
    ),
    computed(
        "price",
        show.MONEY,
        x.total("Pricing tiers", "price", project=this.project, tier=this.tier),
        "Before sales tax.",
        header="price a piece",
    ),
)
SHEET = Sheet("Price list", "Prices a piece.", (TABLE,), group="price", landscape=False)
