"""Stock and cost of goods: by a whole closing count, else by the books or what is counted."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import LineCell, LineRow, heading, line
from notchbook.sheets.kit.settings import in_year, setting, to_money
from notchbook.sheets.ledgers.counts import COUNTED, STAGE, STAGES, counted_value
from notchbook.sheets.tax.year_lines import year_line


def counted(when_counted: str, *conditions: x.Where) -> x.Expression:
    """What Counts values at the opening or the closing."""
    return counted_value(*COUNTED[when_counted], *conditions)


def _by_books(*rows: x.Where) -> x.Expression:
    """What the pieces of these rows cost by the books of the last compile."""
    return x.products("Sales ledger", ("quantity", "books_cost"), *rows, *in_year())


OPENING = counted("opening")
OWN_USE = year_line("kept_goods") + 0
IS_WHOLE = year_line("whole_count").equals(1)
CLOSING = when(
    setting.stock_method.equals("materials") & ~IS_WHOLE,
    x.call("MAX", year_line("book_stock") - setting.written_off, 0),
    year_line("counted_stock"),
)
GOODS = ("materials", "hardware", "consumables", "freight in")  # purchases that go into goods
CLOSING_TAKEN = x.count("Counts", "quantity", *COUNTED["closing"]) > 0
UNCOUNTED_STOCKS = x.count("Stock", "uncounted", x.where("uncounted", "=", 1))
UNCOUNTED_PIECES = x.count("Projects", "not_counted", x.where("not_counted", "=", 1))

BOOKS_LEFT = (
    x.total("Stock", "books_value")
    + x.total("Projects", "books_value")
    + year_line("other_left")
    - year_line("estimated_goods")
)
"""What is left by the books, stock by stock and project by project."""


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


def _planned(name: str, label: str, note: str) -> LineRow:
    """A line that the books of the last compile tell."""
    return LineRow(label, (LineCell(name, show.MONEY, role=Role.PLANNED),), note)


def goods_rows() -> tuple[LineRow, ...]:
    """Both ways of finding the cost of goods, side by side."""
    return (
        heading("Stock: by the books and by the count"),
        line(
            "materials_sold",
            "books cost of the pieces sold",
            show.MONEY,
            to_money(
                _by_books(x.where("kind", "<>", "deposit"), x.where("kind", "<>", "own use"))
                + x.total("Projects", "since_sold")
            ),
            "Sales ledger: pieces by their books cost, returns taken off; no labor of your own",
        ),
        line(
            "kept_goods",
            "books cost of own use",
            show.MONEY,
            to_money(
                _by_books(x.where("kind", "=", "own use")) + x.total("Projects", "since_kept")
            ),
            "taken off the purchases",
        ),
        _planned(
            "year_cost",
            "goods that are in no piece",
            "slips of goods that name no stock, stocks that no project uses and nobody counted,"
            " runs without a good piece; found at compile",
        ),
        line(
            "book_stock",
            "stock by the books at the end",
            show.MONEY,
            year_line("goods_available") - year_line("materials_sold") - year_line("year_cost"),
            "what there was, less the lines above and less stock written off (Settings)",
        ),
        _planned(
            "estimated_goods",
            "of it missing: sold pieces that no run made",
            "sold pieces that no count and no run covers, at the materials kept with the sale",
        ),
        _planned(
            "other_left",
            "of it in stocks and projects that are gone",
            "left by the books, and no row of Stock or Projects any more",
        ),
        *_by_stage("opening", "counted at the beginning"),
        *_by_stage("closing", "counted at the end"),
        line("counted_stock", "stock by the count at the end", show.MONEY, counted("closing")),
        line(
            "whole_count",
            "the count at the end is whole",
            show.YES_OR_NO,
            when(CLOSING_TAKEN & (UNCOUNTED_STOCKS + UNCOUNTED_PIECES).equals(0), 1, 0),
            "every stock and project with more than a little left is counted; then the count is"
            " the stock at the end, and nothing else is written off",
        ),
        line(
            "stock_gap",
            "counted stock - the books",
            show.MONEY,
            when(IS_WHOLE, year_line("counted_stock") - year_line("book_stock"), 0),
            "in the cost of goods already. Below 0: waste and losses; above: more than was used",
        ),
        line(
            "used_by_count",
            "used by the count",
            show.MONEY,
            when(CLOSING_TAKEN, year_line("goods_available") - year_line("counted_stock"), 0),
            "the cost of goods where the count is whole, or with the stock method inventory",
        ),
    )
