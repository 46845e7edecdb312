"""What is missing or wrong in the row of a tool."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit.faults import Fault, Strength, fault, lacks, look, names_header, twice
from notchbook.sheets.kit.settings import in_year
from notchbook.sheets.tax.tool_basis import (
    BONUS_ROWS,
    BY_LIFE,
    CONVENTION_OF_YEAR,
    IN_CLASS,
    METHOD,
    ROAD_VEHICLE,
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
        for amount in ("salvage", "taken_before")
    ),
    fault("disposed before it was in service", this.disposed < this.in_service, _AFTER),
    lacks("disposed", ~x.blank(this.disposed_for), "no day", "write when it was sold"),
    look("no life", _NO_USES, "write the uses or hours that it lasts", "wear"),
    look("no life", BY_LIFE & x.blank(this.life_years), "write its years", "life_years"),
)
_DRIVES = x.total("Mileage", "miles", *in_year())
_CAR_SLIPS = x.total("Purchases", "amount", x.where("category", "=", "car"), *in_year())
_IN_THE_RATE = (_DRIVES > 0) & this.last_year.differs(YEAR)
_HARBOUR = x.total(
    "Tax tables",
    "value",
    x.where("table", "=", "safe harbor"),
    x.where("first", "<=", this.in_service),
    x.where("last", ">=", this.in_service),
)
_NO_CLASS = x.count("Tax tables", "value", x.where("table", "=", this.tax_class)).equals(0)
_VEHICLES = (
    fault(
        "in the mileage rate",
        ROAD_VEHICLE & _IN_THE_RATE,
        "nothing of it is written off, as the standard rate of Mileage holds its wear"
        " (Publication 463, chapter 4)",
        "road_vehicle",
        Strength.NOTICE,
    ),
    look(
        "listed property",
        ROAD_VEHICLE & x.call("NOT", _IN_THE_RATE),
        "what is written off of a car or van, and its gain, has rules of its own and is not worked"
        " out here: ask a preparer (Publication 946, chapter 5; Form 4562, Part V)",
        "road_vehicle",
    ),
    look(
        "road vehicle?",
        x.blank(this.road_vehicle)
        & ((_DRIVES > 0) | (_CAR_SLIPS > 0))
        & (_HARBOUR > 0)
        & (this.cost > _HARBOUR),
        "write yes or no: beside the standard mileage rate nothing of a car is written off"
        " (Publication 463, chapter 4)",
        "road_vehicle",
    ),
)
_OF_THE_FORM = (
    fault("more than it cost", this.elected_179 > this.cost, "write at most the cost"),
    fault("in service before it was acquired", this.in_service < this.acquired, _AFTER),
    fault(
        "not under section 179",
        ~x.blank(this.elected_179) & METHOD.differs("section 179"),
        "leave it out, or write that tax method",
    ),
    *_VEHICLES,
    look(
        "no class of the form",
        BY_LIFE & THIS_YEAR & this.road_vehicle.differs("yes"),
        "the form writes a new tool off by its class, so line 13 is without it (Publication 946,"
        " chapter 4); write macrs 3, macrs 5 or macrs 7 here, or section 179, bonus or expensed as"
        " its tax method",
        "class_for_form",
    ),
    look(
        "no class",
        IN_CLASS & _NO_CLASS,
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


def faults(with_classes: bool) -> tuple[Fault, ...]:
    """What may be wrong with a tool, the gravest first."""
    return (*_OF_ALL, *_OF_THE_FORM) if with_classes else _OF_ALL


def otherwise(with_classes: bool) -> x.Expression:
    """What else is worth knowing of a tool."""
    earlier = (this.first_year < YEAR) & this.taken_before.equals(0)
    rest = when(earlier & ~(METHOD.equals("expensed") | SOLD), "nothing before", "")
    if not with_classes:
        return rest
    return x.cases(
        (
            METHOD.equals("expensed") & THIS_YEAR & (_HARBOUR > 0) & (this.cost > _HARBOUR),
            "over the limit",
        ),
        (IN_CLASS & (this.first_year < YEAR) & x.blank(this.convention), "no convention"),
        otherwise=rest,
    )
