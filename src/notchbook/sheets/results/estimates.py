"""Estimates: pace, spoilage and local factor beside what the log and the ledger say.

The maker takes one over by typing it; nothing changes it otherwise.
"""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.declare import table
from notchbook.sheets.kit.settings import in_year, setting

_MINE = (x.where("project", "=", this.project), *in_year())
_CLOCKED = x.where("minutes", ">", 0)
_AT_MAIN = (
    *_MINE,
    x.where("tier", "=", setting.main_tier),
    *(x.where("kind", "<>", other) for other in ("return", "own use", "deposit")),
)


def _project(column: str) -> x.Expression:
    return x.look_up("Projects", column, project=this.project)


def _log(column: str, *rows: x.Where) -> x.Expression:
    return x.total("Production log", column, *_MINE, *rows)


def _step(column: str) -> x.Expression:
    return x.total("Work steps", column, project=this.project)


_PREPARATION = (
    x.total("Material takeoff", "prep_minutes", project=this.project)
    / _project("batch")
    * _log("made", _CLOCKED)
)


def whole_words(value: x.Expression) -> x.Expression:
    """A number in words, without decimals."""
    return x.join(x.rounded(value, 0))


def percent_words(share: x.Expression) -> x.Expression:
    """A share as a sentence writes it."""
    return x.join(x.rounded(share * x.Unit("percent"), 0), " %")


def _says(
    name: str, real: x.Expression, typed: x.Expression, known: x.Expression, by: str
) -> x.Expression:
    """What is off by more than the limit, in words."""
    off = x.call("ABS", real - typed) > setting.off_by * typed
    words = x.join(
        name, percent_words(real), " by the ", by, ", ", percent_words(typed), " planned"
    )
    return when(known & off, words, "")


def _all_said(first: str, *others: str) -> x.Expression:
    """The columns that say something, with semicolons between."""
    parts: list[x.Expression] = [this(first)]
    before: x.Expression = this(first).differs("")
    for name in others:
        parts += [when(before & this(name).differs(""), "; ", ""), this(name)]
        before = before | this(name).differs("")
    return x.join(*parts)


ESTIMATES = table(
    "Estimates",
    None,
    planned("project", show.NAME, "the project"),
    computed(
        "off",
        show.TEXT,
        _all_said("pace_says", "spoilage_says", "factor_says"),
        "What is off by more than Settings allow, over enough runs or sales: type it on Projects.",
        header="what is off",
    ),
    computed("runs", show.COUNT, x.count("Production log", "minutes", *_MINE, _CLOCKED)),
    computed(
        "minutes_logged",
        show.MINUTES,
        _log("minutes", _CLOCKED) / (_log("made", _CLOCKED) - _log("spoiled", _CLOCKED)),
        "Of a good piece, over the runs with minutes typed.",
        header="minutes by the log",
    ),
    computed("minutes", show.MINUTES, _project("good_minutes"), header="planned minutes"),
    computed(
        "ratio",
        show.PERCENT,
        (_log("minutes", _CLOCKED) - _PREPARATION)
        / (this.runs * _step("setup") + _log("made", _CLOCKED) * _step("minutes")),
        "The log's minutes, without preparing boards, to those of the steps.",
        header="pace by the log",
    ),
    computed("pace", show.PERCENT, _project("pace_taken"), header="planned pace"),
    computed(
        "spoilage_logged",
        show.PERCENT,
        _log("spoiled") / _log("made"),
        header="spoilage by the log",
    ),
    computed("spoilage", show.PERCENT, _project("spoilage"), header="planned spoilage"),
    computed(
        "at_main",
        show.COUNT,
        x.total("Sales ledger", "quantity", *_AT_MAIN),
        header="sold at the main tier",
    ),
    computed(
        "factor_got",
        show.PERCENT,
        (
            x.products("Sales ledger", ("quantity", "price"), *_AT_MAIN)
            - x.total("Sales ledger", "discount", *_AT_MAIN)
        )
        / this.at_main
        / _project("seen_average"),
        "What people paid at the main tier, of the average seen.",
        header="got of the seen",
    ),
    computed(
        "factor",
        show.PERCENT,
        _project("market") / _project("seen_average"),
        header="local factor",
    ),
    computed(
        "pace_says",
        show.LABEL,
        _says("pace ", this.ratio, this.pace, this.runs >= setting.least_runs, "log"),
    ),
    computed(
        "spoilage_says",
        show.LABEL,
        _says(
            "spoilage ",
            this.spoilage_logged,
            this.spoilage,
            (x.count("Production log", "made", *_MINE) >= setting.least_runs)
            & (
                x.call("ABS", _log("spoiled") - this.spoilage * _log("made"))
                >= setting.least_spoiled
            ),
            "log",
        ),
    ),
    computed(
        "factor_says",
        show.LABEL,
        _says(
            "local factor ",
            this.factor_got,
            this.factor,
            (this.at_main >= setting.least_sold) & (this.factor > 0),
            "ledger",
        ),
    ),
    computed("is_off", show.COUNT, when(this.off.differs(""), 1, 0)),
    capacity=500,
    details=(
        *("runs", "minutes_logged", "minutes", "ratio", "pace", "spoilage_logged", "spoilage"),
        *("at_main", "factor_got", "factor"),
    ),
    workings=("is_off", "pace_says", "spoilage_says", "factor_says"),
)
