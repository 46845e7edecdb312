"""Tools as the maker states them: what they cost, how they wear, how the books get them.

A country without a form knows no classes, no section 179 and no bonus, so its rows are others.
"""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row
from notchbook.sheets.kit.values import Day, Money, Name, Portion, Positive
from notchbook.sheets.kit.written import Written


class ToolRow(Row):
    """A tool, what it cost and how it wears."""

    key = ("tool",)
    written = (
        Written("tools.yaml", "tools", "tool", "tools that wear or are written off", needed=True),
    )
    tool: Annotated[Name, Given("the tool", example="branding iron")]
    cost: Annotated[Money, Given("with tax, delivery and setting up", example="48.00")]
    in_service: Annotated[Day, Given("the day it was ready for work", example="2026-02-10")]
    business_share: Annotated[
        Portion,
        Given(
            "the share of its use that is for the business; a change counts from this year on",
            example="80%",
        ),
    ] = 1.0
    salvage: Annotated[Money, Given("what it will sell for in the end", example="50.00")] = 0.0
    life_years: Annotated[
        Positive | None,
        Given(
            "for straight line and declining balance",
            header="life (years)",
            blank="the class",
            example="7",
        ),
    ] = None
    wear: Annotated[
        Literal["per use", "hours"] | None, Given("how its wear is counted in prices", needed=True)
    ] = None
    expected_uses: Annotated[
        Positive | None, Given("how many uses it lasts", look=show.COUNT, example="400")
    ] = None
    life_hours: Annotated[
        Positive | None,
        Given("how many hours it lasts", header="life (hours)", look=show.COUNT, example="2000"),
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
        Given("how its cost is written off for tax"),
    ]
    taken_before: Annotated[
        Money, Given("depreciation of past years, as filed", example="91.46")
    ] = 0.0
    convention: Annotated[
        Literal["months", "half-year", "mid-quarter"] | None,
        Given("how its first year counted; keep it once that year is closed"),
    ] = None
    disposed: Annotated[
        Day | None,
        Given(
            "the day it was sold or lost; with the convention months, its month counts only if"
            " that is its last day",
            example="2026-11-20",
        ),
    ] = None
    disposed_for: Annotated[Money | None, Given("what it brought", example="300.00")] = None


class FormToolRow(ToolRow):
    """A tool as the American form asks for it."""

    acquired: Annotated[
        Day | None,
        Given(
            "the day it was ordered; decides the bonus", blank="in service", example="2026-02-01"
        ),
    ] = None
    elected_179: Annotated[
        Money | None,
        Given(
            "only with that method: a part of its cost for the business",
            header="section 179 elected",
            blank="all of it",
            example="400.00",
        ),
    ] = None
    class_for_form: Annotated[
        Literal["macrs 3", "macrs 5", "macrs 7"] | None,
        Given(
            "what the form takes in place of straight line or declining balance, which it does"
            " not know for a new tool",
            blank="the tax method",
        ),
    ] = None
    road_vehicle: Annotated[
        Literal["yes", "no"] | None,
        Given(
            "a car, van or truck for the road: nothing of it is written off here, as its limits"
            " are those of listed property"
        ),
    ] = None


class PlainToolRow(ToolRow):
    """A tool in books without a form."""

    tax_method: Annotated[
        Literal["straight line", "declining balance", "units of use", "expensed"],
        Given("how the books write it off", header="method"),
    ]
    taken_before: Annotated[Money, Given("written off in past years", example="91.46")] = 0.0
    convention: Annotated[
        Literal["months", "half-year"] | None,
        Given("how its first year counts", blank="months"),
    ] = None
