"""Parts, surfaces laid with strips, and marks on parts."""

from __future__ import annotations

from collections.abc import Iterator

from notchbook.base.problems import quoted
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.names import KnownNames
from notchbook.definitions.reading.places import Found, Named
from notchbook.sheets.making.cut_list import CutRow
from notchbook.sheets.making.laid_surfaces import LaidRow
from notchbook.sheets.making.marks import MarkRow

WOOD = ("lumber", "panel")
_SIZE = ("thickness", "width", "length")
_STRIP = ("strip_thickness", "strip_width", "strip_length")


def read_parts(found: Found, project: str, known: Known) -> KnownNames:
    """Makes rows of the parts; returns their names."""
    names = KnownNames("part", "parts", open=found.has("parts") and "parts" not in found.values)
    for part in found.each("parts"):
        _give(part, "part", names)
        values = {
            **part.pick("part", "make", "ends", "turn"),
            **part.lengths("size", *_SIZE),
            "project": project,
            "stocks": _stocks(part, known),
        }
        written_as = {**dict.fromkeys(_SIZE, "size"), "stocks": "from"}
        known.row("Cut list", CutRow, part, values, written_as)
    return names


def read_laid(found: Found, project: str, parts: KnownNames, known: Known) -> KnownNames:
    """Makes rows of the laid surfaces; returns their names."""
    names = KnownNames("surface", "laid", open=found.has("laid") and "laid" not in found.values)
    for laid in found.each("laid"):
        _give(laid, "surface", names)
        name = laid.text("surface")
        if name is not None and name.casefold() in {part.casefold() for part in parts}:
            laid.report("surface", f"{quoted(name)} is a part too; write another name")
        values = {
            **laid.pick("surface", "pattern", "width", "height", "waste"),
            **laid.lengths("strip", *_STRIP),
            "project": project,
            "stocks": _stocks(laid, known),
        }
        written_as = {**dict.fromkeys(_STRIP, "strip"), "stocks": "from"}
        known.row("Laid surfaces", LaidRow, laid, values, written_as)
    return names


def _give(found: Found, key: str, names: KnownNames) -> None:
    name = found.text(key)
    if name is None:
        names.open = True
    elif not names.give(name, found.source, found.at(key)):
        found.whole = False


def _stocks(found: Found, known: Known) -> str:
    """The stocks a thing may be cut from, as a cell lists them; each must be boards or panels."""
    for each in found.names("from"):
        if not known.stocks.knows(each.text, "from", found.source, each.line):
            found.whole = False
            continue
        kind = known.stock_kinds[each.text]
        if kind not in WOOD:
            found.whole = False
            found.source.report(
                each.line,
                f"from: {quoted(each.text)} is {kind} and cannot be cut into parts; "
                "write lumber or a panel, and list it under uses",
            )
    return "; ".join(each.text for each in found.names("from"))


def read_marks(found: Found, project: str, parts: KnownNames, known: Known) -> None:
    """Makes a row of each mark on each part."""
    for mark in found.each("marks"):
        _check_spread(mark)
        on = list(named(mark, "on", parts))
        values = {
            **mark.pick("mark", "count", "spread", "first", "gap", "margin"),
            **mark.lengths("size", "along", "deep"),
            "project": project,
        }
        for part in on:
            written_as = {"along": "size", "deep": "size", "part": "on"}
            known.row("Marks", MarkRow, mark, {**values, "part": part.text}, written_as)


def named(found: Found, key: str, *known: KnownNames) -> Iterator[Named]:
    """The parts or surfaces that a key lists; unknown ones are reported."""
    everything = KnownNames("part", "parts or laid" if len(known) > 1 else "parts")
    everything.open = any(names.open for names in known)
    for each in found.names(key):
        if any(each.text in names for names in known):
            yield each
            continue
        found.whole = False
        pool = [name for names in known for name in names]
        everything.report_unknown(each.text, key, found.source, each.line, pool)


def _check_spread(mark: Found) -> None:
    """Each way of spacing has the keys that it needs, and no others."""
    count, spread = mark.number("count"), mark.text("spread")
    if count is None or (mark.has("spread") and spread is None):
        return
    several = count > 1
    if spread == "even" and not several:
        mark.report("spread", "one mark cannot be spread evenly; write centred, or first")
    needed, useless = {
        "even": (("margin",), ("first", "gap")),
        "centred": (("gap",) if several else (), ("first", "margin")),
        None: (("first", "gap") if several else ("first",), ("margin",)),
    }[spread]
    how = "without spread" if spread is None else f"with spread: {spread}"
    for key in needed:
        if not mark.has(key):
            mark.report(key, f"it is missing; {how}, write {' and '.join(needed)}")
    for key in useless:
        if mark.has(key):
            wanted = " and ".join(needed) or "no length"
            mark.report(key, f"it has no use {how}; write {wanted} there")
