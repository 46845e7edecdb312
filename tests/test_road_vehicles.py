"""A car or a van is listed property: nothing of it is written off whole, nor in a class.

Publication 463, chapter 4: at the standard mileage rate no depreciation and no section 179.
Publication 946, chapter 5: else the limits of listed property, which are not worked out here.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from notchbook.gathering.files_alone import load
from notchbook.sheets.kit.calculate import Filled

from .shops import GOOD, write_shop
from .worked import project, value, worked

DRIVE = {"date": date(2026, 5, 5), "purpose": "fair", "miles": 100.0, "ok": None}
FUEL = {"date": date(2026, 5, 5), "vendor": "pump", "what": "fuel", "category": "car"}
PARKING = FUEL | {"what": "parking", "category": "parking and tolls", "amount": 9.0}
TOOLS = "Tool depreciation"


def van(method: str, **more: Any) -> dict[str, Any]:
    row = {"tool": "van", "cost": 45_000, "salvage": 0, "taken_before": 0, "business_share": 1}
    row |= {"tax_method": method, "in_service": date(2026, 3, 3), "road_vehicle": "yes"}
    return row | more


def books(*tools: dict[str, Any], **rows: Any) -> Filled:
    sale = {"date": date(2026, 5, 5), "receipt": "1", "project": "thing", "tier": "stall"}
    sale |= {"kind": "sale", "quantity": 1, "price": 90_000}
    whole = {"Projects": [project()], "Sales ledger": [sale], TOOLS: [*tools]}
    return worked(whole | {"Mileage": [DRIVE]} | rows)


METHODS = (
    *("expensed", "section 179", "bonus", "macrs 3", "macrs 5", "macrs 7"),
    *("straight line", "declining balance"),
)


def test_nothing_of_a_vehicle_is_written_off_beside_mileage() -> None:
    vans = [van(each, tool=each, life_years=5, acquired=date(2026, 3, 1)) for each in METHODS]
    filled = books(*vans)

    assert filled.lines["Year-end", "depreciation"] == 0
    assert filled.lines["Year-end", "supplies"] == 0
    for n in range(len(METHODS)):
        assert [value(filled, TOOLS, f"year_{year}", n) for year in range(8)] == [0] * 8
        assert value(filled, TOOLS, "state", n) == "in the mileage rate"
    assert filled.lines["Year-end", "car"] == pytest.approx(72.5)


def test_without_mileage_it_is_named_and_not_worked_out() -> None:
    """Its limits, its logs and its gain are a preparer's."""
    sold = van("bonus", disposed=date(2026, 11, 1), disposed_for=40_000)

    for filled in (books(van("bonus"), Mileage=[]), books(sold)):
        assert filled.lines["Year-end", "depreciation"] == 0
        assert value(filled, TOOLS, "state") == "listed property"
        assert value(filled, TOOLS, "gain") == 0
        assert filled.lines["Checks", "tool_depreciation_rows"] == 1


def test_a_dear_tool_beside_drives_asks_whether_it_is_one() -> None:
    """Above the safe harbour for an item; a saw is answered with no, once."""
    unsaid = van("bonus", road_vehicle=None)
    saw, cheap = van("bonus", road_vehicle="no"), van("macrs 7", road_vehicle=None, cost=900)
    filled = books(unsaid, saw | {"tool": "saw"}, cheap | {"tool": "lathe"})
    by_fuel = books(unsaid, Mileage=[], Purchases=[FUEL | {"amount": 40.0}])
    without = books(unsaid, Mileage=[])

    assert [value(filled, TOOLS, "state", n) for n in range(3)] == ["road vehicle?", "", ""]
    assert value(by_fuel, TOOLS, "state") == "road vehicle?"
    assert value(without, TOOLS, "state") == ""


def test_parking_beside_mileage_is_no_double_cost() -> None:
    """Instructions for Schedule C, line 9: parking and tolls beside the standard rate."""
    filled = books(van("bonus"), Purchases=[PARKING])

    assert filled.lines["Checks", "car_twice_state"] == "OK"
    assert filled.lines["Year-end", "car"] == pytest.approx(72.5 + 9)
    both = books(van("bonus"), Purchases=[FUEL | {"amount": 40.0}])
    assert both.lines["Checks", "car_twice_state"] == "look"


def test_a_vehicle_is_told_at_its_line(tmp_path: Path) -> None:
    van = "  - {tool: van, cost: 45000, in_service: 2026-03-03, wear: hours, life_hours: 9,"
    van += " tax_method: bonus, road_vehicle: %s}\n"

    def told(answer: str, drives: bool) -> tuple[list[str], list[str]]:
        shop = tmp_path / f"{answer}{drives}"
        ledgers = {} if drives else {"ledgers/mileage.csv": None}
        tools = {"tools.yaml": GOOD["tools.yaml"] + van % answer}
        found = load(write_shop(shop, **tools, **ledgers), date(2026, 6, 1))
        look, notices = (
            [e for e in its if "tools.yaml" in e] for its in (found.look, found.notices)
        )
        return look, notices

    look, _ = told("yes", False)
    assert len(look) == 1 and "listed property; what is written off of a car" in look[0]
    look, notices = told("yes", True)
    assert look == [] and "in the mileage rate; nothing of it is written off" in notices[0]
    assert told("no", True) == ([], [])
