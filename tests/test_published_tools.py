"""Depreciation against published examples, in pandas and through the workbook's own formulas."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from datetime import date
from fractions import Fraction
from importlib.resources import files
from typing import Any

import pytest
from pytest import approx

from .engine_cases import Example, Examples, Place, by_pandas

PUB_946 = "IRS Publication 946"
OPENSTAX = "OpenStax, Principles of Accounting 1, chapter 11.3 to 11.6"
BY_HAND = "worked by hand from the rule"


def tool(cost: float, method: str, in_service: date, **more: Any) -> dict[str, Any]:
    row = {"tool": "a tool", "cost": cost, "tax_method": method, "in_service": in_service}
    return row | {"salvage": 0, "taken_before": 0, "business_share": 1} | more


def at(column: str, *values: float) -> dict[Place, float | str]:
    """A column of Tool depreciation, row by row."""
    return {("Tool depreciation", column, row): value for row, value in enumerate(values)}


def schedule(*amounts: float, row: int = 0) -> dict[Place, float | str]:
    """The years of one tool."""
    return {("Tool depreciation", f"year_{n}", row): each for n, each in enumerate(amounts)}


def year(name: str, amount: float | str) -> dict[Place, float | str]:
    return {("Year-end", name): amount}


def example(
    source: str, *tools: dict[str, Any], expected: dict[Place, float | str], **more: Any
) -> Example:
    within = more.pop("within", 0.005)
    named = [{**each, "tool": f"tool {n}"} for n, each in enumerate(tools, 1)]
    rows = {"Tool depreciation": named} | more.pop("rows", {})
    return Example(source, rows, expected, within, more)


# Publication 946: machine in January, furniture in September, computer in October
_MACHINE = tool(4_000, "macrs 7", date(2026, 1, 15))
_FURNITURE = tool(1_000, "macrs 7", date(2026, 9, 8))
_COMPUTER = tool(5_000, "macrs 5", date(2026, 10, 20))
_THREE = (_MACHINE, _FURNITURE, _COMPUTER)
_KEPT = {"convention": "mid-quarter"}

_PRESS: dict[str, Any] = {"salvage": 10_000, "life_years": 5}
_PAGES: dict[str, Any] = {"salvage": 10_000, "wear": "per use", "expected_uses": 960_000}
_CPA: dict[str, Any] = {"life_years": 7, "convention": "half-year"}
_USES = (180_000, 200_000, 210_000, 190_000, 180_000)


Entry = tuple[str, dict[str, Any], Mapping[str, float | str], float]


def years(*amounts: float) -> dict[str, float]:
    return {f"year_{n}": each for n, each in enumerate(amounts)}


def _tables() -> list[dict[str, str]]:
    text = files("notchbook.tax").joinpath("us", "macrs.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def _by_the_tables() -> Iterator[Entry]:
    """10,000 in every class and convention: each year's percentage as printed, no other."""
    for row in _tables():
        convention, _, quarter = row["key"].partition(" ")
        day = date(2026, 3 * int(quarter or 2) - 1, 5)
        percents = [float(row[str(n)]) for n in range(1, 9) if row[str(n)]]
        yield (
            f"{PUB_946}, tables A-1 to A-5: {row['table']}, {row['key']}",
            tool(10_000, row["table"], day, convention=convention),
            years(*(100 * each for each in percents)),
            0,
        )


