"""What is missing or wrong in the row of a tool."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
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


def state(with_classes: bool) -> x.Expression:
    """What is missing or wrong in a tool's row, the gravest first."""
    no_life = BY_LIFE & x.blank(this.life_years)
    no_uses = METHOD.equals("units of use") & when(
        this.wear.equals("hours"), this.life_hours + 0, this.expected_uses + 0
    ).equals(0)
    rest = x.cases(
        (no_life | no_uses, "no life"),
        (this.taken_before > this.cost, "too much"),
        (
            (this.first_year < YEAR) & this.taken_before.equals(0),
            when(METHOD.equals("expensed") | SOLD, "", "nothing before"),
        ),
    )
    if not with_classes:
        return when(OF_THE_FORM, "no such method", rest)
    no_class = x.count("Tax tables", "value", x.where("table", "=", this.tax_class)).equals(0)
    no_rate = METHOD.equals("bonus") & BONUS_ROWS.equals(0)
    above = (
        METHOD.equals("expensed")
        & THIS_YEAR
        & (
            this.cost
            > x.total(
                "Tax tables",
                "value",
                x.where("table", "=", "safe harbour"),
                x.where("first", "<=", this.in_service),
                x.where("last", ">=", this.in_service),
            )
        )
    )
    against = (this.qualifying > 0) & this.used_convention.differs(CONVENTION_OF_YEAR)
    unsaid = IN_CLASS & (this.first_year < YEAR) & x.blank(this.convention)
    return x.cases(
        (IN_CLASS & no_class, "no class"),
        (no_rate, "no rate"),
        (above, "above harbour"),
        (against, "convention"),
        (unsaid, "no convention"),
        otherwise=rest,
    )
