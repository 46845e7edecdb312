"""Plans and shops as plain data, their lengths put on the shop's grid."""

from collections.abc import Callable, Mapping
from fractions import Fraction
from math import isfinite, lcm, ulp
from typing import Any

from .geometry import Box

Data = Mapping[str, Any]
Key = tuple[str, str]  # project and part

SIDES = ("thickness", "width", "length")
LENGTHS = {*SIDES, "at", "usable_offcut", "usable_width", "usable_thickness"}
SAW = {"kerf", "squaring", "end_trim", "shortest_rip", "deepest_cut", "longest_rip", "sheet_trim"}
SLACK = 4  # units in the last place that arithmetic with floats may have lost


def exact(value: Any) -> Fraction:
    """The number that a definition states, whether as text, a fraction or a decimal."""
    return Fraction(str(value))


def grid_of(shop: Data) -> int:
    """Steps to the unit, so that every length of the definitions is a whole number of steps."""
    lengths = [sized[side] for sized in (*shop["parts"], *shop["boards"]) for side in SIDES]
    lengths += [value for value in shop["saw"].values() if value is not None]
    lengths += [shop[key] for key in shop if key.startswith("usable_")]
    return lcm(*(exact(length).denominator for length in lengths))


def shop_in_steps(shop: Data, grid: int) -> Any:
    """The shop with all its lengths in steps of the grid."""
    return _converted(shop, LENGTHS | SAW, lambda value: int(exact(value) * grid))


def plan_in_steps(plan: Data, grid: int, found: list[str]) -> Any:
    """The plan with all its lengths in steps; what lies off the grid is added to `found`."""
    return _converted(plan, LENGTHS, lambda value: _steps(value, grid, found))


def _converted(value: Any, lengths: set[str], convert: Callable[[Any], int], key: str = "") -> Any:
    if isinstance(value, Mapping):
        return {name: _converted(each, lengths, convert, name) for name, each in value.items()}
    if isinstance(value, list | tuple):
        return [_converted(each, lengths, convert, key) for each in value]
    return value if value is None or key not in lengths else convert(value)


def _steps(value: float, grid: int, found: list[str]) -> int:
    """The nearest step, which must be as near as floats can tell."""
    if not isfinite(value):
        found.append(f"{value} is no length")
        return 0
    steps = round(Fraction(value) * grid)
    if not near(value, Fraction(steps, grid)):
        found.append(f"{value} is no whole number of steps of 1/{grid}")
    return steps


def near(value: float, meant: Fraction) -> bool:
    """Whether a JSON number is the fraction meant, as far as floats can tell."""
    return abs(Fraction(value) - meant) <= SLACK * Fraction(ulp(value))


def key_of(piece: Data, plan: Data) -> Key:
    """Project and part of a piece; pieces name their project only where there are several."""
    return (piece["project"] if plan["project"] is None else plan["project"], piece["part"])


def cuts_of(plan: Data) -> list[Any]:
    """All boards and sheets that are cut."""
    return [*plan["boards"], *plan["panels"]]


def pieces_of(cut: Data) -> list[Any]:
    """The pieces of one board or sheet."""
    if "pieces" in cut:
        return list(cut["pieces"])
    return [p for blank in cut["blanks"] for strip in blank["strips"] for p in strip["pieces"]]


def strip_box(strip: Data) -> Box:
    """Where a strip lies in the board's section: across its width, up through its thickness."""
    (x, y), width, thickness = strip["at"], strip["width"], strip["thickness"]
    across, up = (thickness, width) if strip["turned"] else (width, thickness)
    return (x, y, x + across, y + up)


def piece_box(piece: Data) -> Box:
    """Where a piece lies on a sheet: along its length, across its width."""
    x, y = piece["at"]
    return (x, y, x + piece["length"], y + piece["width"])


def ripped_region(board: Data, saw: Data) -> Box:
    """The section that squaring leaves for strips."""
    return (saw["squaring"], 0, board["width"] - saw["squaring"], board["thickness"])


def sheet_region(board: Data, saw: Data) -> Box:
    """What is left of a sheet within its factory edges."""
    trim = saw.get("sheet_trim", 0)
    return (trim, trim, board["length"] - trim, board["width"] - trim)


def is_whole_section(blank: Data, board: Data) -> bool:
    """Whether a blank is one strip of the section as bought, so that it is not ripped."""
    return [strip_box(s) for s in blank["strips"]] == [(0, 0, board["width"], board["thickness"])]
