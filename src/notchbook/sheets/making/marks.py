"""Marks: where to mark, notch, drill or stamp, and whether it fits.

Beside the rows of marks stand their readings on the tape, mark by mark (`readings.py`).
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from notchbook.language.expressions import (
    Expression,
    Unit,
    call,
    count,
    greatest,
    least,
    look_up,
    rounded,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.kit.declare import (
    COUNT,
    EXACT_LENGTH,
    LABEL,
    LENGTH,
    NAME,
    NUMBER_OF,
    WORD,
    Column,
    Given,
    Row,
    Sheet,
    computed,
    planned,
    table,
)
from notchbook.sheets.kit.fractions import down_to_fraction, to_fraction
from notchbook.sheets.kit.values import Count, LengthOrNone, Name
from notchbook.sheets.making.readings import READINGS


class MarkRow(Row):
    """A row of equal marks on a part."""

    key: ClassVar[tuple[str, ...]] = ("project", "part", "mark")
    project: Annotated[
        Name, Given("project", NAME, "the project it belongs to", "Projects.project", strict=True)
    ]
    part: Annotated[Name, Given("part", NAME, "the part that is marked")]
    mark: Annotated[Name, Given("mark", WORD, "notch, hole, stamp, hook and the like")]
    count: Annotated[Count, Given("count", COUNT, "how many on a piece")]
    spread: Annotated[
        Literal["even", "centred"] | None,
        Given(
            "spread",
            WORD,
            "even: from margin to margin; centred: the group in the middle; blank: first and gap",
            ("even", "centred"),
            strict=True,
        ),
    ] = None
    first: Annotated[
        LengthOrNone | None, Given("first ({length})", LENGTH, "clear wood before the first mark")
    ] = None
    gap: Annotated[
        LengthOrNone | None, Given("gap ({length})", LENGTH, "clear wood between marks")
    ] = None
    margin: Annotated[
        LengthOrNone | None, Given("margin ({length})", LENGTH, "clear wood at each end")
    ] = None
    along: Annotated[
        LengthOrNone | None, Given("along ({length})", LENGTH, "size of a mark along the part")
    ] = None
    deep: Annotated[LengthOrNone | None, Given("deep ({length})", LENGTH, "how deep it is cut")] = (
        None
    )


AT_CENTRE = ("hole", "hook", "stamp", "peg", "screw", "dowel")
"""Marks that are set out by their centre, all others with a size by their edges (common practice:
a drill, a hook or a stamp is put on a cross, a notch is sawn between two lines)."""

_MARKS = this("count") * this("along")
_BOTH_MARGINS = this("margin") * Unit("both")
_GAPS = this("count") - 1
_OF_PART = (where("project", "=", this("project")), where("part", "=", this("part")))


def _place() -> Expression:
    single = call("AND", this("spread").equals("even"), this("count").equals(1))
    return when(
        call("AND", this("spread").equals("even"), this("count") > 1),
        this("margin"),
        when(
            call("OR", this("spread").equals("centred"), single),
            (this("part_length") - this("group")) / Unit("both"),
            this("first"),
        ),
    )


def _of_part(name: str, header: str, column: str, note: str = "") -> Column:
    return computed(name, header, LENGTH, greatest("Cut list", column, *_OF_PART), note)


_CENTRE = call(
    "OR",
    rounded(this("along"), 6).equals(0),
    *(this("mark").equals(word) for word in AT_CENTRE),
)
_STATE = (
    # the first that holds is told
    (this("part_length").equals(0), "no part"),
    (
        call(
            "OR",
            rounded(this("last") + this("along") - this("part_length"), 6) > 0,
            rounded(this("start"), 6) < 0,
            rounded(this("clear"), 6) < 0,
        ),
        "does not fit",
    ),
    (
        rounded(this("deep") - call("MAX", this("part_width"), this("part_thickness")), 6) > 0,
        "too deep",
    ),
    (count("Readings", "number", row=this("row")).differs(this("count")), "compile again"),
)


def _first_true(cases: tuple[tuple[Expression, str], ...]) -> Expression:
    (condition, word), *rest = cases
    return when(condition, word, _first_true(tuple(rest)) if rest else "")


TABLE = table(
    "Marks",
    MarkRow,
    planned("row", "row", COUNT, "its number among the readings; it stays when you sort"),
    _of_part("part_length", "part length ({length})", "length"),
    computed(
        "clear",
        "clear gap ({length})",
        EXACT_LENGTH,
        when(
            this("spread").equals("even"),
            (this("part_length") - _BOTH_MARGINS - _MARKS) / _GAPS,
            this("gap"),
        ),
        "Between mark edges.",
    ),
    computed("group", "group ({length})", EXACT_LENGTH, _MARKS + this("clear") * _GAPS),
    computed("start", "first mark at ({length})", EXACT_LENGTH, _place(), "From one end."),
    computed(
        "step",
        "step ({length})",
        EXACT_LENGTH,
        this("along") + this("clear"),
        "From one mark to the next; on the wood, use the readings: errors do not add up there.",
    ),
    computed("last", "last mark at ({length})", EXACT_LENGTH, this("start") + this("step") * _GAPS),
    computed(
        "marks_made",
        "marks a unit",
        COUNT,
        this("count") * total("Cut list", "make", *_OF_PART),
    ),
    computed(
        "state",
        "state",
        WORD,
        _first_true(_STATE),
        "too deep: deeper than the part is wide or thick.",
    ),
    computed(
        "meets",
        "meets row",
        NUMBER_OF,
        least("Readings", "meets", where("row", "=", this("row")), where("meets", ">", 0)),
        "Another row of marks on the same part that takes some of the same place along it.",
    ),
    computed(
        "meets_what",
        "meets",
        LABEL,
        when(this("meets") > 0, look_up("Marks", "mark", row=this("meets"), otherwise=""), ""),
        "No fault where the two lie on different faces or edges.",
    ),
    computed(
        "set_out",
        "set out by",
        WORD,
        when(_CENTRE, "centre", "edges"),
        f"{', '.join(AT_CENTRE)} and points by their centre, what else has a size by both edges.",
    ),
    computed(
        "alike",
        "alike from both ends",
        WORD,
        when(
            rounded(this("start") + this("last") + this("along") - this("part_length"), 6).equals(
                0
            ),
            "yes",
            "",
        ),
        "Then its readings are rounded from the middle outwards, the same to both sides.",
    ),
    computed(
        "size_read",
        "size read ({length})",
        LENGTH,
        when(this("set_out").equals("edges"), down_to_fraction(this("along")), 0),
        "The size that lies between two readings: never more than the mark's.",
    ),
    computed("length_read", "length read ({length})", LENGTH, to_fraction(this("part_length"))),
    computed(
        "length_change",
        "half of what reading it changes ({length})",
        EXACT_LENGTH,
        (this("length_read") - this("part_length")) / Unit("both"),
        "So far the middle moves when the length is read to the shop's fraction.",
    ),
    computed(
        "before",
        "edge to reading ({length})",
        EXACT_LENGTH,
        when(this("set_out").equals("edges"), 0, this("along") / Unit("both")),
    ),
    computed(
        "first_read", "first exactly ({length})", EXACT_LENGTH, this("start") + this("before")
    ),
    _of_part("part_width", "part width ({length})", "width"),
    _of_part("part_thickness", "part thickness ({length})", "thickness"),
    silent="project",
    spare=20,
    capacity=2_000,
)
SHEET = Sheet(
    "Marks",
    "Rows of equal marks. Beside them, Readings tells where each one stands on the tape: hook it on"
    " one end and read them all from there, so that errors do not add up.",
    (TABLE, READINGS),
    group="output",
    takes_rows=True,
)
