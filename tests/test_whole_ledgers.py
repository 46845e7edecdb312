"""Which rows of a ledger go through a whole ledger: each that does makes every other slower."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from notchbook.language.expressions import (
    Call,
    Compare,
    Expression,
    If,
    IsBlank,
    Literal,
    Products,
    Total,
)
from notchbook.sheets import book_for
from notchbook.sheets.kit.declare import Table

LONG = 10_000
"""Rows that a ledger may take."""
KNOWN = {
    ("Production log", "before"): "what was there when a run began is a running balance",
    ("Production log", "state"): "a run typed twice is looked for among all runs",
    ("Purchases", "state"): "a slip typed twice is looked for among all slips",
    ("Mileage", "state"): "a drive typed twice is looked for among all drives",
    ("Money", "state"): "a payment typed twice is looked for among all payments",
}


def _tells_rows_apart(condition: Expression) -> bool:
    """Whether a condition, told by this row's cells, leaves few of the filled rows."""
    match condition:
        case IsBlank() | Call("NOT", (IsBlank(),)):
            return False
        case Compare("<>", _, Literal("yes")):
            return False
        case Call("AND", conditions):
            return any(_tells_rows_apart(each) for each in conditions)
    return not condition.reads_columns


def _asked_in_most_rows(node: Expression) -> Iterator[str]:
    """The ledgers that a rule goes through wherever its row is filled."""
    match node:
        case Total(table=table) | Products(table=table):
            yield table
        case If(condition, _, otherwise) if _tells_rows_apart(condition):
            yield from _asked_in_most_rows(otherwise)
            return
        case Call("AND", conditions) if any(_tells_rows_apart(each) for each in conditions):
            return
    for child in node.children:
        yield from _asked_in_most_rows(child)


@pytest.mark.parametrize("tax", ["us", "none"])
def test_few_rows_go_through_a_whole_ledger(tax: str) -> None:
    """Rows of a ledger look their own business up; those that must read a whole one are known."""
    tables = [
        block
        for sheet in book_for(tax, 2026).sheets
        for block in sheet.blocks
        if isinstance(block, Table)
    ]
    long = {table.name: table for table in tables if table.capacity >= LONG}

    found = {
        (name, column.name.partition("_step_")[0])
        for name, table in long.items()
        for column in table.columns
        if column.rule is not None and long.keys() & set(_asked_in_most_rows(column.rule))
    }

    assert {"Sales ledger", "Purchases"} <= long.keys()
    assert found == KNOWN.keys()
