"""The forms, categories and tables of a country, read from the data files beside this module."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from importlib.resources import files


@dataclass(frozen=True)
class FormLine:
    """A line of the year's form: our name for it, its part, label and printed number."""

    name: str
    part: str
    label: str
    number: str


@dataclass(frozen=True)
class Category:
    """A category of purchases, the name of the form's line it belongs to ("": none), and its kind.

    `counts_as` says what it is where earnings are worked out: goods (in pieces), selling (each
    piece sold causes it), tool, overhead (no piece causes it), none (no cost of the shop).
    """

    category: str
    line: str
    counts_as: str
    source: str


@dataclass(frozen=True)
class TaxFigure:
    """A published figure with the days it is valid for.

    `source` names the document that it is from; `checked` says that it was read there, or follows
    from what was read there.
    """

    table: str
    key: str
    first: date | None
    last: date | None
    year_number: int | None
    value: float
    source: str
    checked: bool


def _rows(country: str, name: str) -> list[dict[str, str]]:
    text = (
        files("notchbook.tax").joinpath(*filter(None, (country, name))).read_text(encoding="utf-8")
    )
    return list(csv.DictReader(text.splitlines()))


@cache
def form_lines(country: str, year: int) -> tuple[FormLine, ...]:
    """Read the lines of the year's form; a year beyond the data takes the nearest one's numbers.

    Empty for `none`, which knows no form.
    """
    if country == "none":
        return ()
    rows = _rows(country, "lines.csv")
    nearest = _nearest(rows[0], year)
    return tuple(FormLine(row["name"], row["part"], row["label"], row[nearest]) for row in rows)


@cache
def lines_not_here(country: str, year: int) -> tuple[tuple[str, str], ...]:
    """Read label and printed number of the form's lines that no category and no sheet feeds."""
    rows = [] if country == "none" else _rows(country, "not_here.csv")
    return tuple((row["label"], row[_nearest(row, year)]) for row in rows)


def year_of_form(country: str, year: int) -> int:
    """Return the year of the form whose line numbers are used for a year; 0 where there is none."""
    return 0 if country == "none" else int(_nearest(_rows(country, "lines.csv")[0], year))


def _nearest(row: dict[str, str], year: int) -> str:
    """Return the year of the data that is nearest."""
    years = [int(name) for name in row if name.isdigit()]
    return str(min(max(year, min(years)), max(years)))


@cache
def categories(country: str) -> tuple[Category, ...]:
    """Read the categories of purchases, in the order they are offered."""
    return tuple(Category(**row) for row in _rows(country, "categories.csv"))


@cache
def spellings(country: str) -> dict[str, str]:
    """Read by category its other spelling, which counts as the category does."""
    return {row["category"]: row["word"] for row in _words(country) if row["counts"]}


@cache
def meant_words(country: str) -> dict[str, str]:
    """Read by plausible words that are no category the category that is meant."""
    return {row["word"]: row["category"] for row in _words(country) if not row["counts"]}


def _words(country: str) -> list[dict[str, str]]:
    known = {each.category for each in categories(country)}
    return [row for row in _rows("", "category_words.csv") if row["category"] in known]


@cache
def figures(country: str) -> tuple[TaxFigure, ...]:
    """Read the published figures that the sheets look up."""

    def day(text: str) -> date | None:
        return date.fromisoformat(text) if text else None

    dated = tuple(
        TaxFigure(
            row["table"],
            row["key"],
            day(row["first"]),
            day(row["last"]),
            int(row["year_number"]) if row["year_number"] else None,
            float(row["value"]),
            row["source"],
            row["checked"] == "yes",
        )
        for row in _rows(country, "tables.csv")
    )
    return dated + (_percent_figures() if country == "us" else ())


def _percent_figures() -> tuple[TaxFigure, ...]:
    """Read the depreciation percentages by class, convention and year, as shares of the basis."""
    return tuple(
        TaxFigure(
            row["table"],
            row["key"],
            None,
            None,
            int(year),
            float(Decimal(row[year]) / 100),
            row["source"],
            row["checked"] == "yes",
        )
        for row in _rows("us", "macrs.csv")
        for year in row
        if year.isdigit() and row[year]
    )
