"""The Results sheet: what the year really earned, in all, by project and by channel."""

from __future__ import annotations

from collections.abc import Iterable

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.declare import Lines, Sheet, heading, line
from notchbook.sheets.kit.settings import in_year, setting
from notchbook.sheets.ledgers.earnings import drives
from notchbook.sheets.ledgers.slip_totals import slip_costs
from notchbook.sheets.results.by_channel import BY_CHANNEL
from notchbook.sheets.results.by_project import BY_PROJECT
from notchbook.sheets.results.estimates import ESTIMATES
from notchbook.sheets.tax.tool_depreciation import EXPENSED, WRITTEN_DOWN
from notchbook.sheets.tax.year_lines import year_line


def result_line(name: str) -> x.Line:
    """A line of the Results sheet."""
    return x.Line("Results", name)


def _channels(column: str) -> x.Expression:
    return x.total("Results by channel", column)


def _bought(*rows: x.Where) -> x.Expression:
    return slip_costs(*rows, *in_year())


_NAMED = x.where("channel", "<>", "")
_OVERHEAD = x.where("counts_as", "=", "overhead")
_CLOCKED = x.where("minutes", ">", 0)


def _planned(*rows: x.Where) -> x.Expression:
    return x.total("Production log", "planned_minutes", *rows, *in_year())


LINES = Lines(
    "Results",
    ("in all", "value", "how it is found"),
    (
        heading("Hours"),
        line(
            "bench_hours",
            "bench hours",
            show.AMOUNT,
            (x.total("Production log", "minutes", *in_year()) + _planned() - _planned(_CLOCKED))
            / x.Unit("hour"),
            "by the log; planned minutes for runs without any",
        ),
        line(
            "selling_hours",
            "selling hours",
            show.AMOUNT,
            x.total("Selling days", "hours", *in_year()),
            "Selling days",
        ),
        heading("Fixed costs"),
        line(
            "overhead_slips",
            "overhead slips",
            show.MONEY,
            _bought(_OVERHEAD) - _bought(_OVERHEAD, _NAMED),
            "slips that name no channel and that no piece causes",
        ),
        line(
            "overhead_drives",
            "drives",
            show.MONEY,
            drives(*in_year()) - drives(*in_year(), _NAMED),
            "that name no channel; none where slips of the car count",
        ),
        line(
            "home",
            "use of the home",
            show.MONEY,
            year_line("home") + 0,
            "Year-end",
        ),
        line(
            "tools",
            "tools written off",
            show.MONEY,
            WRITTEN_DOWN + EXPENSED,
            "the year's depreciation and tools expensed; in place of wear",
        ),
        line(
            "overheads",
            "overheads",
            show.MONEY,
            x.SumLines("Results", ("overhead_slips", "overhead_drives", "home", "tools")),
        ),
        line(
            "real_rate",
            "real overheads an hour",
            show.MONEY,
            result_line("overheads") / result_line("bench_hours"),
            "of bench hours",
        ),
        line(
            "typed_rate",
            "overhead rate typed",
            show.MONEY,
            setting.overhead_rate + 0,
            "Settings; what prices and plans are worked out with",
        ),
        line(
            "of_channels",
            "costs of channels",
            show.MONEY,
            _channels("fixed"),
            "slips and drives that name one and that no piece causes",
        ),
        line(
            "fixed",
            "fixed costs",
            show.MONEY,
            result_line("overheads") + result_line("of_channels"),
        ),
        heading("Break-even of the mix as sold"),
        line(
            "sales", "sales", show.MONEY, _channels("sales"), "with postage charged, less returns"
        ),
        line(
            "contribution",
            "contribution",
            show.MONEY,
            _channels("proceeds") - _channels("materials"),
            "of the sales: after fees, postage, packaging, selling slips and materials",
        ),
        line(
            "contribution_share",
            "contribution ratio",
            show.PERCENT,
            result_line("contribution") / result_line("sales"),
        ),
        line(
            "break_even_share",
            "share for fixed costs",
            show.PERCENT,
            when(
                result_line("contribution") > 0,
                result_line("fixed") / result_line("contribution"),
                0,
            ),
            "of the sales; 0: they leave nothing, and no number of them pays",
        ),
        line(
            "break_even",
            "sales to break even",
            show.MONEY,
            result_line("sales") * result_line("break_even_share"),
            "of this mix; pieces of each: by project, behind the +",
        ),
        line(
            "safety",
            "margin of safety",
            show.MONEY,
            when(
                result_line("contribution") > 0, result_line("sales") - result_line("break_even"), 0
            ),
            "sales beyond break-even; below 0, what is missing",
        ),
        line(
            "safety_share",
            "margin of safety, of sales",
            show.PERCENT,
            result_line("safety") / result_line("sales"),
        ),
        line(
            "left",
            "left for your own labor",
            show.MONEY,
            result_line("contribution") - result_line("fixed"),
        ),
        line(
            "left_an_hour",
            "left an hour",
            show.MONEY,
            result_line("left") / (result_line("bench_hours") + result_line("selling_hours")),
            "per bench and selling hour, those of unsold pieces too",
        ),
        heading("Counted once"),
        line(
            "packaging_slips",
            "slips of packaging",
            show.MONEY,
            _bought(x.where("category", "=", "packaging")),
            "where there are any, the channels' packaging per piece is not counted",
        ),
        line(
            "car_slips",
            "slips of the car",
            show.MONEY,
            _bought(x.where("category", "=", "car")),
            "where there are any, drives are not counted",
        ),
        line(
            "slips_left_out",
            "selling slips left out",
            show.MONEY,
            _bought(x.where("counts_as", "=", "selling")) - _channels("selling_slips"),
            "fees and postage that rows of the Sales ledger hold, but for slips with ok; all, where"
            " nothing is sold yet",
        ),
    ),
)


def results_rows(
    channels: Iterable[str], projects: Iterable[str]
) -> dict[str, list[dict[str, object]]]:
    """The planned rows by table: a row a channel, a row a project."""
    named = [*projects]
    return {
        "Results by channel": [{"channel": each} for each in channels],
        "Results by project": [{"project": each} for each in named],
        "Estimates": [{"project": each} for each in named],
    }


SHEET = Sheet(
    "Results",
    "What the year really earned, by the ledgers. Your own labor is in none of it.",
    (LINES, BY_PROJECT, BY_CHANNEL, ESTIMATES),
    after="Months and channels",
    group="books",
)
