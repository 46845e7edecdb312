"""The fixed conversions that formulas may carry, and the unit words that headers use."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from notchbook.measure.lengths import Units

CONVERSIONS: Mapping[str, Mapping[Units, int]] = {
    # 12 x 12 in a square foot; 1000 x 1000 mm a square metre; both by definition
    "area": {"inch": 144, "mm": 1_000_000},
    # a board foot is 1 ft x 1 ft x 1 in = 144 cubic inches (US Navy, Engineering Aid Basic,
    # lumber measurement; American Hardwood Export Council, measurement); 1000^3 mm a cubic metre
    "board": {"inch": 144, "mm": 1_000_000_000},
    # 12 in a foot (exact, international yard of 1959: 0.3048 m a foot); 1000 mm a metre
    "run": {"inch": 12, "mm": 1000},
    # 60 minutes an hour; 7 days a week, 12 months a year and 3 a quarter: the calendar, the same in
    # every shop
    "hour": {"inch": 60, "mm": 60},
    "week": {"inch": 7, "mm": 7},
    "year": {"inch": 12, "mm": 12},
    "quarter": {"inch": 3, "mm": 3},
    # a whole in hundredths, as sentences say a share
    "percent": {"inch": 100, "mm": 100},
    # a straight piece has two ends, two edges and two faces: geometry
    "both": {"inch": 2, "mm": 2},
    # stock under an inch counts as an inch in board feet (US Navy, Engineering Aid Basic); a
    # cubic metre is plain volume and has no such rule
    "least_board": {"inch": 1, "mm": 0},
}
"""By name, then by the shop's units: the only numbers besides 0 and 1 that a formula may carry.

`area`: square lengths in one ft2 or m2; `board`: cubic lengths in one board foot or m3; `run`:
lengths in one ft or m; `hour`: minutes; `week`: days; `year`, `quarter`: months; `percent`:
hundredths; `both`: ends, edges or faces of a piece; `least_board`: the thickness (in or mm) that
thinner stock counts as.
"""

UNIT_WORDS: Mapping[str, Mapping[Units, str]] = {
    "length": {"inch": "in", "mm": "mm"},
    "area": {"inch": "ft2", "mm": "m2"},
    "volume": {"inch": "bd ft", "mm": "m3"},
    "run": {"inch": "ft", "mm": "m"},
    "distance": {"inch": "miles", "mm": "km"},
    "one_distance": {"inch": "mile", "mm": "km"},
}
"""How headers name the unit of a length, a surface, a volume of wood, a lineal length, a drive."""


def count_board_feet(thickness: Fraction, width: Fraction, length: Fraction) -> Fraction:
    """Count the board feet in one piece of so many inches; stock under an inch counts as one.

    Lumber sold by nominal size is counted by its nominal thickness and width (US Navy,
    Engineering Aid Basic), so pass those.
    """
    least = CONVERSIONS["least_board"]["inch"]
    return max(thickness, Fraction(least)) * width * length / CONVERSIONS["board"]["inch"]
