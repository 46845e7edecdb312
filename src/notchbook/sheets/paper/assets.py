"""The tools on one page, as whoever prepares the tax form reads them."""

from __future__ import annotations

from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import planned
from notchbook.sheets.kit.declare import Sheet, table

TABLE = table(
    "Assets",
    None,
    planned("tool", show.NAME, "the tool"),
    planned("in_service", show.DATE, "the day it was ready for work"),
    planned("business_cost", show.MONEY, "its cost, times the business share", header="basis"),
    planned("used_method", show.LABEL, "how it is written off", header="method"),
    planned("used_convention", show.WORD, "how its first year counts", header="convention"),
    planned("taken_before", show.MONEY, "written off in past years", header="before"),
    planned("year_0", show.MONEY, "written off this year", header="this year"),
    planned("book_value", show.MONEY, "what is left at the end of the year"),
    planned("disposed", show.DATE, "the day it was sold", header="sold on"),
    planned("gain", show.MONEY, "what it brought less its book value", header="gain or loss"),
    planned("state", show.LABEL, "what needs a look"),
)
SHEET = Sheet(
    "Tools",
    "Every tool on the books, what was written off before and this year, gain or loss.",
    (TABLE,),
    group="output",
)
