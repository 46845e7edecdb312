"""Stock and cost of goods: by counts, or by the materials in the pieces sold."""

from __future__ import annotations

from notchbook.language.expressions import Expression, Where, call, count, total, when, where
from notchbook.sheets.counts import COUNTED
from notchbook.sheets.declare import MONEY, LineRow, heading, line
from notchbook.sheets.settings import setting
from notchbook.sheets.year_lines import year_line


def counted(when_counted: str, *conditions: Where) -> Expression:
    """What Counts values at the opening or the closing."""
    return total("Counts", "value", *COUNTED[when_counted], *conditions)


OPENING = counted("opening")
OWN_USE = total("Projects", "materials_kept")
CLOSING = when(
    setting("stock_method").equals("materials"), year_line("book_stock"), counted("closing")
)
GOODS = ("materials", "hardware", "consumables", "freight in")  # purchases that go into goods
GOODS_USED = year_line("materials_sold") + setting("written_off")
CLOSING_TAKEN = count("Counts", "value", *COUNTED["closing"]) > 0


def goods_rows() -> tuple[LineRow, ...]:
    """Both ways of finding the cost of goods, side by side."""
    by_count = year_line("goods_available") - year_line("counted_stock")
    return (
        heading("Stock: by the books and by the count"),
        line(
            "materials_sold",
            "materials in the pieces sold",
            MONEY,
            total("Projects", "materials_sold"),
            "kept with each sale, else today's; returns taken off; no labor of your own",
        ),
        line(
            "book_stock",
            "stock by the books at the end",
            MONEY,
            call("MAX", year_line("goods_available") - GOODS_USED, 0),
            "what there was, less materials sold and stock written off (Settings)",
        ),
        line(
            "counted_raw",
            "counted: wood, hardware and the like",
            MONEY,
            counted("closing", where("stock", "<>", "")),
            "count what is in work as the stock it was cut from",
        ),
        line(
            "counted_finished",
            "counted: finished pieces",
            MONEY,
            counted("closing", where("project", "<>", "")),
        ),
        line("counted_stock", "stock by the count at the end", MONEY, counted("closing")),
        line(
            "stock_gap",
            "count less books",
            MONEY,
            when(CLOSING_TAKEN, year_line("counted_stock") - year_line("book_stock"), 0),
            "below 0: waste, losses and what no piece is charged with; above: more than was used",
        ),
        line(
            "used_by_count",
            "used by the count",
            MONEY,
            when(CLOSING_TAKEN, by_count, 0),
            "the cost of goods under the stock method inventory",
        ),
    )
