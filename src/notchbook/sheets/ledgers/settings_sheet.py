"""The Settings sheet: the single values line by line, channels and tiers beside them."""

from __future__ import annotations

from dataclasses import replace

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import LineCell, LineRow, Lines, Sheet, heading, line, typed
from notchbook.sheets.kit.discovery import Terms
from notchbook.sheets.kit.setting_keys import OF_ONE_FORM, OF_THE_FILES
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.kit.shop_settings import GIVEN
from notchbook.sheets.ledgers.channels import CHANNELS, TIERS

_SAW = (
    *("kerf", "squaring", "end_trim", "shortest_rip", "longest_rip", "deepest_cut", "sheet_trim"),
    *("minutes_a_setting", "minutes_a_pass"),
)
_OF_THE_PLAN = (*_SAW, "usable_offcut", "usable_width", "usable_thickness")
"""What the planner looks at."""


def _saw_sum() -> x.Expression:
    """One number that changes when any saw setting does, to tell a stale plan.

    Each setting is added, and what came before weighed by it; the sum stays of the size of the
    settings, so that no digit of any of them is lost.
    """
    result: x.Expression = setting(_OF_THE_PLAN[0])
    for name in _OF_THE_PLAN[1:]:
        one_more = setting(name) + 1
        result = x.Arithmetic("*", result + setting(name), one_more) / (one_more + 1)
    return result


def _rows(*names: str) -> tuple[LineRow, ...]:
    return tuple(_row(name) for name in names)


def _row(name: str) -> LineRow:
    row = typed(GIVEN[name])
    if name not in OF_THE_FILES:
        return row
    cells = tuple(replace(cell, in_files=True) for cell in row.cells)
    return replace(row, cells=cells)


_SUMS = (
    line("saw_sum", "saw sum", show.AMOUNT, _saw_sum(), "changes when any saw setting changes"),
    LineRow(
        "saw sum of the plan",
        (LineCell("planned_saw_sum", show.AMOUNT, role=Role.PLANNED),),
        "the saw sum when the cuts were planned",
    ),
    line(
        "offcut_sum",
        "offcut sum",
        show.CHECKSUM,
        x.total("Offcuts", "size_sum"),
        "changes when an offcut's size or count does",
    ),
    LineRow(
        "offcut sum of the plan",
        (LineCell("planned_offcut_sum", show.CHECKSUM, role=Role.PLANNED),),
        "the offcut sum when the cuts were planned",
    ),
)


def _lines(tax: str) -> tuple[LineRow, ...]:
    return (
        heading("The shop"),
        *_rows("shop", "year", "as_of", "currency", "units", "show_fractions_to", "paper"),
        *_rows("shop_sheet_costs"),
        line("year_start", "first day", show.DATE, x.call("DATE", setting.year, 1, 1)),
        line("year_end", "last day", show.DATE, x.call("DATE", setting.year + 1, 1, 1) - 1),
        heading("Time"),
        *_rows("labor_rate", "overhead_rate", "worth_per_hour", "skip_per_hour"),
        heading("Saw"),
        *_rows(*_OF_THE_PLAN, "fence_reach"),
        line(
            "planned_for",
            "cuts are planned for",
            show.LABEL,
            when(
                x.rounded(setting.saw_sum - setting.planned_saw_sum, 6).equals(0),
                "these settings",
                "other settings",
            ),
            "other settings: compile again, and they are planned anew",
        ),
        *(replace(row, folded=True) for row in _SUMS),
        heading("Prices"),
        *_rows("local_factor", "target_margin", "ending", "offcuts", "main_tier"),
        *_rows("check_prices_after"),
        *(
            LineRow(
                f"use of {what}",
                (LineCell(f"use_{kind}", show.PERCENT, role=Role.PLANNED),),
                "the share of the wood bought that ends up in pieces, for Ideas, where no plan of"
                " yours tells; common practice",
            )
            for kind, what in (("lumber", "boards"), ("panel", "sheets"))
        ),
        heading("When something is worth telling"),
        *_rows("least_sold", "least_runs", "least_spoiled", "off_by", "raise_below", "raise_days"),
        *_rows("overhead_share", "price_off", "same_slip_days", "count_from"),
        *_rows("weeks", "sell_weeks"),
        heading("Books"),
        *_rows(
            "stock_method",
            "written_off",
            "carried_stock",
            "tax",
            "other_income",
            "home_use",
            *OF_ONE_FORM[tax],
            "filed",
        ),
        *_rows("smallest", "tolerance"),
    )


def sheet_for(terms: Terms) -> Sheet:
    """The sheet, with the single values that the tax form has a use for."""
    return Sheet(
        "Settings",
        "Change the cells with a cream fill; everything else follows. Channels and tiers stand on"
        " the right, with spare rows.",
        (
            Lines("Settings", ("setting", "value", "what it is for"), _lines(terms.tax)),
            CHANNELS,
            TIERS,
        ),
        group="plan",
    )
