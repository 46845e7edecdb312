"""ledgers/*.csv: what was sold, bought, made, driven and counted."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence

from notchbook.base.problems import SourceFile, closest, nearest, quoted
from notchbook.definitions.reading.entries import Scalar
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.places import Found
from notchbook.definitions.reading.scalars import Scope, read_scalar
from notchbook.definitions.syntax.columns import LEDGER_FILES, ledger_header
from notchbook.definitions.syntax.keys import Key
from notchbook.definitions.syntax.places import SYNTAX
from notchbook.measure import Units
from notchbook.sheets.kit.written import Reads


def read_ledger(source: SourceFile, file: str, text: str, known: Known) -> None:
    """Makes rows of a ledger; every fault is reported."""
    records = _records(source, text)
    line, header = next(records, (1, []))
    columns = _columns(source, file, line, header, known.units)
    if columns is None:
        return
    table, model = LEDGER_FILES[file]
    for line, cells in records:
        found = _row(source, file, line, dict(_placed(source, line, columns, cells)), known)
        known.row(table, model, found, found.values)


def _records(source: SourceFile, text: str) -> Iterator[tuple[int, list[str]]]:
    """The lines that hold anything, each with the number of its first line."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            source.report(
                line,
                f"this cannot be read as CSV ({error}); look at the quotation marks from here on",
            )
            return
        if any(cell.strip() for cell in cells):
            yield line, cells


def _columns(
    source: SourceFile, file: str, line: int, header: Sequence[str], units: Units
) -> list[Key] | None:
    """The columns in the file's order; None, with reasons reported, where the header is wrong."""
    known = dict(zip(ledger_header(file, units), SYNTAX[file], strict=True))
    written = [name.strip() for name in header]
    if len(written) == 1 and any(sign in written[0] for sign in ";\t"):
        source.report(line, "the columns are not parted by commas; save the file with commas")
        return None
    meant = {closest(name, known) for name in written if name not in known}
    faults = [
        *(
            f"{quoted(name)} is not a column here{nearest(name, known)}; "
            f"write one of {', '.join(known)}"
            for name in written
            if name not in known
        ),
        *(
            f"the column {quoted(name)} stands twice; keep one of them"
            for name in dict.fromkeys(written)
            if written.count(name) > 1
        ),
        *(
            f"the column {name} is missing; write {name} in the header row ({key.meaning})"
            for name, key in known.items()
            if key.required and name not in written and name not in meant
        ),
    ]
    for fault in faults:
        source.report(line, fault)
    return None if faults else [known[name] for name in written]


def _placed(
    source: SourceFile, line: int, columns: Sequence[Key], cells: Sequence[str]
) -> Iterator[tuple[Key, str]]:
    """The cells under their columns; what stands beyond the last column is reported."""
    if any(cell.strip() for cell in cells[len(columns) :]):
        source.report(
            line,
            f"there are {len(cells)} cells under {len(columns)} columns; put text with a comma "
            "into quotation marks",
        )
        return
    yield from zip(columns, cells, strict=False)


def _row(source: SourceFile, file: str, line: int, cells: Mapping[Key, str], known: Known) -> Found:
    found = Found(source, file, line, Scope(known.units), whole=bool(cells))
    for key in SYNTAX[file] if cells else ():
        written = cells.get(key, "").strip()
        if written:
            _read_cell(found, key, Scalar(written, line, quoted=True))
        elif key.required:
            found.report(key.key, f"the cell is empty; write a value such as {key.example}")
    return found


def _read_cell(found: Found, key: Key, cell: Scalar) -> None:
    found.lines[key.key] = cell.line
    if key.reads is Reads.WORD:  # one that is not listed counts all the same; the door names it
        found.values[key.key] = cell.text.strip()
        return
    try:
        found.values[key.key] = read_scalar(key, cell, found.scope)
    except ValueError as error:
        found.report(key.key, str(error))
