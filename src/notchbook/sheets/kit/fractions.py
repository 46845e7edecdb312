"""Lengths rounded to what a tape shows: multiples of the shop's finest fraction."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.sheets.kit.settings import setting

_FINEST = setting.show_fractions_to


def to_fraction(length: x.Expression) -> x.Expression:
    """The nearest reading, half a fraction up; noise in the sixth decimal makes no difference."""
    return x.rounded(x.rounded(length / _FINEST, 6), 0) * _FINEST


def down_to_fraction(length: x.Expression) -> x.Expression:
    """The reading at or below a length."""
    return x.whole_down(length / _FINEST) * _FINEST
