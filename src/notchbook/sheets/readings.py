"""Readings: where each mark stands on a tape that stays hooked on one end of the part.

Readings are rounded to the shop's fraction. Where a row of marks is alike from both ends, the
readings are too, exactly: marks beyond the middle are rounded, those before it are their mirror
images, and a mark in the middle stands at half the length. Length and readings then agree:
a mark's reading and that of its mirror image add up to the length as read. Beyond the middle half
a fraction is rounded up, so no mark comes nearer to the middle than it may; the size between two
readings is rounded down. Therefore rounded notches overlap nowhere and leave the part nowhere.
"""

from __future__ import annotations

from notchbook.language.expressions import (
    Expression,
    Unit,
    call,
    least,
    look_up,
    rounded,
    this,
    when,
    where,
)
from notchbook.sheets.declare import (
    COUNT,
    EXACT_LENGTH,
    LENGTH,
    LENGTH_OR_NONE,
    NAME,
    NUMBER_OF,
    WORD,
    computed,
    planned,
    table,
)
from notchbook.sheets.fractions import to_fraction


def _row(column: str, otherwise: int | str = 0) -> Expression:
    return look_up("Marks", column, row=this("row"), otherwise=otherwise)


_LEFT_OUT = this("state").equals("left out")
_LENGTH = _row("part_length")
_LENGTH_READ = _row("length_read")
_EDGES = this("set_out").equals("edges")
_ALONG = _row("along")
_WIDE = when(_EDGES, _ALONG, 0)  # what of the mark the exact reading leaves before it
_ROUNDED_ON_ITS_OWN = to_fraction(this("exact"))
_MIRRORED = when(
    this("side") > 0,
    this("beyond"),
    when(
        this("side") < 0,
        _LENGTH_READ - this("beyond") - _row("size_read"),
        (_LENGTH_READ - _row("size_read")) / Unit("both"),
    ),
)

READINGS = table(
    "Readings",
    None,
    planned("row", "row", COUNT, "the row of marks, by its number on Marks"),
    planned("project", "project", NAME, "the project it belongs to"),
    planned("part", "part", NAME, "the part that is marked"),
    planned("mark", "mark", WORD, "what is marked"),
    planned("number", "mark number", COUNT, "counted from the end that the tape is hooked on"),
    computed(
        "at",
        "read ({length})",
        LENGTH,
        when(
            _LEFT_OUT,
            0,
            when(_row("alike", "").equals("yes"), _MIRRORED, _ROUNDED_ON_ITS_OWN),
        ),
        "On the tape: the centre of the mark, or its near edge.",
    ),
    computed(
        "to",
        "and ({length})",
        LENGTH_OR_NONE,
        when(call("AND", _EDGES, call("NOT", _LEFT_OUT)), this("at") + _row("size_read"), 0),
        "The far edge of a mark that is set out by its edges.",
    ),
    computed("set_out", "set out by", WORD, _row("set_out", "")),
    computed(
        "meets",
        "meets row",
        NUMBER_OF,
        least(
            "Readings",
            "row",
            where("project", "=", this("project")),
            where("part", "=", this("part")),
            where("row", "<>", this("row")),
            where("starts", "<", this("ends")),
            where("ends", ">", this("starts")),
        ),
        "A mark of another row that takes some of the same place along the part; 0: none.",
    ),
    computed(
        "state",
        "state",
        WORD,
        when(this("number") > _row("count"), "left out", ""),
        "left out: there are fewer marks now.",
    ),
    computed(
        "exact",
        "exactly ({length})",
        EXACT_LENGTH,
        _row("start")
        + _row("step") * (this("number") - 1)
        + when(_EDGES, 0, _ALONG / Unit("both")),
        "The reading before it is rounded.",
    ),
    computed(
        "side",
        "beyond the middle",
        COUNT,
        this("number") + this("number") - _row("count") - 1,
        "More than 0: beyond the middle mark; less: before it.",
    ),
    computed(
        "beyond",
        "beyond it read ({length})",
        LENGTH,
        to_fraction(
            when(this("side") > 0, this("exact"), _LENGTH - _WIDE - this("exact"))
            + (_LENGTH_READ - _LENGTH) / Unit("both")
        ),
        "Of the mark or its mirror image, whichever lies beyond the middle.",
    ),
    computed(
        "starts",
        "starts ({length})",
        EXACT_LENGTH,
        when(_LEFT_OUT, 0, rounded(_row("start") + _row("step") * (this("number") - 1), 6)),
    ),
    computed(
        "ends",
        "ends ({length})",
        EXACT_LENGTH,
        when(_LEFT_OUT, 0, rounded(this("starts") + _ALONG, 6)),
    ),
    capacity=2_000,
)
