"""Tools as the maker states them: what they cost, how they wear, how the tax form gets them."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from notchbook.sheets.kit.declare import AMOUNT, COUNT, DATE, MONEY, NAME, PERCENT, WORD, Given, Row
from notchbook.sheets.kit.values import Day, Money, Name, Portion, Positive

METHODS = (
    "expensed",
    "section 179",
    "bonus",
    "macrs 3",
    "macrs 5",
    "macrs 7",
    "straight line",
    "declining balance",
    "units of use",
)
METHODS_WITHOUT_FORM = ("straight line", "declining balance", "units of use", "expensed")
CONVENTIONS = ("months", "half-year", "mid-quarter")


class ToolRow(Row):
    """A tool, what it cost and how it wears."""

    key: ClassVar[tuple[str, ...]] = ("tool",)
    tool: Annotated[Name, Given("tool", NAME, "the tool")]
    cost: Annotated[Money, Given("cost", MONEY, "with tax, delivery and setting up")]
    acquired: Annotated[
        Day | None,
        Given("acquired", DATE, "the day it was ordered; decides the bonus; blank: in service"),
    ] = None
    in_service: Annotated[Day, Given("in service", DATE, "the day it was ready for work")]
    business_share: Annotated[
        Portion,
        Given("business share", PERCENT, "of its use; a change acts from this year on"),
    ] = 1.0
    salvage: Annotated[Money, Given("salvage", MONEY, "what it brings in the end")] = 0.0
    life_years: Annotated[
        Positive | None,
        Given("life (years)", AMOUNT, "for straight line and declining balance; else the class"),
    ] = None
    wear: Annotated[
        Literal["per use", "hours"] | None,
        Given("wear", WORD, "how its wear is counted in prices", ("per use", "hours"), strict=True),
    ] = None
    expected_uses: Annotated[
        Positive | None, Given("expected uses", COUNT, "how often it serves in its life")
    ] = None
    life_hours: Annotated[
        Positive | None, Given("life (hours)", COUNT, "how long it runs in its life")
    ] = None
    tax_method: Annotated[
        Literal[
            "expensed",
            "section 179",
            "bonus",
            "macrs 3",
            "macrs 5",
            "macrs 7",
            "straight line",
            "declining balance",
            "units of use",
        ],
        Given("tax method", WORD, "how the tax form gets its cost", METHODS, strict=True),
    ]
    taken_before: Annotated[
        Money, Given("taken before", MONEY, "depreciation of past years, as filed")
    ] = 0.0
    elected_179: Annotated[
        Money | None,
        Given(
            "section 179 elected",
            MONEY,
            "only with that method: a part of its cost for the business; blank: all of it",
        ),
    ] = None
    convention: Annotated[
        Literal["months", "half-year", "mid-quarter"] | None,
        Given(
            "convention",
            WORD,
            "how its first year counted; keep it once that year is closed",
            CONVENTIONS,
            strict=True,
        ),
    ] = None
    disposed: Annotated[Day | None, Given("disposed", DATE, "the day it was sold or lost")] = None
    disposed_for: Annotated[Money | None, Given("disposed for", MONEY, "what it brought")] = None
