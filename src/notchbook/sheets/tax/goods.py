"""Stock and cost of goods: by counts, or by the materials in the pieces sold."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.declare import LineRow, heading, line
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.ledgers.counts import COUNTED, STAGE, STAGES
from notchbook.sheets.tax.year_lines import year_line


def counted(when_counted: str, *conditions: x.Where) -> x.Expression:
    """What Counts values at the opening or the closing."""
    return x.total("Counts", "value", *COUNTED[when_counted], *conditions)


OPENING = counted("opening")
OWN_USE = x.total("Projects", "materials_kept")
CLOSING = when(
    setting.stock_method.equals("materials"), year_line("book_stock"), counted("closing")
)
GOODS = ("materials", "hardware", "consumables", "freight in")  # purchases that go into goods
GOODS_USED = year_line("materials_sold") + setting.written_off
CLOSING_TAKEN = x.count("Counts", "value", *COUNTED["closing"]) > 0


def _by_stage(when_counted: str, said: str) -> tuple[LineRow, ...]:
    return tuple(
        line(
            f"{when_counted}_{stage.replace(' ', '_')}",
            f"{said}: {stage}",
            show.MONEY,
            counted(when_counted, *STAGE[stage]),
            _STAGE_NOTES[stage] if when_counted == "opening" else "",
        )
        for stage in STAGES
    )


_STAGE_NOTES = {
    "raw": "wood, hardware and the like, as bought",
    "in work": "the materials in pieces begun; counted by their stocks, the stock report ties too",
    "finished": "the materials in pieces ready for sale",
}


def goods_rows() -> tuple[LineRow, ...]:
    """Both ways of finding the cost of goods, side by side."""
    by_count = year_line("goods_available") - year_line("counted_stock")
    return (
        heading("Stock: by the books and by the count"),
        line(
            "materials_sold",
            "materials in the pieces sold",
            show.MONEY,
            x.total("Projects", "materials_sold"),
            "kept with each sale, else today's; returns taken off; no labor of your own",
        ),
        line(
            "book_stock",
            "stock by the books at the end",
            show.MONEY,
            x.call("MAX", year_line("goods_available") - GOODS_USED, 0),
            "what there was, less materials sold and stock written off (Settings)",
        ),
        *_by_stage("opening", "counted at the beginning"),
        *_by_stage("closing", "counted at the end"),
        line("counted_stock", "stock by the count at the end", show.MONEY, counted("closing")),
        line(
            "stock_gap",
            "counted stock less the books",
            show.MONEY,
            when(CLOSING_TAKEN, year_line("counted_stock") - year_line("book_stock"), 0),
            "below 0: waste, losses and what no piece is charged with; above: more than was used",
        ),
        line(
            "used_by_count",
            "used by the count",
            show.MONEY,
            when(CLOSING_TAKEN, by_count, 0),
            "the cost of goods under the stock method inventory",
        ),
    )
