"""The reference: every key of the files, cautions, what wood measures, every column."""

from __future__ import annotations

import difflib
import re
import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from notchbook.base.refusals import RefusedError
from notchbook.base.spelling import Spelling, spell
from notchbook.definitions.syntax.keys import Key
from notchbook.definitions.syntax.places import SYNTAX
from notchbook.measure import show_length
from notchbook.plan_views.cautions import read_cautions
from notchbook.sheets import book_for
from notchbook.sheets.kit.column_words import ColumnWords
from notchbook.sheets.kit.declare import Book, Lines, Table
from notchbook.sheets.kit.written import Reads
from notchbook.trade.nominal import list_plywood, list_softwood

_WIDTH = 80
_CAUTIONS = "cautions that a project may name; others are printed as written"
_SOFTWOOD = "what boards measure, dressed and dry, by their nominal size (PS 20)"
_PLYWOOD = "how thick plywood may be by what it is called (PS 1); measure yours"


@dataclass(frozen=True, slots=True)
class Entry:
    """What there is to know of one key, caution, column or line: where it stands, its name."""

    part: str
    place: str
    name: str
    text: str

    def lines(self) -> list[str]:
        """Return the entry in lines of at most 80 letters."""
        text = f"{self.name}: {spell(self.text, Spelling.AMERICAN)}"
        return textwrap.wrap(text, _WIDTH, initial_indent="  ", subsequent_indent="      ")


def reference_text() -> str:
    """All keys, cautions and columns, in lines of at most 80 letters."""
    return "\n\n".join(
        "\n\n".join([part, *_under_places(entries)])
        for part, entries in groupby(_entries(), key=lambda entry: entry.part)
    )


def reference_of(word: str) -> str:
    """Those keys, cautions and columns whose name holds a word; else those whose text does.

    Raises RefusedError with the nearest names where there is none.
    """
    entries, wanted = list(_entries()), word.casefold().strip()
    about = re.compile(rf"\b{re.escape(wanted)}")
    named = [each for each in entries if about.search(_plain(f"{each.name} / {each.place}"))]
    found = named or [each for each in entries if about.search(_plain(each.text))]
    if not found:
        names = dict.fromkeys(each.name.casefold().strip() for each in entries)
        near = difflib.get_close_matches(wanted, names, 5, 0.6)
        hint = f"; nearest: {', '.join(near)}" if near else "; `notchbook reference` has all"
        raise RefusedError(f"nothing in the reference is about {word!r}{hint}")
    return "\n\n".join(_under_places(found))


def _plain(text: str) -> str:
    """Return a text as it is looked for: `labor_rate` is labor rate, too."""
    folded = text.casefold()
    return f"{folded} / {folded.replace('_', ' ')}"


def _under_places(entries: Iterable[Entry]) -> Iterator[str]:
    for place, those in groupby(entries, key=lambda entry: entry.place):
        told = dict.fromkeys(those)  # Start repeats its lines
        yield "\n".join([place, *(line for entry in told for line in entry.lines())])


def _entries() -> Iterator[Entry]:
    for place, keys in SYNTAX.items():
        for key in keys:
            needed = "" if key.required else "optional; "
            text = f"{needed}{key.meaning}; {_written(key)}"
            yield Entry("DEFINITION FILES", place, key.key, text)
    for name, sentence in read_cautions(Spelling.AMERICAN).items():
        yield Entry("CAUTIONS", _CAUTIONS, name, sentence)
    yield from _sizes()
    yield from _columns(book_for(spelling=Spelling.AMERICAN))


def _written(key: Key) -> str:
    """How a value is written: the words to choose from, or what it is with an example."""
    if key.choices:
        return " | ".join(dict.fromkeys(spell(word, Spelling.AMERICAN) for word in key.choices))
    if key.reads in (Reads.PLACE, Reads.PLACES, Reads.YES) or "such as" in key.reads.value:
        return str(key.reads.value)
    return f"{key.reads.value}, such as {key.example}"


def _sizes() -> Iterator[Entry]:
    for name, (inches, mm) in list_softwood().items():
        real = " x ".join(show_length(each, "inch") for each in inches)
        metric = " x ".join(show_length(each, "mm") for each in mm)
        yield Entry("SIZES", _SOFTWOOD, name, f"{real} in, {metric} mm")
    for category, (least, most) in list_plywood().items():
        name = f"plywood {show_length(category, 'inch')}"
        text = f"from {float(least):.3f} to {float(most):.3f} in"
        yield Entry("SIZES", _PLYWOOD, name, text)


def _columns(book: Book) -> Iterator[Entry]:
    told, part = ColumnWords(book, "inch"), "SHEETS"
    for sheet in book.sheets:
        for block in sheet.blocks:
            if isinstance(block, Table):
                for column in block.columns:
                    header = column.header.format(**told.unit_words)
                    yield Entry(part, sheet.name, header, told.note(block, column))
                    for fault in column.faults:
                        yield Entry(part, sheet.name, "  fault", told.fault(block, fault))
            elif isinstance(block, Lines):
                for row in block.rows:
                    for cell in row.cells[:1]:
                        note = told.line_note(cell, row.note)
                        yield Entry(part, sheet.name, row.label, note)
