"""Lengths: read, worked out and shown; exact rational numbers in the shop's units throughout."""

from notchbook.measure.commas import with_point
from notchbook.measure.conversions import CONVERSIONS, UNIT_WORDS, count_board_feet
from notchbook.measure.formulas import evaluate
from notchbook.measure.lengths import EXAMPLES, MeasureError, Units, parse_length, show_length
from notchbook.measure.ruler import Ruler
from notchbook.measure.sizes import evaluate_size, resolve_sizes, split_size

__all__ = [
    "CONVERSIONS",
    "EXAMPLES",
    "UNIT_WORDS",
    "MeasureError",
    "Ruler",
    "Units",
    "count_board_feet",
    "evaluate",
    "evaluate_size",
    "parse_length",
    "resolve_sizes",
    "show_length",
    "split_size",
    "with_point",
]
