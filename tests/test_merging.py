"""The merge of both surfaces, row by row: nothing typed is lost, nothing said is overheard."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from notchbook.definitions.reading.naming import NAMING
from notchbook.merging.cells import MergedTable, Value, cell, numbered, same
from notchbook.merging.changes import Renamed, RowChange
from notchbook.merging.merge import Before, Merged, merge
from notchbook.merging.renames import Sides, composed, follow, recognise

from .searching import examples

GRID = MergedTable("Stock", ("stock", "price", "vendor"), ("stock",))
Rows = list[dict[str, Value]]


def row(stock: str, price: Value = 1.0, vendor: Value = None) -> dict[str, Value]:
    return {"stock": stock, "price": price, "vendor": vendor}


def merged(before: tuple[Rows, Rows] | None, definitions: Rows, workbook: Rows) -> Merged:
    return merge(GRID, Before(*before) if before else None, definitions, workbook)


def plain(result: Merged) -> Rows:
    return [dict(each.cells) for each in result.rows]


def counts(result: Merged) -> dict[str, int]:
    names = ("kept", "taken", "conflicts", "added", "deleted")
    found = {name: len(getattr(result.changes, name)) for name in names}
    return {name: count for name, count in found.items() if count}


PINE = [row("pine", 4.0)]
CASES: dict[str, tuple[tuple[Rows, Rows] | None, Rows, Rows, Rows, dict[str, int]]] = {
    # last compile (files, workbook), files now, workbook now; the rows after, what is told
    "nothing changed": ((PINE, PINE), PINE, PINE, PINE, {}),
    "typed": ((PINE, PINE), PINE, [row("pine", 5.0)], [row("pine", 5.0)], {"kept": 1}),
    "said": ((PINE, PINE), [row("pine", 5.0)], PINE, [row("pine", 5.0)], {"taken": 1}),
    "both": (
        (PINE, PINE),
        [row("pine", 5.0)],
        [row("pine", 6.0)],
        [row("pine", 6.0)],
        {"conflicts": 1},
    ),
    "both alike": ((PINE, PINE), [row("pine", 5.0)], [row("pine", 5.0)], [row("pine", 5.0)], {}),
    "an earlier edit stands": (
        (PINE, [row("pine", 5.0)]),
        PINE,
        [row("pine", 5.0)],
        [row("pine", 5.0)],
        {},
    ),
    "the files change under an earlier edit": (
        (PINE, [row("pine", 5.0)]),
        [row("pine", 6.0)],
        [row("pine", 5.0)],
        [row("pine", 5.0)],
        {"conflicts": 1},
    ),
    "typed back while the files change": (
        (PINE, [row("pine", 5.0)]),
        [row("pine", 6.0)],
        PINE,
        PINE,
        {"conflicts": 1},
    ),
    "cleared": ((PINE, PINE), PINE, [row("pine", None)], [row("pine", None)], {"kept": 1}),
    "a row typed": ((PINE, PINE), PINE, [*PINE, row("oak")], [*PINE, row("oak")], {"added": 1}),
    "a row said": ((PINE, PINE), [*PINE, row("oak")], PINE, [*PINE, row("oak")], {"added": 1}),
    "the same row on both": (
        (PINE, PINE),
        [*PINE, row("oak", 2.0)],
        [*PINE, row("oak", 3.0)],
        [*PINE, row("oak", 3.0)],
        {"conflicts": 1},
    ),
    "a row deleted here": ((PINE, PINE), PINE, [], [], {"deleted": 1}),
    "a row deleted here before": ((PINE, []), PINE, [], [], {}),
    "a row deleted here, changed there": (
        (PINE, []),
        [row("pine", 5.0)],
        [],
        [],
        {"conflicts": 1},
    ),
    "a row deleted there": ((PINE, PINE), [], PINE, [], {"deleted": 1}),
    "a row deleted there, edited here": (
        (PINE, PINE),
        [],
        [row("pine", 5.0)],
        [row("pine", 5.0)],
        {"conflicts": 1},
    ),
    "a typed row stays": (([], PINE), [], PINE, PINE, {}),
    "sorted": (
        ([row("a"), row("b")], [row("a"), row("b")]),
        [row("a"), row("b")],
        [row("b"), row("a")],
        [row("b"), row("a")],
        {},
    ),
    "said between": (
        ([row("a"), row("b")], [row("a"), row("b")]),
        [row("a"), row("c"), row("b")],
        [row("a"), row("b")],
        [row("a"), row("c"), row("b")],
        {"added": 1},
    ),
    "one of two equal names deleted": (
        ([row("a", 1.0), row("a", 2.0)], [row("a", 1.0), row("a", 2.0)]),
        [row("a", 1.0), row("a", 2.0)],
        [row("a", 2.0)],
        [row("a", 2.0)],
        {"deleted": 1},
    ),
    "memory lost": (
        None,
        [row("pine", 5.0), row("oak")],
        PINE,
        [*PINE, row("oak")],
        {
            "conflicts": 1,
            "added": 1,
        },
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_each_case_of_the_merge(case: str) -> None:
    """Cell by cell and row by row, as the maker would want it."""
    before, definitions, workbook, expected, told = CASES[case]
    result = merged(before, definitions, workbook)

    assert plain(result) == expected
    assert counts(result) == told


NAMES = st.sampled_from(["a", "b", "c", "d"])
VALUES = st.one_of(st.none(), st.sampled_from([1.0, 2.0, 3.0]))
ROWS = st.lists(st.builds(row, NAMES, VALUES, st.sampled_from([None, "x", "y"])), max_size=6)


def keyed(rows: Rows) -> dict[Any, dict[str, Value]]:
    return dict(zip(numbered(GRID, rows), rows, strict=True))


@given(ROWS, ROWS)
def test_merging_with_no_change_changes_nothing(definitions: Rows, workbook: Rows) -> None:
    """Where both sides are as they were left, the workbook stays and nothing is told."""
    result = merged((definitions, workbook), definitions, workbook)

    assert plain(result) == workbook
    assert counts(result) == {}


@given(ROWS, ROWS)
def test_an_untouched_workbook_follows_the_files(before: Rows, definitions: Rows) -> None:
    """With nothing typed, the rows are those of the files, whatever their order."""
    result = merged((before, before), definitions, before)

    def sorted_rows(rows: Rows) -> list[str]:
        return sorted(str(sorted(each.items(), key=str)) for each in rows)

    assert sorted_rows(plain(result)) == sorted_rows(definitions)
    assert "conflicts" not in counts(result)


@given(ROWS, ROWS, ROWS, ROWS)
def test_every_row_and_cell_is_accounted_for(
    said_then: Rows, here_then: Rows, said: Rows, here: Rows
) -> None:
    """All rows of the workbook stay but those untouched and deleted in the files; every cell of
    either side is in the result, or the change is listed."""
    result = merged((said_then, here_then), said, here)
    places = [each.workbook for each in result.rows if each.workbook is not None]
    dropped = [n for n in range(len(here)) if n not in places]

    assert places == sorted(places)
    for n in dropped:
        assert any(
            all(same(here[n][name], then[name]) for name in GRID.columns) for then in said_then
        )
    for each in result.rows:
        if each.workbook is None:
            continue
        for name in GRID.columns:
            typed = here[each.workbook][name]
            if not same(each.cells[name], typed):
                assert any(
                    change.column == name and same(change.workbook, typed)
                    for change in result.changes.taken
                )
    again = merged((said, plain(result)), said, plain(result))
    assert plain(again) == plain(result)
    assert counts(again) == {}


@given(st.permutations([row("a", n) for n in (1.0, 2.0, 2.0)] + [row("b", 1.0)]))
def test_sorting_keeps_occurrences(rows: Rows) -> None:
    """Rows of one name keep their numbers wherever they are sorted."""
    before = [row("a", 1.0), row("a", 2.0), row("a", 2.0), row("b", 1.0)]
    result = merged((before, before), before, rows)

    assert plain(result) == rows
    assert counts(result) == {}


def name_of(label: str) -> str:
    """The name in a told row; rows of one name are told as `c`, `c (2)` and so on."""
    return label.partition(" (")[0]


class Typing(RuleBasedStateMachine):
    """A maker at both surfaces, compiling now and then."""

    @initialize(rows=ROWS)
    def start(self, rows: Rows) -> None:
        self.said = [dict(each) for each in rows]
        self.here = [dict(each) for each in rows]
        self.then = (copy.deepcopy(self.said), copy.deepcopy(self.here))
        self.typed: set[tuple[str, str, Value]] = set()
        self.listed: set[tuple[str, str, Value]] = set()

    def pick(self, rows: Rows, data: Any) -> dict[str, Value] | None:
        return data.draw(st.sampled_from(rows)) if rows else None

    @rule(data=st.data(), price=VALUES)
    def type_a_price(self, data: Any, price: Value) -> None:
        chosen = self.pick(self.here, data)
        if chosen is not None:
            self.typed -= {each for each in self.typed if each[0] == chosen["stock"]}
            chosen["price"] = price
            if sum(each["stock"] == chosen["stock"] for each in self.here) == 1:
                self.typed.add((str(chosen["stock"]), "price", price))

    @rule(data=st.data(), price=VALUES)
    def say_a_price(self, data: Any, price: Value) -> None:
        chosen = self.pick(self.said, data)
        if chosen is not None:
            chosen["price"] = price

    @rule(name=NAMES, price=VALUES)
    def type_a_row(self, name: str, price: Value) -> None:
        self.typed -= {each for each in self.typed if each[0] == name}
        self.here.append(row(name, price))

    @rule(name=NAMES, price=VALUES)
    def say_a_row(self, name: str, price: Value) -> None:
        self.typed -= {each for each in self.typed if each[0] == name}
        self.said.append(row(name, price))

    @rule(data=st.data())
    def delete_a_row(self, data: Any) -> None:
        chosen = self.pick(self.here, data)
        if chosen is not None:
            self.typed -= {each for each in self.typed if each[0] == chosen["stock"]}
            self.here.remove(chosen)

    @rule(data=st.data())
    def drop_a_row(self, data: Any) -> None:
        chosen = self.pick(self.said, data)
        if chosen is not None:
            self.said.remove(chosen)

    @rule(data=st.data())
    def sort(self, data: Any) -> None:
        self.here = data.draw(st.permutations(self.here))

    @rule()
    def compile(self) -> None:
        result = merged(self.then, self.said, self.here)
        self.here = [dict(each.cells) for each in result.rows]
        stands = {(str(each["stock"]), "price", each["price"]) for each in self.here}
        changes = result.changes
        for each in (*changes.taken, *changes.conflicts):
            stands.add((name_of(each.row), each.column, each.workbook))
        for gone in changes.deleted:
            self.typed -= {each for each in self.typed if self.may_go(gone, each)}
        assert self.typed <= stands
        self.then = (copy.deepcopy(self.said), copy.deepcopy(self.here))
        self.typed = set()
        again = merged(self.then, self.said, self.here)
        assert counts(again) == {}

    def may_go(self, gone: RowChange, typed: tuple[str, str, Value]) -> bool:
        """Deleted by the maker, or deleted in the files while it says what they said."""
        if name_of(gone.row) != typed[0]:
            return False
        said = [each["price"] for each in self.then[0] if each["stock"] == typed[0]]
        return gone.side == "workbook" or typed[2] in said

    @invariant()
    def keys_are_unique(self) -> None:
        keys = numbered(GRID, getattr(self, "here", []))
        assert len(set(keys)) == len(keys)


TestTyping = Typing.TestCase
TestTyping.settings = settings(examples(300), stateful_step_count=12)


GRIDS = {
    "Stock": GRID,
    "Ideas": MergedTable("Ideas", ("idea", "note"), ("idea",)),
    "Projects": MergedTable("Projects", ("project", "batch"), ("project",)),
    "Channels": MergedTable("Channels", ("channel", "fee"), ("channel",)),
    "Tiers": MergedTable("Tiers", ("tier", "channel"), ("tier",)),
    "Tool depreciation": MergedTable("Tool depreciation", ("tool", "cost"), ("tool",)),
    "Cut list": MergedTable("Cut list", ("project", "part", "make", "stocks"), ("project", "part")),
    "Laid surfaces": MergedTable(
        "Laid surfaces", ("project", "surface", "width"), ("project", "surface")
    ),
}


def tables(stock: str = "pine", part: str = "end") -> dict[str, Rows]:
    return {
        "Stock": [row(stock, 4.0), row("oak", 9.0)],
        "Cut list": [{"project": "box", "part": part, "make": 2.0, "stocks": f"oak; {stock}"}],
        "Consumables": [{"project": "box", "stock": stock, "part": part}],
        "Marks": [{"project": "box", "part": part}, {"project": "rack", "part": part}],
    }


@pytest.mark.parametrize("side", ["workbook", "definitions"])
def test_a_new_name_is_followed(side: str) -> None:
    """A row whose other cells are equal goes by its new name everywhere, on both sides."""
    now = {"workbook": tables(), "definitions": tables()}
    now[side]["Stock"] = tables("pine 1x6")["Stock"]
    sides = Sides(tables(), tables(), now["definitions"], now["workbook"])
    found = recognise(sides, GRIDS, NAMING)

    assert found == [Renamed("Stock", "stock", "pine", "pine 1x6", side)]
    for rows in (sides.definitions, sides.workbook, sides.then_definitions, sides.then_workbook):
        assert rows["Stock"][0]["stock"] == "pine 1x6"
    assert sides.workbook["Cut list"][0]["stocks"] == "oak; pine 1x6"
    assert sides.workbook["Consumables"][0]["stock"] == "pine 1x6"


def test_a_new_name_that_both_say() -> None:
    """As after adopting: it is known, for ledgers to follow, and neither side's alone."""
    sides = Sides(tables(), tables(), tables("pine 1x6"), tables("pine 1x6"))
    found = recognise(sides, GRIDS, NAMING)

    assert found == [Renamed("Stock", "stock", "pine", "pine 1x6", "both")]
    assert composed([], found) == []
    assert sides.then_definitions == sides.definitions


