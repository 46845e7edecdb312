"""Tools as the maker states them: what they cost, how they wear, how the tax form gets them."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.sheets.kit import show
from notchbook.sheets.kit.declare import Given, Row
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

    key = ("tool",)
    tool: Annotated[Name, Given("the tool")]
    cost: Annotated[Money, Given("with tax, delivery and setting up")]
    acquired: Annotated[
        Day | None, Given("the day it was ordered; decides the bonus; blank: in service")
    ] = None
    in_service: Annotated[Day, Given("the day it was ready for work")]
    business_share: Annotated[Portion, Given("of its use; a change acts from this year on")] = 1.0
    salvage: Annotated[Money, Given("what it brings in the end")] = 0.0
    life_years: Annotated[
        Positive | None,
        Given("for straight line and declining balance; else the class", header="life (years)"),
    ] = None
    wear: Annotated[
        Literal["per use", "hours"] | None, Given("how its wear is counted in prices")
    ] = None
    expected_uses: Annotated[
        Positive | None, Given("how often it serves in its life", look=show.COUNT)
    ] = None
    life_hours: Annotated[
        Positive | None,
        Given("how long it runs in its life", header="life (hours)", look=show.COUNT),
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
        Given("how the tax form gets its cost"),
    ]
    taken_before: Annotated[Money, Given("depreciation of past years, as filed")] = 0.0
    elected_179: Annotated[
        Money | None,
        Given(
            "only with that method: a part of its cost for the business; blank: all of it",
            header="section 179 elected",
        ),
    ] = None
    convention: Annotated[
        Literal["months", "half-year", "mid-quarter"] | None,
        Given("how its first year counted; keep it once that year is closed"),
    ] = None
    disposed: Annotated[Day | None, Given("the day it was sold or lost")] = None
    disposed_for: Annotated[Money | None, Given("what it brought")] = None
