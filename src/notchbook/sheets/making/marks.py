"""Marks: where to mark, notch, drill or stamp, and whether it fits.

Beside the rows of marks stand their readings on the tape, mark by mark (`readings.py`).
"""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Column, Given, Row, computed, planned
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import NO_PROJECT, fault, lacks, state, unknown, useless
from notchbook.sheets.kit.fractions import down_to_fraction, to_fraction
from notchbook.sheets.kit.values import Count, LengthOrNone, Name
from notchbook.sheets.kit.written import PROJECT, Joined, Reads, Written
from notchbook.sheets.making.readings import READINGS


class MarkRow(Row):
    """A row of equal marks on a part."""

    key = ("project", "part", "mark")
    written = (Written(PROJECT, "marks", "mark", "where to mark, notch, drill or stamp"),)
    joined = (Joined("size", ("along", "deep"), "of one mark; else it is a point", "1 x 3/8"),)
    project: Annotated[
        Name, Given("the project it belongs to", refers="Projects.project", strict=True)
    ]
    part: Annotated[
        Name,
        Given(
            "the part that is marked; in files, or a list of parts",
            key="on",
            refers="Cut list.part",
            within="project",
            reads=Reads.NAMES,
            example="front",
        ),
    ]
    mark: Annotated[
        Name, Given("notch, hole, stamp, hook and the like", look=show.WORD, example="notch")
    ]
    count: Annotated[Count, Given("how many on a piece", example="3")]
    spread: Annotated[
        Literal["even", "centered", "centred"] | None,
        Given(
            "even: from margin to margin; centered: the group in the middle", blank="first and gap"
        ),
    ] = None
    first: Annotated[
        LengthOrNone | None, Given("clear wood before the first mark", example="1/2")
    ] = None
    gap: Annotated[LengthOrNone | None, Given("clear wood between mark edges", example="3")] = None
    margin: Annotated[
        LengthOrNone | None, Given("clear wood at each end, with spread even", example="3/4")
    ] = None
    along: Annotated[LengthOrNone | None, Given("size of a mark along the part")] = None
    deep: Annotated[LengthOrNone | None, Given("how deep it is cut")] = None


AT_CENTRE = ("hole", "hook", "stamp", "peg", "screw", "dowel")
"""Marks that are set out by their centre, all others with a size by their edges (common practice:
a drill, a hook or a stamp is put on a cross, a notch is sawn between two lines)."""

_MARKS = this.count * this.along
_BOTH_MARGINS = this.margin * x.Unit("both")
_GAPS = this.count - 1
_OF_PART = (x.where("project", "=", this.project), x.where("part", "=", this.part))


def _place() -> x.Expression:
    single = this.spread.equals("even") & this.count.equals(1)
    return when(
        this.spread.equals("even") & (this.count > 1),
        this.margin,
        when(
            single | ~(this.spread.equals("even") | x.blank(this.spread)),
            (this.part_length - this.group) / x.Unit("both"),
            this.first,
        ),
    )


def _of_part(name: str, header: str, column: str, note: str = "") -> Column:
    return computed(
        name, show.LENGTH, x.greatest("Cut list", column, *_OF_PART), note, header=header
    )


_CENTRE = x.call(
    "OR", x.rounded(this.along, 6).equals(0), *(this.mark.equals(word) for word in AT_CENTRE)
)
_STATE = (
    # the first that holds is told
    (
        (x.rounded(this.last + this.along - this.part_length, 6) > 0)
        | (x.rounded(this.start, 6) < 0)
        | (x.rounded(this.clear, 6) < 0),
        "does not fit",
    ),
    (x.rounded(this.deep - x.call("MAX", this.part_width, this.part_thickness), 6) > 0, "too deep"),
    (x.count("Readings", "number", row=this.row).differs(this.count), "compile again"),
)


_EVEN, _UNSPREAD = this.spread.equals("even"), x.blank(this.spread)
_FAULTS = (
    NO_PROJECT,
    unknown("part", "Cut list.part", when=this.part_length.equals(0)),
    fault(
        "a single mark",
        _EVEN & this.count.equals(1),
        "it cannot be spread evenly; write centered, or first",
        "spread",
    ),
    lacks("margin", _EVEN, "no margin", "write the clear wood at each end"),
    lacks("first", _UNSPREAD, "no first", "write where the first mark begins, or spread"),
    lacks("gap", (this.count > 1) & ~_EVEN, "no gap", "write the clear wood between marks"),
    useless("margin", ~_EVEN, "leave it out, or write spread: even"),
    useless("first", ~_UNSPREAD, "leave it out, or write no spread"),
    useless("gap", _EVEN),
)

