"""The copy of the book as written: packed, and the same again; rows found where they went."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.workbook import Workbook

from notchbook.workbook.file.book import add_sheet
from notchbook.workbook.memory.alignment import align
from notchbook.workbook.memory.book_copy import BookCopy, ColumnCopy, SheetCopy, take
from notchbook.workbook.memory.contents import Rules, comparable, content_of, rule_of
from notchbook.workbook.memory.packing import copy_from, pack, plain_copy, unpack

CONTENTS = st.none() | st.floats(allow_nan=False, allow_infinity=False) | st.text(max_size=6)
LOOKS = st.none() | st.tuples(st.sampled_from(["0.00", "General"]), st.just("left"))


@st.composite
def columns(draw: st.DrawFn) -> ColumnCopy:
    """A column of some cells, gaps among them."""
    cells = draw(st.lists(st.tuples(CONTENTS, LOOKS), min_size=1, max_size=9))
    first = draw(st.integers(1, 40))
    return ColumnCopy(first, [content for content, _ in cells], [look for _, look in cells])


SHEETS = st.builds(
    SheetCopy,
    st.dictionaries(st.integers(1, 30), columns(), max_size=4),
    st.dictionaries(st.integers(1, 99), st.floats(1, 400), max_size=2),
    st.dictionaries(st.integers(1, 30), st.floats(1, 90), max_size=2),
    st.none() | st.just("B7"),
)


@given(st.dictionaries(st.text(min_size=1, max_size=5), SHEETS, min_size=1, max_size=3))
def test_a_copy_unpacks_as_it_was(sheets: dict[str, SheetCopy]) -> None:
    """All cells, looks, sizes, names and lists."""
    copy = BookCopy(sheets, {"nb_Stock_price": (next(iter(sheets)), 6, 9)}, ["list_Stock_stock"])

    assert copy_from(unpack(pack(plain_copy(copy)))) == copy


def test_what_was_not_packed_so_is_refused() -> None:
    """Whatever somebody did to the hidden sheet."""
    for text in ("", "no", pack([1])[:-4]):
        with pytest.raises(ValueError):
            unpack(text)


def test_a_formula_of_the_makers_counts_as_its_value() -> None:
    """In a given cell; ours are remembered by their structure, once for a column."""
    book = Workbook()
    sheet = add_sheet(book, "Stock")
    sheet["A7"], sheet["A8"], sheet["B7"], sheet["B8"] = "=2*3", "pine", "=$A7*2", "=$A8*2"
    copy = take(book, {}, {"Stock": {"A7": 6.0}}, {("Stock", 7, 1)}).sheets["Stock"]

    assert [copy.content(row, 1) for row in (7, 8)] == [6.0, "pine"]
    assert copy.content(7, 2) == copy.content(8, 2) == rule_of("=C1*2")


def test_a_constant_that_is_the_rows_number_is_no_place() -> None:
    """A rule filled down a column is known by its places alone."""
    rules = Rules()

    assert rules.of("=A7*7", 7, 1) != rules.of("=A8*8", 8, 1)
    assert rules.of("=A7*2", 7, 1) == rules.of("=A8*2", 8, 1) == rule_of("=Z99*2")
    assert content_of("=words", False) == "'=words"


def test_rows_are_found_through_a_sort_a_deletion_and_an_insertion() -> None:
    """Equal rows first, then the one that is most alike; a new one is none of them."""
    then = [["pine", "4", "A"], ["oak", "9", "B"], ["ply", "12", "A"], ["ash", "7", "C"]]
    now = [["ash", "7", "C"], ["new", "1", ""], ["pine", "5", "A"], ["oak", "9", "B"]]

    assert align(then, now) == {0: 3, 2: 0, 3: 1}


def test_a_number_is_the_one_that_the_file_holds_of_it() -> None:
    """Also where it lies between two numbers of nine digits."""
    assert comparable(2.6261718750000003) == comparable(2.626171875)
    assert comparable(2.62617187) != comparable(2.62617189)
