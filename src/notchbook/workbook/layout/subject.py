"""What the sheets speak of."""

from __future__ import annotations

from dataclasses import dataclass

from notchbook.measure import Units


@dataclass(frozen=True)
class Subject:
    """What the sheets speak of: the shop, its units in words, its currency and decimals."""

    shop: str
    year: int
    currency: str
    decimals: int
    units: Units
    paper: str
    category: str = ""  # what sort of file it is, where it is no shop's own workbook
