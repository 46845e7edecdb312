"""Lists whose entries are rows: every key is a column, several, or a list that gives rows."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from notchbook.base.problems import SourceFile
from notchbook.definitions.reading.entries import Entries
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.nominal_sizes import real_sizes
from notchbook.definitions.reading.places import Found, read_place
from notchbook.definitions.reading.scalars import Scope
from notchbook.definitions.syntax.columns import LISTED, ROWS
from notchbook.merging.renames import SEPARATOR
from notchbook.sheets.kit.columns import Row, given_of
from notchbook.sheets.kit.written import Reads


def read_list_file(source: SourceFile, entries: Entries | None, known: Known) -> None:
    """Make rows of a file that holds nothing but lists; None is one that cannot be read."""
    found = None
    if entries is not None:
        found = read_place(source, entries, source.file, Scope(known.units))
    if found is None:
        known.gathered.open |= {
            table for (file, _), (table, _) in LISTED.items() if file == source.file
        }
        return
    read_lists(found, source.file, known)


def read_lists(
    found: Found, file: str, known: Known, but: Collection[str] = (), **own: object
) -> None:
    """Make rows of the lists of a file, `but` for some; each row gets the cells `own` as well."""
    for (name, key), (table, written) in LISTED.items():
        if name != file or key in but:
            continue
        if key not in found.values and (found.has(key) or written.needed):
            known.gathered.open.add(table)  # not all its rows are known
        for entry in found.each(key):
            given = {**own, **written.sets}
            if table == "Stock":
                given |= real_sizes(entry, written.sets["kind"], known.units)
            for values, written_as in rows_of(ROWS[table], entry):
                known.row(table, ROWS[table], entry, {**values, **given}, written_as)


def rows_of(row: type[Row], entry: Found) -> Iterator[tuple[dict[str, object], dict[str, str]]]:
    """Yield the cells of an entry's row by column, and the keys that they are written as.

    A key that lists names, each for a row of its own, gives several.
    """
    values: dict[str, object] = {}
    written_as: dict[str, str] = {}
    for size in row.joined:
        values |= entry.sides(size) if size.inside else entry.lengths(size.key, *size.columns)
        written_as |= dict.fromkeys(size.columns, size.key)
    apart: list[dict[str, object]] = [{}]
    for name, info in row.model_fields.items():
        given = given_of(info)
        key = given.key or info.alias or name
        if name in written_as:
            continue
        written_as[name] = key
        if given.several:
            values[name] = f"{SEPARATOR} ".join(each.text for each in entry.names(key)) or None
        elif given.reads is Reads.NAMES:
            apart = [{name: each.text} for each in entry.names(key)]
        else:
            values[name] = entry.values.get(key)
    yield from (({**values, **each}, written_as) for each in apart)
