"""Settings of the workbook written into shop.yaml."""

from __future__ import annotations

from notchbook.definitions.editing.edits import YamlFile
from notchbook.definitions.editing.writing import entry, sides, written
from notchbook.definitions.syntax.places import SYNTAX
from notchbook.gathering import OF_THE_FILES, SETTINGS, Gathered
from notchbook.merging.cells import Cells, same
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.kit.setting_keys import INSIDE, Inside
from notchbook.sheets.kit.written import Joined, Reads


def edit_settings(file: YamlFile, gathered: Gathered, book: Book) -> None:
    """Writes the single values that are others in the workbook."""
    said, cells = gathered.sides_by_side[SETTINGS].pairs[0]
    assert said is not None
    assert cells is not None
    looks = book.lines[SETTINGS].cells
    new: dict[str, dict[str, str | None]] = {}
    for name, value in cells.items():
        place = setting_place(name)
        if same(value, said.get(name)) or place is None:
            continue
        if place in INSIDE and INSIDE[place].bare:
            file.set(file.root, place, _sides(INSIDE[place], cells))
            continue
        inside = file.root if place == "shop.yaml" else file.value(file.root, place)
        if inside is None:
            new.setdefault(place, {})[name] = written(value, looks[name].look, name)
        else:
            before = file.written(inside, name)
            file.set(inside, name, written(value, looks[name].look, name, before))
    for place, keys in new.items():
        file.set(file.root, place, entry(keys))


def _sides(its: Inside, cells: Cells) -> str | None:
    """Lengths inside a key as the file writes them."""
    return sides(cells, Joined("", its.columns, "", "", tuple(its.keys.values()), 1))


def setting_place(name: str) -> str | None:
    """The place of shop.yaml in which a setting stands, None for those that only sheets have."""
    if name in OF_THE_FILES:
        return None
    for place, its in INSIDE.items():
        if its.bare and name in its.columns:
            return place
    inner = [key.place for key in SYNTAX["shop.yaml"] if key.reads is Reads.PLACE]
    places = ("shop.yaml", *inner)
    return next((each for each in places if any(k.key == name for k in SYNTAX[each])), None)