def test_a_new_name_on_each_side() -> None:
    """The workbook's wins, and the files' is told; the next compile knows what they call it."""
    sides = Sides(tables(), tables(), tables("fir"), tables("pine 1x6"))
    found = recognise(sides, GRIDS, NAMING)

    assert found == [
        Renamed("Stock", "stock", "pine", "pine 1x6", "workbook"),
        Renamed("Stock", "stock", "fir", "pine 1x6", "conflict"),
    ]
    assert sides.definitions == sides.workbook == tables("pine 1x6")
    standing = follow(composed([], found), tables("fir"), NAMING)
    assert [(each.old, each.new) for each in standing] == [("fir", "pine 1x6")]


def test_a_part_is_renamed_within_its_project() -> None:
    """A part of the same name in another project keeps it."""
    sides = Sides(tables(), tables(), tables(), tables())
    sides.workbook["Cut list"][0]["part"] = "side"
    found = recognise(sides, GRIDS, NAMING)

    assert found == [Renamed("Cut list", "part", "end", "side", "workbook", "box")]
    assert [each["part"] for each in sides.definitions["Marks"]] == ["side", "end"]


def test_a_name_that_could_be_two_is_not_guessed() -> None:
    """Two equal rows gone, or a row with nothing in it: an added and a deleted row."""
    then = {"Stock": [row("a", 1.0), row("b", 1.0)]}
    sides = Sides(copy.deepcopy(then), copy.deepcopy(then), then, {"Stock": [row("c", 1.0)]})

    assert recognise(sides, GRIDS, NAMING) == []


