"""Every column says what it is for, where it is written, and what it is called."""

from __future__ import annotations

from fractions import Fraction

import pytest

from notchbook.definitions.reading.entries import Scalar
from notchbook.definitions.reading.scalars import Scope, read_scalar
from notchbook.definitions.syntax.columns import ROWS, key_of
from notchbook.definitions.syntax.keys import Key
from notchbook.definitions.syntax.places import SYNTAX
from notchbook.sheets import BOOKS
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Purpose, Role, given_columns
from notchbook.sheets.kit.declare import Table
from notchbook.sheets.kit.written import Reads

TABLES = [
    pytest.param(table, id=f"{tax} {table.name}")
    for tax, book in BOOKS.items()
    for table in book.tables.values()
]


@pytest.mark.parametrize("table", TABLES)
def test_every_column_has_its_purpose(table: Table) -> None:
    """What is typed is the maker's; workings are columns of the table that nobody types."""
    purposes = {column.name: table.purpose(column) for column in table.columns}

    for column in table.columns:
        assert (purposes[column.name] is Purpose.TYPED) is (column.role is Role.GIVEN)
        if column.look is show.CHECKSUM:  # a sum that tells a change says nothing to a reader
            assert purposes[column.name] is Purpose.WORKINGS
    if table.name != "Tool depreciation":  # without a form it has fewer steps
        assert {*table.workings, *table.leads, *table.details} <= set(purposes)
    assert any(each is not Purpose.WORKINGS for each in purposes.values())


@pytest.mark.parametrize("table", TABLES)
def test_workings_are_not_printed(table: Table) -> None:
    """Where a table says what is printed last, nothing that is printed serves formulas alone."""
    if table.prints_to is not None:
        assert Purpose.WORKINGS not in {table.purpose(column) for column in table.printed}
    assert table.purpose(table.printed[-1]) is not Purpose.WORKINGS


def test_plan_memories_are_workings() -> None:
    """What was planned only to tell a change is kept for the next compile, not for a reader."""
    kept = {
        (table.name, column.name)
        for table in BOOKS["us"].tables.values()
        for column in table.columns
        if column.role is Role.PLANNED and column.name.startswith("planned_")
    }

    assert kept
    for name, column in kept:
        table = BOOKS["us"].tables[name]
        assert table.purpose(table.by_name[column]) is Purpose.WORKINGS


LISTS = (Reads.NAMES, Reads.TEXTS, Reads.PLACE, Reads.PLACES, Reads.FREE)


@pytest.mark.parametrize(
    "key",
    [
        pytest.param(key, id=f"{place} {key.key}")
        for place, keys in SYNTAX.items()
        for key in keys
        if key.reads not in LISTS
    ],
)
def test_examples_are_what_their_keys_want(key: Key) -> None:
    """The example of a key can be written behind it."""
    scope = Scope("inch", {"long": Fraction(24)}, has_sizes=True)

    assert key.example
    assert read_scalar(key, Scalar(key.example, 1), scope) is not None
    assert "{" not in key.meaning


def test_what_is_counted_has_whole_examples() -> None:
    """No example has half a piece."""
    for row in ROWS.values():
        for column in given_columns(row):
            if column.look is show.COUNT:
                assert key_of(row, column.name).example.lstrip("-").isdigit(), column.name
