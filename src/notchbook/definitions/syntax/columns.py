"""Keys made of what row models say of their columns, and which tables there are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from notchbook.definitions.syntax.keys import Key, listed
from notchbook.measure import UNIT_WORDS, Units
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, given_of
from notchbook.sheets.kit.discovery import row_tables
from notchbook.sheets.kit.values import look_of, reads_of, words_of
from notchbook.sheets.kit.written import EXAMPLES, PROJECT, Joined, Reads, Written
from notchbook.sheets.making.waiting_cuts import WaitingCutRow

ROWS: Mapping[str, type[Row]] = {
    table.name: table.row for table in row_tables() if table.row is not None
}
"""By table: what its rows are made of, in the order of their sheets."""
LEDGERS: Mapping[str, tuple[str, type[Row]]] = {
    written.file: (table, row)
    for table, row in ROWS.items()
    for written in row.written
    if written.is_ledger
}
"""By file: the table it fills, and what a row of it is."""
WAITING = "waiting cuts"
LEDGER_FILES: Mapping[str, tuple[str, type[Row]]] = {
    **LEDGERS,
    **{written.file: (WAITING, WaitingCutRow) for written in WaitingCutRow.written},
}
"""The ledgers and, of no table of a sheet, the cuts that the year before left waiting."""
FOR_OTHERS = (
    *("slips-by-line.csv", "slips-without-receipt.csv", "assets.csv"),
    *("costs.csv", "used.csv", "accounts.csv"),
)
"""What the command ledgers writes beside the ledgers, which no shop reads."""
LISTED: Mapping[tuple[str, str], tuple[str, Written]] = {
    (written.file, written.listed): (table, written)
    for table, row in ROWS.items()
    for written in row.written
    if written.listed
}
"""By file and the key of a list in it: the table that it fills."""
_UNITS = {
    name: f"{words['inch']} ({words['mm']} in an mm shop)" for name, words in UNIT_WORDS.items()
}


def lists_in(file: str) -> tuple[Key, ...]:
    """The lists of a file whose entries are rows of tables."""
    return tuple(
        listed(written.listed, written.entry, written.meaning, written.needed)
        for (name, _), (_, written) in LISTED.items()
        if name == file
    )


def ledger_header(file: str, units: Units) -> tuple[str, ...]:
    """The columns of a ledger's file, as a shop with these units writes them."""
    _, row = LEDGER_FILES[file]
    written = row.written[0]
    others = written.in_mm if units == "mm" else {}
    return tuple(others.get(key.key, key.key) for key in keys_of(row, written))


def keys_of(row: type[Row], written: Written) -> tuple[Key, ...]:
    """The keys of an entry, or of a line of a ledger, in the order of the sheet's columns."""
    return tuple(_keys(row, written))


def _keys(row: type[Row], written: Written) -> Iterator[Key]:
    joined = {name: each for each in row.joined for name in each.columns}
    for name in row.model_fields:
        if name in joined:
            if name == joined[name].columns[0]:
                yield _size(row, joined[name])
        elif (
            name not in written.without and name not in written.sets and not _of_file(name, written)
        ):
            yield key_of(row, name, written)


def _of_file(name: str, written: Written) -> bool:
    """The project that an entry belongs to is that of its file."""
    return written.file == PROJECT and bool(written.listed) and name == PROJECT


def _size(row: type[Row], joined: Joined) -> Key:
    required = row.model_fields[joined.columns[0]].is_required()
    place = joined.key if joined.inside else ""
    return Key(joined.key, joined.reads, joined.meaning, joined.example, required, place=place)


def places_of(row: type[Row]) -> dict[str, tuple[Key, ...]]:
    """The places inside the keys of an entry, and the keys that may stand there."""
    return {
        joined.key: tuple(key_of(row, name) for name in joined.columns)
        for joined in row.joined
        if joined.inside
    }


def key_of(model: type[BaseModel], name: str, written: Written | None = None) -> Key:
    """The key that a column is written as."""
    info, at = model.model_fields[name], written or Written("")
    given, words = given_of(info), words_of(info)
    reads = at.reads.get(name) or given.reads or _reads(given, info)
    meaning = f"true: {given.note}" if reads is Reads.YES else given.note
    if name in at.in_mm:
        meaning += f"; named {at.in_mm[name]} in an mm shop"
    instead = "" if given.needed else given.blank or _default(given, info)
    if instead:
        meaning += f"; else {instead}"
    return Key(
        given.key or info.alias or name,
        reads,
        meaning.format(**_UNITS),
        at.examples.get(name) or example_of(given, reads) or words[0],
        given.needed or name in at.asks or (info.is_required() and not given.blank),
        words if reads is Reads.WORD else (),
    )


def _default(given: Given, info: FieldInfo) -> str:
    """The value that a column has where its key is left out, as a file would write it."""
    if info.is_required() or info.default is None:
        return ""
    if (given.look or look_of(info)) is show.PERCENT and info.default:
        return f"{info.default:.0%}"
    return f"{info.default:g}" if isinstance(info.default, int | float) else str(info.default)


def _reads(given: Given, info: FieldInfo) -> Reads:
    if given.several:
        return Reads.NAMES if given.refers else Reads.TEXTS
    return reads_of(info)


def example_of(given: Given, reads: Reads) -> str:
    """What a column's value looks like: its own example, that of the name it refers to, any."""
    table, _, column = given.refers.partition(".")
    if given.example or table not in ROWS:
        return given.example or EXAMPLES.get(reads, "")
    return example_of(given_of(ROWS[table].model_fields[column]), reads)
