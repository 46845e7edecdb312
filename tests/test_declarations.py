"""Every column says what it is for, where it is written, and what it is called."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated

import pytest

from notchbook.definitions.reading.entries import Scalar
from notchbook.definitions.reading.scalars import Scope, read_scalar
from notchbook.definitions.syntax.columns import ROWS, key_of
from notchbook.definitions.syntax.keys import Key
from notchbook.definitions.syntax.places import SYNTAX
from notchbook.language import expressions as x
from notchbook.language.expressions import this
from notchbook.language.kinds import RuleError, kind_of
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Purpose, Role, Row, computed, given_columns
from notchbook.sheets.kit.declare import Sheet, Table, table
from notchbook.sheets.kit.declared_names import see_names
from notchbook.sheets.kit.faults import look, state
from notchbook.sheets.kit.values import Name
from notchbook.sheets.kit.written import Reads

from .every_book import BOOKS

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


class SlipRow(Row):
    """A row whose names are wrong in many ways."""

    key = ("project", "jgi")
    project: Annotated[Name, Given("whose", refers="Projcts.project")]
    jig: Annotated[Name, Given("what", refers="Stock.stok", within="projct")]
    kind: Annotated[Name, Given("which", choices="Channels.chanel")]


def test_a_slip_in_a_declaration_is_named() -> None:
    """All at once, each with the module, what it is in, the wrong word and the nearest known."""
    declared = table(
        "Jigs",
        SlipRow,
        computed("share", show.PERCENT, this.kind),
        state(look("odd", this.jig.equals("x"), "write y", at="jigg")),
        silent="projec",
        leads=("kin",),
        workings=("shar",),
        details=("jog",),
        prints_to="sahre",
    )
    sheet = Sheet("Jigs", "", (declared,), after="Stock", group="legder", prints="Jig")
    book = BOOKS["us"]
    with pytest.raises(RuleError) as told:
        see_names({"Jigs": "notchbook.sheets.making.jigs"}, [*book.sheets, sheet])
    assert str(told.value).splitlines() == [
        f"notchbook.sheets.making.jigs: {slip}"
        for slip in (
            "group of Jigs: 'legder' is no group (nearest known: ledger)",
            "prints of Jigs: 'Jig' is no table of the sheet (nearest known: Jigs)",
            "silent of Jigs: 'projec' is no column of it (nearest known: project)",
            "prints_to of Jigs: 'sahre' is no column of it (nearest known: share)",
            "leads of Jigs: 'kin' is no column of it (nearest known: kind)",
            "details of Jigs: 'jog' is no column of it (nearest known: jig)",
            "workings of Jigs: 'shar' is no column of it (nearest known: share)",
            "fault 'odd' of Jigs: 'jigg' is no column of it (nearest known: jig)",
            "key of Jigs: 'jgi' is no column that is typed (nearest known: jig)",
            "refers of Jigs.project: 'Projcts' is no table (nearest known: Projects)",
            "within of Jigs.jig: 'projct' is no column that is typed (nearest known: project)",
            "refers of Jigs.jig: 'stok' is no column of Stock (nearest known: stock)",
            "choices of Jigs.kind: 'chanel' is no column of Channels (nearest known: channel)",
        )
    ]


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        (x.total("Mileag", "miles"), "there is no table Mileag (nearest known: Mileage)"),
        (x.total("Mileage", "mils"), "there is no column Mileage.mils (nearest known: miles)"),
        (x.Line("Setings", "kerf"), "there are no lines Setings (nearest known: Settings)"),
        (x.Line("Settings", "kerv"), "there is no line Settings.kerv (nearest known: kerf)"),
    ],
)
def test_a_slip_in_a_rule_is_named(rule: x.Expression, said: str) -> None:
    """With the nearest known name."""
    with pytest.raises(RuleError) as told:
        kind_of(rule, None, BOOKS["us"])
    assert str(told.value) == said


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
