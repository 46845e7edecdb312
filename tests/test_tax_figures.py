"""Every figure of Tax tables names its public document, and whether it was read there."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction
from itertools import pairwise

import pytest

from notchbook.sheets.tax.tax_tables import figure_rows
from notchbook.tax.forms import TaxFigure, figures

from .worked import worked

PRIMARY = re.compile(
    r"26 U\.S\.C\.|26 CFR|Rev\. Proc\. \d{4}-\d+|Notice \d{4}-\d+|IR-\d{4}-\d+|Publication \d+"
    r"|Public Law \d+-\d+|\d+ FR \d+|Instructions for |Social Security Administration"
)
TO_ONESELF = re.compile(
    r"memory|told by|weak|copy|firm|adviser|course|quoted|J\. K\.", re.IGNORECASE
)
SHARES = {"half-year": Fraction(1, 2)} | {
    f"mid-quarter {n}": Fraction(9 - 2 * n, 8) for n in range(1, 5)
}


@pytest.mark.parametrize("tax", ["us", "none"])
def test_no_source_is_a_note_to_oneself(tax: str) -> None:
    sources = {each.source for each in figures(tax)}

    assert [each for each in sources if TO_ONESELF.search(each) or not each] == []
    if tax == "us":  # twice the straight line is a method of books, of a textbook
        named = [each for each in sources if not PRIMARY.search(each) and "OpenStax" not in each]
        assert named == []


def _of(table: str) -> list[TaxFigure]:
    return [each for each in figures("us") if each.table == table]


def percentages(life: int, first: Fraction) -> list[Fraction]:
    """200 % declining balance that turns to straight line: 26 USC 168(b)(1), 168(d).

    Each year is the difference of the sums, rounded to a hundredth of a percent.
    """
    left, done, sums = Fraction(1), Fraction(0), [0]
    while left:
        part = first if not done else min(Fraction(1), life - done)
        years_left = life - done
        taken = max(left * Fraction(2, life), left / years_left) * part
        left, done = left - min(taken, left), done + part
        sums.append(round((1 - left) * 10_000))
    return [Fraction(b - a, 10_000) for a, b in pairwise(sums)]


def test_percentages_called_checked_follow_from_the_law() -> None:
    """The others, which differ by a hundredth as printed, wait for a look at the publication."""
    differ, checked = set(), 0
    for life in (3, 5, 7):
        for convention, first in SHARES.items():
            printed = [each for each in _of(f"macrs {life}") if each.key == convention]
            derived = percentages(life, first)
            checked += sum(each.checked for each in printed)
            alike = [each.value for each in printed] == pytest.approx([float(n) for n in derived])
            assert alike or not any(each.checked for each in printed), (life, convention)
            if not alike:
                differ.add((life, convention))
    assert checked == 4 * 5 + 6 * 5 + 8 * 2
    assert differ == {(7, f"mid-quarter {n}") for n in (1, 2, 3)}


def test_payments_fall_on_the_day_that_the_law_moves_them_to() -> None:
    """The 15th of April, June, September and January, or the next day that is a working day."""
    for each in _of("quarterly payment"):
        assert each.first is not None and each.year_number is not None
        month = {"1": 4, "2": 6, "3": 9, "4": 13}[each.key[-1]]
        due = date(each.year_number + month // 13, (month - 1) % 12 + 1, 15)
        assert each.value == 0.25
        assert each.first.weekday() < 5
        assert 0 <= (each.first - due).days <= (2 if each.checked else 3), each


def test_what_serves_the_year_and_was_not_read_is_counted() -> None:
    """By rows: another year's figures, and those read in their document, are not counted."""
    filled = worked({}, year=2026)
    states = filled.tables["Tax tables"]["state"].tolist()
    rows = list(zip(figure_rows("us"), states, strict=True))

    assert filled.lines["Checks", "figures_unchecked"] == states.count("not checked") > 0
    assert filled.lines["Checks", "figures_unchecked_state"] == "notice"
    for row, state in rows:
        if row["checked"] == "yes" or (row["table"] == "mileage" and row["value"] != 0.725):
            assert state == "", row
    assert [state for row, state in rows if row["value"] == 0.725] == ["not checked"]
