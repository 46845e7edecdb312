"""What to buy, vendor by vendor, to take along: for shop sheets that are cut each by itself."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.declare import Sheet, table


def _stock(column: str) -> x.Expression:
    return x.look_up("Stock", column, stock=this.stock)


def _together(column: str) -> x.Expression:
    return x.look_up("Bought together", column, stock=this.stock)


_LACKING = x.call("MAX", _together("apart") - _together("there_now"), 0)

TABLE = table(
    "To buy",
    None,
    planned("box", show.BOX, "to tick with a pencil", header="tick"),
    planned("vendor", show.LABEL, "who sells it"),
    planned("stock", show.NAME, "what is bought"),
    computed(
        "to_buy",
        show.COUNT,
        when(_stock("reclaimed").equals("yes"), 0, x.whole_up(_LACKING / _stock("pack"))),
        header="packs",
    ),
    computed("together", show.COUNT, _together("to_buy"), header="packs in one plan"),
    planned("pack", show.WORD, "so much is in one", header="in a pack"),
    computed("price", show.MONEY, _stock("price"), header="price a pack"),
    computed("outlay", show.MONEY, this.to_buy * this.price, header="cost"),
    planned("vendor_outlay", show.MONEY, "beside the first stock of each", header="at this vendor"),
)
SHEET = Sheet("To buy", "What is bought.", (TABLE,), group="output", landscape=False)
