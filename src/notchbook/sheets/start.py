"""Start: what the workbook is, its verdict, and all projects side by side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
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
    computed("unit_cost", show.MONEY, _project("unit_cost")),
    computed("price", show.MONEY, _project("price")),
    computed("profit", show.MONEY, _project("profit")),
    computed("per_hour", show.MONEY, _project("per_hour"), header="earned an hour as planned"),
    computed(
        "really",
        show.MONEY,
        x.look_up("Results by project", "per_hour", project=this.project),
        "By the ledgers and the log, see Results; 0: none sold yet.",
        header="earned an hour really",
    ),
    computed("verdict", show.WORD, _project("verdict", "")),
    computed("state", show.LABEL, _project("state", ""), header="to look at"),
    capacity=500,
)
LOOKS = tuple(f"look_{n}" for n in range(1, 11))
"""The lines that say what needed a look at the last compile, each with a way there."""
SPOTTED = tuple(f"notice_{n}" for n in range(1, 6))
"""The lines that say what was worth knowing then."""
NEXT = tuple(f"next_{n}" for n in range(1, 4))
"""The lines that say what to make next, as the last compile found."""
MOVED = tuple(f"moved_{n}" for n in range(1, 6))
"""The lines that say what the last compile moved that moved anything; not handed over."""
BEST_IDEAS = ("best_idea", "second_idea", "third_idea")
"""The lines that name the best ideas of the last compile, each with its verdict."""
_SAID = replace(show.LINE, width=14.5)  # no wider than an amount; the words run on


def _said(label: str, name: str) -> LineRow:
    """A sentence that a compile found; no row is kept for it where there is none."""
    return LineRow(label, (LineCell(name, _SAID, role=Role.PLANNED),), optional=True)


_HOW = (
    ("type", "Into boxed cells, cream with blue letters; all else follows at once."),
    ("read", "Gray cells calculate themselves; the notes on their headers say how."),
    ("open", "The + above columns or left of rows opens what is folded away."),
    ("compile again", "After a change of parts: dotted blue-grey cells hold what was planned."),
    ("do not delete", "The hidden sheet As compiled: the next compile needs it."),
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
_TYPED_INTO = ("Ideas", "Sales ledger", "Purchases", "Production log")
"""Tables that every shop comes to type into, and that are listed while they are empty, too."""


def _links(sheets: Iterable[Sheet]) -> Iterator[LineRow]:
    """A way to each sheet in use, under the name of its group, whose tabs share a colour."""
    all_of = list(sheets)
    for group, name in _GROUPS.items():
        yield heading(name)
        for each in (each for each in all_of if each.group == group):
            says = each.instruction.split(". ")[0].rstrip(".")
            optional = each.name not in _TYPED_INTO
            yield LineRow(each.name, note=says, link=each.name, optional=optional)


def _what_needs_a_look() -> Iterator[LineRow]:
    yield heading("What needs a look")
    yield line("verdict", "checks", show.LABEL, check_line("verdict"), link="Checks")
    yield from (_said("look", name) for name in LOOKS)
    yield from (_said("notice", name) for name in SPOTTED)


def _how_the_year_is() -> Iterator[LineRow]:
    earned, hours = (x.total("Results by project", name) for name in ("earned", "hours"))
    yield heading("How the year is")
    yield line("income", "sales", show.MONEY, year_line("gross_receipts") + 0, link="Sales ledger")
    yield line(
        "profit",
        "net profit",
        show.MONEY,
        year_line("net_profit") + 0,
        "before income tax",
        link="Year-end",
    )
    yield line(
        "per_hour",
        "earned an hour",
        show.MONEY,
        when(hours > 0, (earned - setting.overhead_rate * hours) / hours, 0),
        "of the pieces sold, at the overhead rate on Settings, before your own labor",
        link="Results",
    )
    yield line(
        "left_an_hour",
        "left an hour",
        show.MONEY,
        x.Line("Results", "left_an_hour") + 0,
        "all costs of the year paid, for each hour worked",
        link="Results",
    )
    yield line(
        "money",
        "money",
        show.LABEL,
        when(
            x.count("Money", "amount", x.where("what", "=", "opening")).equals(0),
            "not counted",
            when(check_line("money_state").equals("OK"), "ties", "does not tie"),
        ),
        "what the accounts hold, against what the ledgers let expect",
        link="Money",
    )


def _what_to_do_next() -> Iterator[LineRow]:
    yield heading("What to do next")
    yield from (_said("next batch", name) for name in NEXT)
    yield from (_said(name.replace("_", " "), name) for name in BEST_IDEAS)
    yield from (_said("what moved", name) for name in MOVED)


def sheet(others: Iterable[Sheet]) -> Sheet:
    """The Start sheet: what needs a look, how the year is, what to do next, a way everywhere."""
    lines = Lines(
        "Start",
        ("what", "value", "about it"),
        (
            *_what_needs_a_look(),
            *_how_the_year_is(),
            *_what_to_do_next(),
            heading("How to use this workbook"),
            *(LineRow(label, note=says) for label, says in _HOW),
            *_links(others),
        ),
    )
    return Sheet(
        "Start",
        "What needs a look, how the year is, what to do next.",
        (lines, AT_A_GLANCE),
        group="start",
        title="{shop} {year}",
        charts=_CHARTS,
    )
