"""Start: what the workbook is, its verdict, and all projects side by side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import groupby

from notchbook.language import expressions as x
from notchbook.language.expressions import this
from notchbook.sheets.checks.lines import check_line
from notchbook.sheets.kit import show
from notchbook.sheets.kit.charts import Chart, ChartShape
from notchbook.sheets.kit.columns import Role, computed, planned
from notchbook.sheets.kit.declare import LineCell, LineRow, Lines, Sheet, heading, line, table
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.tax.year_lines import year_line


def _project(column: str, otherwise: int | str = 0) -> x.Expression:
    return x.look_up("Projects", column, project=this.project, otherwise=otherwise)


AT_A_GLANCE = table(
    "At a glance",
    None,
    planned("project", show.LINK, "sorted by what an hour earned at the last compile"),
    computed("batch", show.COUNT, _project("batch")),
    computed("unit_cost", show.CASH, _project("unit_cost")),
    computed("price", show.CASH, _project("price")),
    computed("profit", show.CASH, _project("profit")),
    computed("per_hour", show.CASH, _project("per_hour"), header="earned an hour as planned"),
    computed(
        "really",
        show.CASH,
        x.look_up("Results by project", "per_hour", project=this.project),
        "By the ledgers and the log, see Results; 0: none sold yet.",
        header="earned an hour really",
    ),
    computed("verdict", show.WORD, _project("verdict", "")),
    computed("state", show.LABEL, _project("state", ""), header="to look at"),
    capacity=500,
)
MOVED = tuple(f"moved_{n}" for n in range(1, 6))
"""The lines that say what the last compile moved that moved anything; not handed over."""
_SAID = replace(show.LINE, width=14.5)  # as wide as the amounts above it; the words run on


def _best_ideas() -> Iterator[LineRow]:
    """The ideas that were worth most at the last compile, each with what is to be said of it."""
    for name in BEST_IDEAS:
        verdict = x.look_up("Ideas", "verdict", idea=x.Line("Start", name), otherwise="")
        yield LineRow("idea", (LineCell(name, show.LABEL, role=Role.PLANNED),))
        yield line(f"{name}_verdict", "verdict", show.LABEL, verdict)


BEST_IDEAS = ("best_idea", "second_idea", "third_idea")
"""The lines that name the best ideas."""
_WHAT = (
    ("what you make", "Projects, Cut list, Work steps: parts, plans of the cuts, time, cost."),
    ("what it sells for", "Pricing tiers: a price for each way of selling, and what is left."),
    ("what the year brought", "The ledgers you type into, and Year-end, which adds them up."),
)
_HOW = (
    ("type", "Into boxed cells, cream with blue letters; all else follows at once."),
    ("read", "Grey cells, open at the sides, are worked out; notes on headers say how."),
    ("compile again", "After a change of parts: dotted blue-grey cells hold what was planned."),
    ("leave alone", "A hidden sheet, As compiled, keeps what the next compile must know."),
)
_ORDER = "the projects that earn most an hour at the last compile come first"
_CHARTS = (
    Chart(
        "What an hour of work earns",
        ChartShape.BARS,
        "At a glance",
        along="project",
        drawn=("per_hour", "really"),
        along_title="project",
        drawn_title="{currency} an hour",
        says="Two lying bars a project: what an hour of work on it is planned to earn at its main"
        f" tier, and what it really earned by the ledgers; {_ORDER}. The same numbers stand below"
        " in At a glance.",
        most=12,
    ),
    Chart(
        "What a piece costs in a larger batch",
        ChartShape.CURVES,
        "Batch sizes",
        along="units",
        drawn=("unit_cost",),
        along_title="pieces in a batch",
        drawn_title="{currency} a piece",
        says="A curve a project of its unit cost in batches of 1 to 24 pieces and of its own size:"
        f" set-up and whole boards are shared by more; {_ORDER}. The same numbers stand on Yield,"
        " in Batch sizes.",
        each="project",
        most=5,
    ),
    Chart(
        "Sales and their profit by month",
        ChartShape.COLUMNS_AND_LINE,
        "Months and channels",
        along="label",
        drawn=("sales", "profit"),
        along_title="month of {year}",
        drawn_title="{currency}",
        says="Twelve columns of a month's sales, and over them a line of the profit of these sales"
        " after the full cost of the pieces. The same numbers stand on Months and channels.",
        only=("kind", "month"),
    ),
)


_GROUPS = {
    "plan": "Sheets: what you make and buy",
    "price": "Sheets: cost and price",
    "ledger": "Sheets: the ledgers",
    "books": "Sheets: the books of the year",
    "output": "Sheets: plans and figures",
}


def _links(sheets: Iterable[Sheet]) -> Iterator[LineRow]:
    """A way to each sheet, under the name of its group, whose tabs share a colour."""
    for group, members in groupby(sheets, key=lambda each: each.group):
        yield heading(_GROUPS[group])
        for each in members:
            yield LineRow(
                each.name, note=each.instruction.split(". ")[0].rstrip("."), link=each.name
            )


def sheet(others: Iterable[Sheet]) -> Sheet:
    """The Start sheet with a link to every other sheet."""
    lines = Lines(
        "Start",
        ("what", "value", "what is there"),
        (
            heading("What this workbook holds"),
            *(LineRow(label, note=says) for label, says in _WHAT),
            heading("How to use it"),
            *(LineRow(label, note=says) for label, says in _HOW),
            heading("This year"),
            line("verdict", "checks", show.WORD, check_line("verdict"), "see Checks"),
            line(
                "open_checks",
                "to look at",
                show.LABEL,
                x.join(
                    x.rounded(check_line("open_checks"), 0),
                    " checks, ",
                    x.rounded(check_line("open_notices"), 0),
                    " notices",
                ),
            ),
            line("year", "year", show.YEAR, setting.year + 0),
            line("income", "sales", show.CASH, year_line("gross_receipts") + 0),
            line("profit", "profit before your own tax", show.CASH, year_line("net_profit") + 0),
            heading("What moved last, and by which change"),
            *(LineRow("", (LineCell(name, _SAID, role=Role.PLANNED),)) for name in MOVED),
            heading("Best ideas at the last compile"),
            *_best_ideas(),
            *_links(others),
        ),
    )
    return Sheet(
        "Start",
        "A year of the shop: what is made, what it costs, what it earns.",
        (lines, AT_A_GLANCE),
        group="start",
        title="{shop} {year}",
        charts=_CHARTS,
    )