# tools that do not touch one another: source, tool, what its row shows, pieces made with it
APART: tuple[Entry, ...] = (
    (
        "a thread on the CPA examination: 31,240 / 3.5 = 8,926 for three years, then 4,463",
        tool(100_000, "declining balance", date(2022, 7, 1), **_CPA, taken_before=68_760),
        years(8_925.71, 8_925.72, 8_925.71, 4_462.86),
        0,
    ),
    (
        "a thread on the CPA examination: 14,290, then 24,489",
        tool(100_000, "declining balance", date(2025, 7, 1), **_CPA, taken_before=14_290),
        years(24_488.57),
        0,
    ),
    (
        f"{OPENSTAX}: the press",
        tool(58_000, "straight line", date(2026, 1, 2), **_PRESS),
        years(*[9_600] * 5, 0),
        0,
    ),
    (
        f"{OPENSTAX}: the press bought at the start of month 4",
        tool(58_000, "straight line", date(2026, 4, 1), **_PRESS),
        years(7_200, *[9_600] * 4, 2_400, 0),
        0,
    ),
    (
        f"{OPENSTAX}: the press at 40 %, never below its salvage",
        tool(58_000, "declining balance", date(2026, 1, 2), **_PRESS),
        years(23_200, 13_920, 8_352, 2_528, 0) | {"book_value": 34_800},
        0,
    ),
    (
        f"{OPENSTAX}: the machine, 4,000, then 2,400",
        tool(10_000, "declining balance", date(2026, 1, 2), salvage=1_000, life_years=5),
        years(4_000, 2_400),
        0,
    ),
    (
        f"{OPENSTAX}: the machine, 1,800 a year",
        tool(10_000, "straight line", date(2026, 1, 2), salvage=1_000, life_years=5),
        years(*[1_800] * 5),
        0,
    ),
    (
        f"{OPENSTAX}, exercise: the truck, (15,000 - 3,000) / 8",
        tool(15_000, "straight line", date(2026, 1, 2), salvage=3_000, life_years=8),
        years(*[1_500] * 8),
        0,
    ),
    (
        f"{OPENSTAX}: a drill press costs 22,000 + 2,500 tax + 800 delivery",
        tool(22_000 + 2_500 + 800, "straight line", date(2026, 1, 2), life_years=5),
        {"written": 25_300},
        0,
    ),
    *(
        (
            f"{OPENSTAX}: the press, {uses:,} pages at 0.05",
            tool(58_000, "units of use", date(2026 - (n > 0), 1, 2), **_PAGES)
            | {"taken_before": sum(_USES[:n]) * 0.05},
            years(uses * 0.05),
            uses,
        )
        for n, uses in enumerate(_USES)
    ),
    *(
        (
            f"{OPENSTAX}, {what}",
            tool(cost, "units of use", date(2026, 1, 2), salvage=salvage)
            | {"wear": "per use", "expected_uses": life},
            years(expense),
            uses,
        )
        for what, cost, salvage, life, uses, expense in (
            ("the machine, year 1", 10_000, 1_000, 100_000, 20_000, 1_800),
            ("the machine, year 2", 10_000, 1_000, 100_000, 30_000, 2_700),
            ("exercise: miles", 15_000, 3_000, 120_000, 23_000, 2_300),
            ("exercise: miles of year 1", 25_000, 6_000, 125_000, 26_000, 3_952),
            ("exercise: miles of year 2", 25_000, 6_000, 125_000, 30_000, 4_560),
            ("exercise: miles of year 3", 25_000, 6_000, 125_000, 40_000, 6_080),
        )
    ),
    *(
        (
            f"{OPENSTAX}: sold after three years at a book value of 29,200",
            tool(58_000, "straight line", date(2024, 1, 2), **_PRESS, taken_before=19_200)
            | {"disposed": date(2026, 12, 31), "disposed_for": brought},
            years(9_600, 0) | {"gain": gain, "taken": 28_800},
            0,
        )
        for brought, gain in ((31_000, 1_800), (27_100, -2_100), (29_200, 0))
    ),
    *_by_the_tables(),
    *(
        (
            "J. K. Lasser, Your Income Tax 2013, 43.7: half the year's 17.49 % of the half-year"
            " table, 12.5, 37.5, 62.5 or 87.5 % of the 15.31 % of mid-quarter 1",
            tool(100_000, "macrs 7", date(2024, 2, 2), taken_before=before, convention=convention)
            | {"disposed": sold, "disposed_for": 0},
            years(full * share, 0) | {"sale_share": share},
            0,
        )
        for convention, before, full, sold, share in (
            ("half-year", 38_780, 17_490, date(2026, 2, 2), 0.5),
            ("mid-quarter", 46_430, 15_310, date(2026, 3, 31), 0.125),
            ("mid-quarter", 46_430, 15_310, date(2026, 4, 1), 0.375),
            ("mid-quarter", 46_430, 15_310, date(2026, 9, 30), 0.625),
            ("mid-quarter", 46_430, 15_310, date(2026, 12, 31), 0.875),
        )
    ),
    *(
        (
            f"{PUB_946}, table A-8 in short: straight line with the half-year convention",
            tool(
                10_000, "straight line", date(2026, 8, 8), life_years=life, convention="half-year"
            ),
            years(*parts),
            0,
        )
        for life, parts in (
            (3, (1_666.67, 3_333.33, 3_333.33, 1_666.67)),
            (5, (1_000, *[2_000] * 4, 1_000)),
            (7, (714.29, *[1_428.57] * 6, 714.29)),
        )
    ),
    *(
        (
            "Reg. 1.263(a)-1(f) and Notice 2015-82: 2,500 an item may be expensed, more not",
            tool(cost, "expensed", date(2026, 5, 5)),
            {"state": state},
            0,
        )
        for cost, state in ((2_500, ""), (2_500.01, "over the limit"))
    ),
)


