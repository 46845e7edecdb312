"""The keys of shop.yaml, stock.yaml, tools.yaml and other files of lists."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from notchbook.definitions.syntax.columns import LISTED, ROWS, key_of, keys_of, lists_in
from notchbook.definitions.syntax.keys import Key, inside
from notchbook.sheets.kit.setting_keys import INSIDE, NOT_IN_FILES
from notchbook.sheets.kit.shop_settings import ShopSettings
from notchbook.sheets.kit.written import PROJECT, Reads

SHOP_FILE = "shop.yaml"
LIST_FILES = tuple(dict.fromkeys(file for file, _ in LISTED if file not in (SHOP_FILE, PROJECT)))
"""Files that hold lists of rows and nothing else."""


def _settings() -> tuple[Key, ...]:
    """The single values of the file itself, and the keys that hold others."""
    within = {name: place for place, names in INSIDE.items() for name in names.columns}
    found: dict[str, Key] = {}
    for name in ShopSettings.model_fields:
        place = within.get(name)
        if place is not None:
            found[place] = _holding(place)
        elif name not in NOT_IN_FILES:
            found[name] = key_of(ShopSettings, name)
    return tuple(found.values())


def _holding(place: str) -> Key:
    """The key that holds those of a place, or a bare length."""
    its = INSIDE[place]
    if its.bare:
        first = key_of(ShopSettings, its.columns[0])
        return replace(
            first, key=place, reads=Reads.SIDES, meaning=its.meaning, place=place, required=False
        )
    return inside(place, place, its.meaning, its.needed)


SHOP_SYNTAX: Mapping[str, tuple[Key, ...]] = {
    SHOP_FILE: (*_settings(), *lists_in(SHOP_FILE)),
    **{
        place: tuple(key_of(ShopSettings, name) for name in names.columns)
        for place, names in INSIDE.items()
    },
    **{
        place: keys
        for file in (SHOP_FILE, *LIST_FILES)
        for place, keys in (
            *([(file, lists_in(file))] if file != SHOP_FILE else ()),
            *(
                (written.entry, keys_of(ROWS[table], written))
                for (name, _), (table, written) in LISTED.items()
                if name == file
            ),
        )
    },
}
