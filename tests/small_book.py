"""A small book of two tables and a few lines, on which the language is tried."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from notchbook.language.expressions import Expression, Literal
from notchbook.language.value_kinds import Kind
from notchbook.measure import CONVERSIONS
from notchbook.sheets.kit.calculate import Filled, calculate, frame
from notchbook.sheets.kit.columns import Column, Role, computed, planned
from notchbook.sheets.kit.declare import Book, LineCell, LineRow, Lines, Sheet, Table, line
from notchbook.sheets.kit.show import AMOUNT, DATE, NAME, WORD
from notchbook.workbook.layout.subject import Subject
from notchbook.workbook.write.compose import compose

UNITS = {name: by_unit["inch"] for name, by_unit in CONVERSIONS.items()}
SUBJECT = Subject("Small", 2026, "USD", 2, "inch", "a4")
LOOKS = {Kind.NUMBER: AMOUNT, Kind.DATE: DATE, Kind.TEXT: NAME}

SHELF: tuple[dict[str, object], ...] = (
    {"name": "Oak", "price": 4.15, "pack": 10, "seen": 46023, "sort": "board"},
    {"name": "pine 2x4", "price": 0, "pack": 1, "seen": None, "sort": "board"},
    {"name": "hook", "price": 13.5, "pack": 12, "seen": 46081, "sort": "Hardware"},
    {"name": "glue", "price": 8.9, "pack": None, "seen": 45992, "sort": "glue"},
)
ASKED: tuple[dict[str, object], ...] = (
    {"key": "oak", "n": 2.5, "m": -2.5, "day": 46023, "word": "Board", "text": "Café"},
    {"key": "PINE 2X4", "n": 1.005, "m": 3, "day": 46081, "word": "board", "text": ""},
    {"key": "nothing", "n": 7, "m": 0, "day": 45658, "word": "hardware", "text": "x & <y>"},
    {"key": "hook", "n": None, "m": 0.25, "day": 46387, "word": "glue", "text": "Ω"},
)
SETTINGS: dict[str, float | str] = {
    "rate": 24.0,
    "step": 0.25,
    "first": 46023.0,
    "last": 46387.0,
    "word": "board",
}


def _planned(name: str, kind: Kind) -> Column:
    return planned(name, LOOKS[kind], "")


_SHELF = Table(
    "Shelf",
    (
        _planned("name", Kind.TEXT),
        _planned("price", Kind.NUMBER),
        _planned("pack", Kind.NUMBER),
        _planned("seen", Kind.DATE),
        _planned("sort", Kind.TEXT),
    ),
)
_GIVEN = (
    _planned("key", Kind.TEXT),
    _planned("n", Kind.NUMBER),
    _planned("m", Kind.NUMBER),
    _planned("day", Kind.DATE),
    _planned("word", Kind.TEXT),
    _planned("text", Kind.TEXT),
)


def small_book(rules: Sequence[tuple[Expression, Kind]]) -> Book:
    """A book whose table Asked computes one column a rule."""
    columns = tuple(
        computed(f"rule_{n}", LOOKS[kind], rule) for n, (rule, kind) in enumerate(rules)
    )
    kinds = {"word": Kind.TEXT, "first": Kind.DATE, "last": Kind.DATE}
    settings = tuple(
        LineRow(name, (LineCell(name, LOOKS[kinds.get(name, Kind.NUMBER)], role=Role.PLANNED),))
        for name in SETTINGS
    )
    verdict = line("verdict", "verdict", WORD, Literal("all checks OK"))
    return Book(
        (
            Sheet("Asked", "Asks.", (Table("Asked", _GIVEN + columns),), "plan"),
            Sheet("The shelf", "Answers.", (_SHELF,), "plan"),
            Sheet("Settings", "Says.", (Lines("Settings", ("", "", ""), settings),), "plan"),
            Sheet("Checks", "Sees.", (Lines("Checks", ("", "", ""), (verdict,)),), "plan"),
        )
    )


def fill(book: Book, asked: Sequence[dict[str, object]] = ASKED) -> Filled:
    """The small book with its rows, everything worked out."""
    tables = {
        "Asked": frame(book.tables["Asked"], asked),
        "Shelf": frame(_SHELF, SHELF),
    }
    lines: dict[tuple[str, str], float | str] = {
        ("Settings", name): value for name, value in SETTINGS.items()
    }
    filled = Filled(tables, lines, {})
    calculate(book, filled, UNITS)
    return filled


def write_small(rules: Sequence[tuple[Expression, Kind]], path: Path) -> Filled:
    """The small book written as a workbook."""
    book = small_book(rules)
    filled = fill(book)
    path.write_bytes(compose(book, filled, UNITS, SUBJECT))
    return filled
