"""Which entry of which file a row came from, and the keys that its columns are written as."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from notchbook.definitions.editing.edits import YamlFile
from notchbook.definitions.editing.writing import names, sides, size, written
from notchbook.definitions.reading.uses import FORMS, GLUE, TOOL_FORMS
from notchbook.definitions.syntax.columns import ROWS
from notchbook.definitions.syntax.keys import Key
from notchbook.definitions.syntax.places import SYNTAX
from notchbook.merging.cells import Cells, Value, cell
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import given_of
from notchbook.sheets.kit.declare import Table
from notchbook.sheets.kit.written import Reads, Written

_USES = "Consumables"
"""Its rows are counted in several ways, each written by keys of its own."""


@dataclass(frozen=True)
class Spot:
    """An entry: its list in the file, and where it lists parts, which of them the row is for.

    `within` is the mapping that the list stands in: the file's, or that of a variant.
    """

    list_key: str
    node: Any
    listed: str | None = None
    part: str | None = None
    within: Any = None


def spots(file: YamlFile, table: str, variant: Any = None) -> Iterator[Spot]:
    """The entries behind the rows of a table, in the order in which rows are made of them.

    A variant's rows are made of lists of its own, where it has them.
    """
    for way in ROWS[table].written:
        if not way.listed:
            yield Spot("", file.root, within=file.root)
            continue
        own = variant is not None and file.value(variant, way.listed) is not None
        within = variant if own else file.root
        for node in file.entries(way.listed, within):
            listing = next((key for key in _listing(table, way) if file.value(node, key)), None)
            if listing is None:
                yield Spot(way.listed, node, within=within)
            else:
                parts = file.names(node, listing)
                yield from (Spot(way.listed, node, listing, each, within) for each in parts)


def _listing(table: str, way: Written) -> list[str]:
    """The keys that list names, each of which makes a row of its own."""
    joined = {_key(table, name) for name in ROWS[table].model_fields if _several(table, name)}
    keys = SYNTAX[way.place]
    return [key.key for key in keys if key.reads is Reads.NAMES and key.key not in joined]


def _key(table: str, column: str) -> str:
    return given_of(ROWS[table].model_fields[column]).key or column


def _several(table: str, column: str) -> bool:
    """A cell of the column lists names or texts."""
    return given_of(ROWS[table].model_fields[column]).several


def list_of(table: str, cells: Cells) -> str:
    """The list that a row's entry stands in."""
    return _written(table, cells).listed


def _written(table: str, cells: Cells) -> Written:
    """How a row is written: in the list that sets its cells as they are, without those it lacks."""
    ways = ROWS[table].written
    fitting = (
        way
        for way in ways
        if all(cells.get(name) == word for name, word in way.sets.items())
        and (table != _USES or all(cells.get(name) is None for name in way.without))
    )
    return next(fitting, ways[0])


def columns_of(table: Table, cells: Cells) -> Mapping[str, tuple[str, ...]]:
    """By key of a row's entry: the columns that it is made of."""
    if table.name == _USES:
        return _use_columns(cells)
    row = ROWS[table.name]
    by_key: dict[str, tuple[str, ...]] = {joined.key: joined.columns for joined in row.joined}
    by_key |= {_key(table.name, name): (name,) for name in row.model_fields}
    keys = (key.key for key in _syntax(table.name, cells))
    return {key: by_key[key] for key in keys if key in by_key}


def required_keys(table: Table, cells: Cells) -> tuple[str, ...]:
    """The keys that an entry must have."""
    if table.name == _USES:
        return tuple(_use_columns(cells))[:2]
    return tuple(key.key for key in _syntax(table.name, cells) if key.required and not key.place)


def _syntax(name: str, cells: Cells) -> tuple[Key, ...]:
    return SYNTAX[_written(name, cells).place]


def _use_columns(cells: Cells) -> Mapping[str, tuple[str, ...]]:
    basis = "area" if cells.get("basis") == GLUE else cells.get("basis")
    for key, tool_basis in TOOL_FORMS.items():
        if basis == tool_basis:
            return {"tool": ("tool",), key: ("amount",)}
    key, form = next(
        ((key, form) for key, form in FORMS.items() if form.basis == basis), ("", None)
    )
    found: dict[str, tuple[str, ...]] = {"stock": ("stock",), key: ("amount",)}
    if form is not None and form.listed:
        found[form.listed] = ("part",)
    if form is not None and form.basis == "area":
        found["faces"] = ("faces", "basis")
    return found


def text_of(
    table: Table, key: str, columns: tuple[str, ...], cells: Cells, said: Cells, before: str | None
) -> str | None:
    """The value of a key as the file writes it."""
    if table.name == _USES and key == "faces":
        return GLUE if cells.get("basis") == GLUE else written(cells.get(key), show.COUNT, key)
    joined = next((each for each in ROWS[table.name].joined if each.key == key), None)
    if joined is not None and joined.inside:
        return sides(cells, joined)
    if len(columns) > 1:
        return size(cells, columns, said, before)
    value = cells.get(columns[0])
    if _several(table.name, columns[0]):
        return names(value)
    return written(value, table.by_name[columns[0]].look, key, before)


def with_defaults(table: Table, cells: Cells) -> dict[str, Value]:
    """A row with what a blank cell stands for."""
    assert table.row is not None
    found = dict(cells)
    for name, info in table.row.model_fields.items():
        if found.get(name) is None and not info.is_required():
            found[name] = cell(info.default)
    return found
