"""Marks: where to mark, notch, drill or stamp, as readings from one end."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from notchbook.language.expressions import (
    Expression,
    Unit,
    call,
    greatest,
    rounded,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.declare import (
    COUNT,
    LENGTH,
    NAME,
    WORD,
    Given,
    Row,
    Sheet,
    computed,
    table,
)
from notchbook.sheets.values import Count, LengthOrNone, Name


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


TABLE = table(
    "Marks",
    MarkRow,
    computed(
        "part_length",
        "part length ({length})",
        LENGTH,
        greatest("Cut list", "length", *_OF_PART),
    ),
    computed(
        "clear",
        "clear gap ({length})",
        LENGTH,
        when(
            this("spread").equals("even"),
            (this("part_length") - _BOTH_MARGINS - _MARKS) / _GAPS,
            this("gap"),
        ),
        "Between mark edges.",
    ),
    computed("group", "group ({length})", LENGTH, _MARKS + this("clear") * _GAPS),
    computed("start", "first mark at ({length})", LENGTH, _place(), "From one end."),
    computed(
        "step",
        "step ({length})",
        LENGTH,
        this("along") + this("clear"),
        "From one mark to the next: always read from the same end.",
    ),
    computed("last", "last mark at ({length})", LENGTH, this("start") + this("step") * _GAPS),
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
        when(
            this("part_length").equals(0),
            "no part",
            when(
                call(
                    "OR",
                    rounded(this("last") + this("along") - this("part_length"), 6) > 0,
                    rounded(this("start"), 6) < 0,
                    rounded(this("clear"), 6) < 0,
                ),
                "does not fit",
                "",
            ),
        ),
    ),
    silent="project",
    spare=20,
    capacity=2_000,
)
SHEET = Sheet(
    "Marks",
    "Rows of equal marks. Read every mark from the same end, so that errors do not add up.",
    (TABLE,),
    group="output",
    takes_rows=True,
)