def _apart() -> Example:
    """All of them in one workbook; each has a project of its own that uses it."""
    names = [f"tool {n}" for n in range(len(APART))]
    made = {name: entry[3] for name, entry in zip(names, APART, strict=True) if entry[3]}
    day = date(2026, 6, 1)
    return Example(
        OPENSTAX,
        {
            "Tool depreciation": [
                entry[1] | {"tool": name} for name, entry in zip(names, APART, strict=True)
            ],
            "Projects": [
                {"project": f"by {name}", "batch": 1, "spoilage": 0, "most_units": 24}
                for name in made
            ],
            "Consumables": [
                {"project": f"by {name}", "tool": name, "basis": "use", "amount": 1}
                for name in made
            ],
            "Production log": [
                {"date": day, "project": f"by {name}", "made": pieces, "spoiled": 0}
                for name, pieces in made.items()
            ],
        },
        {
            ("Tool depreciation", column, row): amount
            for row, entry in enumerate(APART)
            for column, amount in entry[2].items()
        },
    )


EXAMPLES = Examples(
    {
        "mid-quarter, first year": example(
            f"{PUB_946}: 50 % in the last quarter is over 40 %; 1,000 + 107 + 250 = 1,357",
            *_THREE,
            expected=at("year_0", 1_000, 107.10, 250)
            | year("convention_of_year", "mid-quarter")
            | year("last_quarter", 0.5)
            | year("depreciation", 1_357.10),
        ),
        "mid-quarter, second year": example(
            f"{PUB_946}: 857 + 255 + 1,900 = 3,012; the convention is kept",
            _MACHINE | _KEPT | {"in_service": date(2025, 1, 15), "taken_before": 1_000},
            _FURNITURE | _KEPT | {"in_service": date(2025, 9, 8), "taken_before": 107.10},
            _COMPUTER | _KEPT | {"in_service": date(2025, 10, 20), "taken_before": 250},
            expected=at("year_0", 857.20, 255.10, 1_900) | year("depreciation", 3_012.30),
        ),
        "two pieces in the second half": example(
            "J. K. Lasser, Your Income Tax 2013, 42.7: 107 and 250, together 357",
            _FURNITURE | {"in_service": date(2026, 8, 10)},
            _COMPUTER,
            expected=at("year_0", 107.10, 250) | year("depreciation", 357.10),
        ),
        "half-year, seven years": example(
            f"{PUB_946}, table A-1 times 10,000 (example of office furniture, from memory)",
            tool(10_000, "macrs 7", date(2026, 8, 3)),
            expected=schedule(1_429, 2_449, 1_749, 1_249, 893, 892, 893, 446)
            | year("convention_of_year", "half-year"),
        ),
        "section 179 with phase-out": example(
            f"{PUB_946} for 2023 as quoted: 2,940,000 is 50,000 over; the limit is 1,110,000",
            tool(2_940_000, "section 179", date(2023, 5, 5)),
            expected=year("limit_179", 1_110_000) | at("section_179", 1_110_000),
            year=2023,
        ),
        "section 179 of cash paid": example(
            f"{PUB_946} (2008): ovens 520 and a van 4,200 in cash qualify with 4,720",
            tool(520, "section 179", date(2026, 5, 5)),
            tool(4_200, "section 179", date(2026, 6, 6)),
            expected=year("elected_179", 4_720),
        ),
        "tools that do not touch one another": _apart(),
        "section 179 for a part of the cost": example(
            f"{PUB_946} (from memory): cost 39,000, section 179 24,000, fourth quarter: 536",
            tool(39_000, "section 179", date(2026, 11, 5), elected_179=24_000),
            expected=at("basis", 15_000)
            | at("year_0", 24_000 + 535.50)
            | year("class_depreciation", 535.50),
            other_earned=1e6,
        ),
    }
)

