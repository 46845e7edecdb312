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
from notchbook.sheets.kit.declare import (
    COUNT,
    EXACT_LENGTH,
    LENGTH,
    LENGTH_OR_NONE,
    NAME,
    NUMBER_OF,
    WORD,
    Column,
    Look,
    computed,
    planned,
    table,
)
from notchbook.sheets.kit.fractions import to_fraction


def _row(column: str, otherwise: int | str = 0) -> Expression:
    return look_up("Marks", column, row=this("row"), otherwise=otherwise)


def _of_row(name: str, header: str, look: Look, otherwise: int | str = 0) -> Column:
    return computed(name, header, look, _row(name, otherwise), "Of its row on Marks.")


_LEFT_OUT = this("state").equals("left out")
_EDGES = this("set_out").equals("edges")
_LEFT_OVER = this("length_read") - this("size_read")
_MIRRORED = when(
    this("side") > 0,
    this("beyond"),
    when(this("side") < 0, _LEFT_OVER - this("beyond"), _LEFT_OVER / Unit("both")),
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
            when(this("alike").equals("yes"), _MIRRORED, to_fraction(this("exact"))),
        ),
        "On the tape: the centre of the mark, or its near edge.",
    ),
    computed(
        "to",
        "and ({length})",
        LENGTH_OR_NONE,
        when(call("AND", _EDGES, call("NOT", _LEFT_OUT)), this("at") + this("size_read"), 0),
        "The far edge of a mark that is set out by its edges.",
    ),
    _of_row("set_out", "set out by", WORD, ""),
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
        "A mark of another row that takes some of the same place along the part.",
    ),
    computed(
        "state",
        "state",
        WORD,
        when(this("number") > this("count"), "left out", ""),
        "left out: there are fewer marks now.",
    ),
    computed(
        "exact",
        "exactly ({length})",
        EXACT_LENGTH,
        this("first_read") + this("step") * (this("number") - 1),
        "The reading before it is rounded.",
    ),
    computed(
        "side",
        "beyond the middle",
        COUNT,
        this("number") + this("number") - this("count") - 1,
        "More than 0: beyond the middle mark; less: before it.",
    ),
    computed(
        "beyond",
        "read beyond the middle ({length})",
        LENGTH,
        to_fraction(
            this("first_read")
            + this("step") * (call("MAX", this("number"), this("count") - this("number") + 1) - 1)
            + _row("length_change")
        ),
        "Of the mark or its mirror image, whichever lies there.",
    ),
    computed(
        "starts",
        "starts ({length})",
        EXACT_LENGTH,
        when(_LEFT_OUT, 0, rounded(this("exact") - _row("before"), 6)),
    ),
    computed(
        "ends",
        "ends ({length})",
        EXACT_LENGTH,
        when(_LEFT_OUT, 0, rounded(this("starts") + _row("along"), 6)),
    ),
    _of_row("count", "marks of the row", COUNT),
    _of_row("alike", "alike from both ends", WORD, ""),
    _of_row("first_read", "first exactly ({length})", EXACT_LENGTH),
    _of_row("step", "step ({length})", EXACT_LENGTH),
    _of_row("size_read", "size read ({length})", LENGTH_OR_NONE),
    _of_row("length_read", "length read ({length})", LENGTH),
    capacity=2_000,
)
