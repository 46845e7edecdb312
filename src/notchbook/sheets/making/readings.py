"""Readings: where each mark stands on a tape that stays hooked on one end of the part.

Readings are rounded to the shop's fraction. Where a row of marks is alike from both ends, the
readings are too, exactly: marks beyond the middle are rounded, those before it are their mirror
images, and a mark in the middle stands at half the length. Length and readings then agree:
a mark's reading and that of its mirror image add up to the length as read. Beyond the middle half
a fraction is rounded up, so no mark comes nearer to the middle than it may; the size between two
readings is rounded down. Therefore rounded notches overlap nowhere and leave the part nowhere.
"""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Column, computed, planned
from notchbook.sheets.kit.declare import table
from notchbook.sheets.kit.fractions import to_fraction
from notchbook.sheets.kit.show import Look


def _row(column: str, otherwise: int | str = 0) -> x.Expression:
    return x.look_up("Marks", column, row=this.row, otherwise=otherwise)


def _of_row(name: str, header: str, look: Look, otherwise: int | str = 0) -> Column:
    return computed(name, look, _row(name, otherwise), "Of its row on Marks.", header=header)


_LEFT_OUT = this.state.equals("left out")
_EDGES = this.set_out.equals("edges")
_LEFT_OVER = this.length_read - this.size_read
_MIRRORED = when(
    this.side > 0,
    this.beyond,
    when(this.side < 0, _LEFT_OVER - this.beyond, _LEFT_OVER / x.Unit("both")),
)

READINGS = table(
    "Readings",
    None,
    planned("row", show.COUNT, "the row of marks, by its number on Marks"),
    planned("project", show.NAME, "the project it belongs to"),
    planned("part", show.NAME, "the part that is marked"),
    planned("mark", show.WORD, "what is marked"),
    planned(
        "number",
        show.COUNT,
        "counted from the end that the tape is hooked on",
        header="mark number",
    ),
    computed(
        "at",
        show.LENGTH,
        when(_LEFT_OUT, 0, when(this.alike.equals("yes"), _MIRRORED, to_fraction(this.exact))),
        "On the tape: the center of the mark, or its near edge.",
        header="read ({length})",
    ),
    computed(
        "to",
        show.LENGTH_OR_NONE,
        when(_EDGES & ~_LEFT_OUT, this.at + this.size_read, 0),
        "The far edge of a mark that is set out by its edges.",
        header="and ({length})",
    ),
    _of_row("set_out", "set out by", show.WORD, ""),
    computed(
        "meets",
        show.NUMBER_OF,
        x.least(
            "Readings",
            "row",
            x.where("project", "=", this.project),
            x.where("part", "=", this.part),
            x.where("row", "<>", this.row),
            x.where("starts", "<", this.ends),
            x.where("ends", ">", this.starts),
        ),
        "A mark of another row that takes some of the same place along the part.",
        header="meets row",
    ),
    computed(
        "state",
        show.WORD,
        when(this.number > this.count, "left out", ""),
        "left out: there are fewer marks now.",
    ),
    computed(
        "exact",
        show.EXACT_LENGTH,
        this.first_read + this.step * (this.number - 1),
        "The reading before it is rounded.",
        header="exactly ({length})",
    ),
    computed(
        "side",
        show.COUNT,
        this.number + this.number - this.count - 1,
        "More than 0: beyond the middle mark; less: before it.",
        header="beyond the middle",
    ),
    computed(
        "beyond",
        show.LENGTH,
        to_fraction(
            this.first_read
            + this.step * (x.call("MAX", this.number, this.count - this.number + 1) - 1)
            + _row("length_change")
        ),
        "Of the mark or its mirror image, whichever lies there.",
        header="read beyond the middle ({length})",
    ),
    computed(
        "starts", show.EXACT_LENGTH, when(_LEFT_OUT, 0, x.rounded(this.exact - _row("before"), 6))
    ),
    computed(
        "ends", show.EXACT_LENGTH, when(_LEFT_OUT, 0, x.rounded(this.starts + _row("along"), 6))
    ),
    _of_row("count", "marks of the row", show.COUNT),
    _of_row("alike", "alike from both ends", show.WORD, ""),
    _of_row("first_read", "first exactly ({length})", show.EXACT_LENGTH),
    _of_row("step", "step ({length})", show.EXACT_LENGTH),
    _of_row("size_read", "size read ({length})", show.LENGTH_OR_NONE),
    _of_row("length_read", "length read ({length})", show.LENGTH),
    capacity=2_000,
    details=("row", "meets"),
    workings=(
        *("exact", "side", "beyond", "starts", "ends", "count", "alike", "first_read", "step"),
        *("size_read", "length_read"),
    ),
)