TABLE = table(
    "Marks",
    MarkRow,
    planned("row", show.COUNT, "its number among the readings; it stays when you sort"),
    _of_part("part_length", "part length ({length})", "length"),
    computed(
        "clear",
        show.EXACT_LENGTH,
        when(
            this.spread.equals("even"),
            (this.part_length - _BOTH_MARGINS - _MARKS) / _GAPS,
            this.gap,
        ),
        "Between mark edges.",
        header="clear gap ({length})",
    ),
    computed("group", show.EXACT_LENGTH, _MARKS + this.clear * _GAPS),
    computed(
        "start", show.EXACT_LENGTH, _place(), "From one end.", header="first mark at ({length})"
    ),
    computed(
        "step",
        show.EXACT_LENGTH,
        this.along + this.clear,
        "From one mark to the next; on the wood, use the readings: errors do not add up there.",
    ),
    computed(
        "last", show.EXACT_LENGTH, this.start + this.step * _GAPS, header="last mark at ({length})"
    ),
    computed(
        "marks_made",
        show.COUNT,
        this.count * x.total("Cut list", "make", *_OF_PART),
        header="marks a unit",
    ),
    state(
        *_FAULTS,
        otherwise=x.cases(*_STATE),
        note="too deep: deeper than the part is wide or thick.",
    ),
    computed(
        "meets",
        show.NUMBER_OF,
        x.least("Readings", "meets", x.where("row", "=", this.row), x.where("meets", ">", 0)),
        "Another row of marks on the same part that takes some of the same place along it.",
        header="meets row",
    ),
    computed(
        "meets_what",
        show.LABEL,
        when(this.meets > 0, x.look_up("Marks", "mark", row=this.meets, otherwise=""), ""),
        "No fault where the two lie on different faces or edges.",
        header="meets",
    ),
    computed(
        "set_out",
        show.WORD,
        when(_CENTRE, "center", "edges"),
        f"{', '.join(AT_CENTRE)} and points by their center, what else has a size by both edges.",
        header="set out by",
    ),
    computed(
        "alike",
        show.WORD,
        when(
            x.rounded(this.start + this.last + this.along - this.part_length, 6).equals(0),
            "yes",
            "",
        ),
        "Then its readings are rounded from the middle outwards, the same to both sides.",
        header="alike from both ends",
    ),
    computed(
        "size_read",
        show.LENGTH,
        when(this.set_out.equals("edges"), down_to_fraction(this.along), 0),
        "The size that lies between two readings: never more than the mark's.",
    ),
    computed("length_read", show.LENGTH, to_fraction(this.part_length)),
    computed(
        "length_change",
        show.EXACT_LENGTH,
        (this.length_read - this.part_length) / x.Unit("both"),
        "So far the middle moves when the length is read to the shop's fraction.",
        header="half of what reading it changes ({length})",
    ),
    computed(
        "before",
        show.EXACT_LENGTH,
        when(this.set_out.equals("edges"), 0, this.along / x.Unit("both")),
        header="edge to reading ({length})",
    ),
    computed(
        "first_read", show.EXACT_LENGTH, this.start + this.before, header="first exactly ({length})"
    ),
    _of_part("part_width", "part width ({length})", "width"),
    _of_part("part_thickness", "part thickness ({length})", "thickness"),
    silent="project",
    spare=20,
    capacity=2_000,
    details=(
        *("row", "part_length", "clear", "group", "start", "step", "last", "meets"),
        *("set_out", "alike"),
    ),
    workings=(
        *("size_read", "length_read", "length_change", "before", "first_read", "part_width"),
        "part_thickness",
    ),
)
SHEET = Sheet(
    "Marks",
    "Rows of equal marks. Beside them, Readings tells where each one stands on the tape: hook it on"
    " one end and read them all from there, so that errors do not add up.",
    (TABLE, READINGS),
    after="Yield",
    group="output",
)
