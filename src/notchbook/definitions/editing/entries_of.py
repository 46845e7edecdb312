"""Which entry of which file a row came from, and the keys that its columns are written as."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from notchbook.definitions.editing.edits import YamlFile
from notchbook.definitions.editing.writing import names, size, written
from notchbook.definitions.reading.stock_file import KINDS
from notchbook.definitions.reading.uses import FORMS, TOOL_FORMS
from notchbook.definitions.syntax.keys import Key
from notchbook.definitions.syntax.places import SYNTAX
from notchbook.merging.cells import Cells, Value, cell
from notchbook.sheets.kit.declare import Table

_SIZE = ("thickness", "width", "length")
_STRIP = ("strip_thickness", "strip_width", "strip_length")
_MARK = ("along", "deep")
LISTS: Mapping[str, tuple[str, str]] = {
    # by table: the list in its file, and the place whose syntax its entries have
    "Channels": ("channels", "channel"),
    "Tiers": ("tiers", "tier"),
    "Tool depreciation": ("tools", "tool"),
    "Seen prices": ("seen", "seen"),
    "Cut list": ("parts", "part"),
    "Laid surfaces": ("laid", "laid"),
    "Work steps": ("steps", "step"),
    "Marks": ("marks", "mark"),
}
_SIZES: Mapping[tuple[str, str], tuple[str, ...]] = {
    ("Cut list", "size"): _SIZE,
    ("Laid surfaces", "strip"): _STRIP,
    ("Marks", "size"): _MARK,
}
_RENAMED: Mapping[tuple[str, str], str] = {
    ("Cut list", "from"): "stocks",
    ("Laid surfaces", "from"): "stocks",
    ("Marks", "on"): "part",
}
_NAMES = ("from", "cautions")


@dataclass(frozen=True)
class Spot:
    """An entry: its list in the file, and where it lists parts, which of them the row is for."""

    list_key: str
    node: Any
    listed: str | None = None
    part: str | None = None


def spots(file: YamlFile, table: str) -> Iterator[Spot]:
    """The entries behind the rows of a table, in the order in which rows are made of them."""
    if table == "Projects":
        yield Spot("", file.root)
    elif table == "Stock":
        for key in KINDS:
            yield from (Spot(key, node) for node in file.entries(key))
    elif table == "Consumables":
        for node in file.entries("uses"):
            listed = next((key for key in ("on", "along") if file.value(node, key)), None)
            if listed is None:
                yield Spot("uses", node)
            else:
                yield from (Spot("uses", node, listed, each) for each in file.names(node, listed))
        yield from (Spot("tools", node) for node in file.entries("tools"))
    elif table == "Marks":
        for node in file.entries("marks"):
            yield from (Spot("marks", node, "on", each) for each in file.names(node, "on"))
    else:
        yield from (Spot(LISTS[table][0], node) for node in file.entries(LISTS[table][0]))


def list_of(table: str, cells: Cells) -> str:
    """The list that a row's entry stands in."""
    if table == "Stock":
        return next(key for key, kind in KINDS.items() if kind == cells.get("kind"))
    if table == "Consumables":
        return "tools" if cells.get("tool") else "uses"
    return LISTS[table][0]


def columns_of(table: Table, cells: Cells) -> Mapping[str, tuple[str, ...]]:
    """By key of a row's entry: the columns that it is made of."""
    name = table.name
    if name == "Consumables":
        return _use_columns(cells)
    keys = _syntax(name, cells)
    found = {}
    for key in keys:
        column = _RENAMED.get((name, key.key), key.key)
        columns = _SIZES.get((name, key.key), (column,))
        if all(each in table.by_name for each in columns):
            found[key.key] = columns
    return found


def required_keys(table: Table, cells: Cells) -> tuple[str, ...]:
    """The keys that an entry must have."""
    if table.name == "Consumables":
        return tuple(_use_columns(cells))[:2]
    return tuple(key.key for key in _syntax(table.name, cells) if key.required and not key.place)


def _syntax(name: str, cells: Cells) -> tuple[Key, ...]:
    if name == "Stock":
        place = {"panels": "panel", "consumables": "consumable"}
        listed = list_of(name, cells)
        return SYNTAX[place.get(listed, listed)]
    return SYNTAX["project" if name == "Projects" else LISTS[name][1]]


def _use_columns(cells: Cells) -> Mapping[str, tuple[str, ...]]:
    basis = cells.get("basis")
    for key, (tool_basis, _) in TOOL_FORMS.items():
        if basis == tool_basis:
            return {"tool": ("tool",), key: ("amount",)}
    key, form = next(
        ((key, form) for key, form in FORMS.items() if form.basis == basis), ("", None)
    )
    found: dict[str, tuple[str, ...]] = {"stock": ("stock",), key: ("amount",)}
    if form is not None and form.listed:
        found[form.listed] = ("part",)
    if form is not None and "faces" in form.beside:
        found["faces"] = ("faces",)
    return found


def text_of(
    table: Table, key: str, columns: tuple[str, ...], cells: Cells, said: Cells, before: str | None
) -> str | None:
    """The value of a key as the file writes it."""
    if len(columns) > 1:
        return size(cells, columns, said, before)
    value = cells.get(columns[0])
    if key in _NAMES:
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
