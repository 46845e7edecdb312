"""What a value is."""

from __future__ import annotations

from enum import Enum


class Kind(Enum):
    """What a value is; numbers and dates calculate, text compares, truth only decides."""

    NUMBER = "number"
    DATE = "date"
    TEXT = "text"
    TRUTH = "truth"