def test_a_new_name_stands_until_the_files_say_it() -> None:
    """The files go on saying the old name; it is followed until they have the new one."""
    standing = [Renamed("Stock", "stock", "pine", "pine 1x6", "workbook")]
    old, new = tables(), tables("pine 1x6")

    assert follow(standing, old, NAMING) == standing
    assert old == new
    assert follow(standing, new, NAMING) == []
    again = composed(standing, [Renamed("Stock", "stock", "pine 1x6", "fir", "workbook")])
    assert [(each.old, each.new) for each in again] == [("pine", "fir")]


@given(st.floats(-1e300, 1e300))
def test_numbers_survive_the_digits_of_a_file(number: float) -> None:
    """A number is the same after 16 digits, as a workbook keeps them."""
    assert same(number, float(f"{number:.16g}"))
    assert cell("") is None


def test_of_a_row_that_no_file_states_nothing_is_said_to_be_in_the_files() -> None:
    """The other value is the one that the workbook had."""
    result = merged(([], PINE), [], [row("pine", 5.0)])

    (change,) = result.changes.kept
    assert str(change) == "Stock, pine, price: 5 in the workbook, 4 before"
    assert change.as_json()["definitions"] is None


def test_files_that_state_a_row_at_last_as_it_was_change_nothing() -> None:
    """Only the workbook's later edit is told, and as no conflict."""
    result = merged(([], PINE), PINE, [row("pine", 5.0)])

    assert counts(result) == {"kept": 1}
    assert plain(result) == [row("pine", 5.0)]
