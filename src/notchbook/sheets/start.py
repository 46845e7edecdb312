"""Start: what the workbook is, its verdict, and all projects side by side."""

from __future__ import annotations

from notchbook.language.expressions import Expression, join, look_up, rounded, this
from notchbook.sheets.check_lines import check_line
from notchbook.sheets.declare import (
    COUNT,
    MONEY,
    NAME,
    WORD,
    YEAR,
    LineRow,
    Lines,
    Sheet,
    computed,
    heading,
    line,
    planned,
    table,
)
from notchbook.sheets.settings import setting
from notchbook.sheets.year_lines import year_line


def _project(column: str, otherwise: int | str = 0) -> Expression:
    return look_up("Projects", column, project=this("project"), otherwise=otherwise)


AT_A_GLANCE = table(
    "At a glance",
    None,
    planned("project", "project", NAME, "sorted by what an hour earned at the last compile"),
    computed("batch", "batch", COUNT, _project("batch")),
    computed("unit_cost", "unit cost", MONEY, _project("unit_cost")),
    computed("price", "price", MONEY, _project("price")),
    computed("profit", "profit", MONEY, _project("profit")),
    computed("per_hour", "an hour earns", MONEY, _project("per_hour")),
    computed("verdict", "verdict", WORD, _project("verdict", "")),
    capacity=500,
)
_HOW = (
    "Cream cells with blue letters are yours to type; grey cells work themselves out.",
    "Blue-grey cells hold what was planned at the last compile: run it again after a change of"
    " parts.",
    "Notes on the headers say what a column means and how it is found.",
    "A hidden sheet, As compiled, keeps what the next compile must know.",
)


def sheet(contents: tuple[tuple[str, str], ...]) -> Sheet:
    """The Start sheet with a link to every other sheet."""
    lines = Lines(
        "Start",
        ("what", "value", "what is there"),
        (
            *(LineRow(text) for text in _HOW),
            heading("This year"),
            line("verdict", "checks", WORD, check_line("verdict"), "see Checks"),
            line(
                "open_checks",
                "to look at",
                NAME,
                join(
                    rounded(check_line("open_checks"), 0),
                    " checks, ",
                    rounded(check_line("open_notices"), 0),
                    " notices",
                ),
            ),
            line("year", "year", YEAR, setting("year") + 0),
            line("income", "sales", MONEY, year_line("gross_receipts") + 0),
            line("profit", "profit before your own tax", MONEY, year_line("net_profit") + 0),
            heading("Sheets"),
            *(LineRow(name, note=what, link=name) for name, what in contents),
        ),
    )
    return Sheet(
        "Start",
        "A year of the shop: what is made, what it costs, what it earns.",
        (lines, AT_A_GLANCE),
        group="output",
    )
