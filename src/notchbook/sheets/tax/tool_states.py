"""What is missing or wrong in the row of a tool."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit.faults import Fault, fault, lacks, look, names_header, twice
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

_BY_HOURS = this.wear.equals("hours")
_NO_USES = METHOD.equals("units of use") & (
    (_BY_HOURS & x.blank(this.life_hours)) | (~_BY_HOURS & x.blank(this.expected_uses))
)
_AFTER = "write a day after it"
_OF_ALL = (
    names_header("tool"),
    twice("Tool depreciation", "tool"),
    lacks("expected_uses", this.wear.equals("per use"), "no uses", "write how often it serves"),
    lacks("life_hours", this.wear.equals("hours"), "no hours", "write how long it runs"),
    *(
        fault("more than it cost", this(amount) > this.cost, "write at most the cost")
        for amount in ("salvage", "taken_before", "elected_179")
    ),
    fault("in service before it was acquired", this.in_service < this.acquired, _AFTER),
    fault("disposed before it was in service", this.disposed < this.in_service, _AFTER),
    fault(
        "not under section 179",
        ~x.blank(this.elected_179) & METHOD.differs("section 179"),
        "leave it out, or write that tax method",
    ),
    lacks("disposed", ~x.blank(this.disposed_for), "no day", "write when it was sold"),
    look("no life", _NO_USES, "write the uses or hours that it lasts", "wear"),
    look("no life", BY_LIFE & x.blank(this.life_years), "write its years", "life_years"),
)


def faults(with_classes: bool) -> tuple[Fault, ...]:
    """What may be wrong with a tool, the gravest first."""
    if not with_classes:
        return (*_OF_ALL, look("no such method", OF_THE_FORM, "write one that the list holds"))
    no_class = x.count("Tax tables", "value", x.where("table", "=", this.tax_class)).equals(0)
    return (
        *_OF_ALL,
        look(
            "no class",
            IN_CLASS & no_class,
            "a tax class lasts 3, 5 or 7 years; write one of these, or another method",
            "life_years",
        ),
        look(
            "no rate",
            METHOD.equals("bonus") & BONUS_ROWS.equals(0),
            "Tax tables hold no bonus for its days; write another method",
            "tax_method",
        ),
        look(
            "convention",
            (this.qualifying > 0) & this.used_convention.differs(CONVENTION_OF_YEAR),
            "the year's test says another; write that one",
            "convention",
        ),
    )


def otherwise(with_classes: bool) -> x.Expression:
    """What else is worth knowing of a tool."""
    earlier = (this.first_year < YEAR) & this.taken_before.equals(0)
    rest = when(earlier & ~(METHOD.equals("expensed") | SOLD), "nothing before", "")
    if not with_classes:
        return rest
    harbour = x.total(
        "Tax tables",
        "value",
        x.where("table", "=", "safe harbour"),
        x.where("first", "<=", this.in_service),
        x.where("last", ">=", this.in_service),
    )
    return x.cases(
        (
            METHOD.equals("expensed") & THIS_YEAR & (harbour > 0) & (this.cost > harbour),
            "above harbour",
        ),
        (IN_CLASS & (this.first_year < YEAR) & x.blank(this.convention), "no convention"),
        otherwise=rest,
    )
