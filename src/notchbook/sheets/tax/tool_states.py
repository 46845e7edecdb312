"""What is missing or wrong in the row of a tool."""

from __future__ import annotations

from notchbook.language.expressions import (
    Expression,
    blank,
    call,
    count,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.tax.tool_basis import (
    BONUS_ROWS,
    BY_LIFE,
    CONVENTION_OF_YEAR,
    IN_CLASS,
    METHOD,
    OF_THE_FORM,
    SOLD,
    THIS_YEAR,
    YEAR,
)


def state(with_classes: bool) -> Expression:
    """What is missing or wrong in a tool's row, the gravest first."""
    no_life = call("AND", BY_LIFE, blank(this("life_years")))
    no_uses = call(
        "AND",
        METHOD.equals("units of use"),
        when(
            this("wear").equals("hours"), this("life_hours") + 0, this("expected_uses") + 0
        ).equals(0),
    )
    rest = when(
        call("OR", no_life, no_uses),
        "no life",
        when(
            this("taken_before") > this("cost"),
            "too much",
            when(
                call("AND", this("first_year") < YEAR, this("taken_before").equals(0)),
                when(call("OR", METHOD.equals("expensed"), SOLD), "", "nothing before"),
                "",
            ),
        ),
    )
    if not with_classes:
        return when(OF_THE_FORM, "no such method", rest)
    no_class = count("Tax tables", "value", where("table", "=", this("tax_class"))).equals(0)
    no_rate = call("AND", METHOD.equals("bonus"), BONUS_ROWS.equals(0))
    above = call(
        "AND",
        METHOD.equals("expensed"),
        THIS_YEAR,
        this("cost")
        > total(
            "Tax tables",
            "value",
            where("table", "=", "safe harbour"),
            where("first", "<=", this("in_service")),
            where("last", ">=", this("in_service")),
        ),
    )
    against = call(
        "AND",
        this("qualifying") > 0,
        this("used_convention").differs(CONVENTION_OF_YEAR),
    )
    unsaid = call("AND", IN_CLASS, this("first_year") < YEAR, blank(this("convention")))
    return when(
        call("AND", IN_CLASS, no_class),
        "no class",
        when(
            no_rate,
            "no rate",
            when(
                above,
                "above harbour",
                when(against, "convention", when(unsaid, "no convention", rest)),
            ),
        ),
    )