_BY_YEAR = {
    # rates where acquired by 19 January 2025, and after; section 179: the limit, phase-out from
    2023: (0.8, None, 1_160_000, 2_890_000),
    2024: (0.6, None, 1_220_000, 3_050_000),
    2025: (0.4, 1.0, 2_500_000, 4_000_000),
    2026: (0.2, 1.0, 2_560_000, 4_090_000),
}
for _year, (_before, _after, _limit, _from) in _BY_YEAR.items():
    _days = [(date(2023, 1, 5), _before)]
    _days += [] if _after is None else [(date(2025, 1, 20), _after)]
    EXAMPLES[f"bonus and limit {_year}"] = example(
        "IR-2026-06, 2023 instructions to Schedule C, CPA firms' notes (2026: from memory); section"
        " 179: 1,000 above where the phase-out begins",
        *(tool(1_000, "bonus", date(_year, 6, 6), acquired=day) for day, _ in _days),
        tool(_from - 1_000 * len(_days), "section 179", date(_year, 6, 6)),
        tool(1_000, "macrs 5", date(_year, 6, 6)),
        expected=at("bonus", *(1_000 * rate for _, rate in _days))
        | year("limit_179", _limit - 1_000),
        year=_year,
    )


@pytest.mark.parametrize("name", EXAMPLES)
def test_published_in_pandas(name: str) -> None:
    """pandas finds what the publication prints."""
    one = EXAMPLES[name]

    assert by_pandas(one) == _about(one), one.source


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.deep
def test_published_in_the_workbook(name: str) -> None:
    """LibreOffice finds it from the formulas alone."""
    one = EXAMPLES[name]

    assert EXAMPLES.by_libreoffice(name) == _about(one), one.source


def _about(one: Example) -> dict[Place, Any]:
    return {
        place: value if isinstance(value, str) else approx(value, abs=one.within)
        for place, value in one.expected.items()
    }


# --- the tables themselves ---------------------------------------------------------------------


_FIRST = {"half-year": Fraction(1, 2)}
_FIRST |= {f"mid-quarter {q}": Fraction(9 - 2 * q, 8) for q in range(1, 5)}


@pytest.mark.parametrize("row", _tables(), ids=lambda row: f"{row['table']} {row['key']}")
def test_percentages_make_a_hundred_and_follow_from_the_law(row: dict[str, str]) -> None:
    """Each column sums to 100, and each year is within 0.01 of the derivation in fractions.

    200 % declining balance that switches to straight line: 26 USC 168(b)(1).
    """
    percents = [Fraction(row[str(n)]) for n in range(1, 9) if row[str(n)]]
    years = int(row["table"].removeprefix("macrs "))
    derived = _derived(years, _FIRST[row["key"]])

    assert sum(percents) == 100
    assert len(percents) == len(derived)
    assert all(
        abs(printed - exact) <= Fraction(1, 100)
        for printed, exact in zip(percents, derived, strict=True)
    )


def _derived(years: int, first: Fraction) -> list[Fraction]:
    """Percentages as differences of the cumulative total rounded to 0.01."""
    open_, left, part = Fraction(1), Fraction(years), first
    total, found, told = Fraction(0), [], Fraction(0)
    while open_ > 0:
        rate = max(Fraction(2, years) * open_, open_ / left)
        taken = min(open_, rate * part)
        total, open_, left = total + taken, open_ - taken, left - part
        rounded = Fraction(int(total * 10_000 + Fraction(1, 2)), 100)
        found.append(rounded - told)
        told, part = rounded, min(Fraction(1), left) if left else Fraction(1)
    return found
