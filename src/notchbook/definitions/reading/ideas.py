"""ideas.yaml: rows of Ideas, of Idea cuts, and of Seen prices.

Decisions:

- A price with its day is a row of Seen prices; the one without is the price in the idea's own row,
  so that each place of the workbook has one in the file.
- What is reckoned by eye fills the three pairs of the row, wood before other stock; what is beyond
  them or says `apart`, and all pieces with a size, are rows of Idea cuts.
"""

from __future__ import annotations

from collections.abc import Iterator

from notchbook.base.problems import SourceFile
from notchbook.definitions.reading.entries import Entries
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.lists import rows_of
from notchbook.definitions.reading.places import Found, read_place
from notchbook.definitions.reading.scalars import Scope
from notchbook.sheets.making.idea_cuts import SIZE, IdeaCutRow
from notchbook.sheets.making.ideas import PAIRS, IdeaRow
from notchbook.sheets.making.seen_prices import SeenRow

_TABLES = ("Ideas", "Idea cuts", "Seen prices")


def read_ideas(source: SourceFile, entries: Entries | None, known: Known) -> None:
    """Make rows of the file; None is one that cannot be read."""
    found = entries and read_place(source, entries, source.file, Scope(known.units))
    if not found or (found.has("ideas") and "ideas" not in found.values):
        known.gathered.open.update(_TABLES)
        return
    for idea in found.each("ideas"):
        _read_idea(idea, known)


def _read_idea(idea: Found, known: Known) -> None:
    name = idea.text("idea")
    own: dict[str, object] = {}
    written_as: dict[str, str] = {}
    for seen in idea.each("seen"):
        if not seen.has("on") and "price" not in own:
            own |= {"price": seen.values.get("price"), "seen_at": seen.text("where")}
            written_as |= dict.fromkeys(own, "seen")
        elif name:
            _read_seen(seen, name, known)
    by_eye = [*_boards(idea), *_uses(idea)]
    by_eye.sort(key=lambda each: each[0].has("apart"))
    in_row = min(len(PAIRS), sum(not each[0].has("apart") for each in by_eye))
    within: dict[str, Found] = {}
    for pair, (entry, stock, amount) in zip(PAIRS, by_eye[:in_row], strict=False):
        own |= dict(zip(pair, (stock, amount), strict=True))
        within |= dict.fromkeys(pair, entry)
        keys_of_pair = ("stock", "each") if entry.has("stock") else ("from", "boards")
        written_as |= dict(zip(pair, keys_of_pair, strict=True))
    if name is None:
        known.gathered.open.update(_TABLES)
    ((values, keys),) = rows_of(IdeaRow, idea)
    written_as = {**keys, **written_as}
    known.row("Ideas", IdeaRow, idea, {**values, **own}, written_as, within=within)
    for found, stock, amount in by_eye[in_row:]:
        cells = {"idea": name, "stock": stock, "amount": amount}
        known.row("Idea cuts", IdeaCutRow, found, cells, _keys(found))
    for cut in idea.each("cuts"):
        if cut.has("size") or not cut.has("boards"):
            _read_pieces(cut, name, known)


def _read_seen(seen: Found, name: str, known: Known) -> None:
    for key, example in (("on", "2026-08-01"), ("where", "home store")):
        if not seen.has(key):
            seen.whole = False
            why = "there is one price without a day already; " if key == "on" else ""
            seen.source.report(seen.line, f"{key} is missing; {why}write {key}: {example}")
    known.row("Seen prices", SeenRow, seen, {**seen.values, "project": name})


def _boards(idea: Found) -> Iterator[tuple[Found, object, object]]:
    """The wood that is reckoned by eye: where it stands, the stock, how many boards."""
    for cut in idea.each("cuts"):
        if not cut.has("boards"):
            continue
        for other in ("make", "size"):  # which are for pieces
            if cut.has(other):
                cut.report(other, "it stands beside boards; write boards alone, or make and size")
        yield cut, cut.text("from"), cut.number("boards")


def _uses(idea: Found) -> Iterator[tuple[Found, object, object]]:
    for use in idea.each("uses"):
        yield use, use.text("stock"), use.number("each")


def _read_pieces(cut: Found, name: str | None, known: Known) -> None:
    """Make a row of pieces with their size."""
    for key, example in (("make", "5"), ("size", "3/8 x 1 x 9")):
        if not cut.has(key):
            cut.whole = False
            other = "" if cut.has("make") or cut.has("size") else ", or boards: 1/2 by eye"
            cut.source.report(cut.line, f"{key} is missing; write {key}: {example}{other}")
            if other:
                break
    cells = {"idea": name, "stock": cut.text("from"), "amount": cut.values.get("make")}
    known.row("Idea cuts", IdeaCutRow, cut, cells | cut.lengths("size", *SIZE), _keys(cut))


def _keys(found: Found) -> dict[str, str]:
    """The keys that the cells of an entry of `cuts` or `uses` are written as."""
    if found.has("stock"):
        return {"amount": "each"}
    by_eye = {"stock": "from", "amount": "boards" if found.has("boards") else "make"}
    return by_eye | dict.fromkeys(SIZE, "size")
