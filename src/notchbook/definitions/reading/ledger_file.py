"""ledgers/*.csv: what was sold, bought, made, driven and counted."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from notchbook.base.problems import SourceFile, closest, nearest, quoted
from notchbook.definitions.reading.entries import Scalar
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.names import KnownNames
from notchbook.definitions.reading.places import Found
from notchbook.definitions.reading.scalars import Scope, read_scalar
from notchbook.definitions.syntax.columns import LEDGERS
from notchbook.definitions.syntax.keys import Key
from notchbook.definitions.syntax.places import SYNTAX


def read_ledger(source: SourceFile, file: str, text: str, known: Known) -> None:
    """Makes rows of a ledger; every fault is reported."""
    records = _records(source, text)
    line, header = next(records, (1, []))
    columns = _columns(source, file, line, header)
    if columns is None:
        return
    table, model = LEDGERS[file]
    for line, cells in records:
        found = _row(source, file, line, dict(_placed(source, line, columns, cells)), known)
        _check_names(found, known)
        _check_row(found, file)
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


def _columns(source: SourceFile, file: str, line: int, header: Sequence[str]) -> list[Key] | None:
    """The columns in the file's order; None, with reasons reported, where the header is wrong."""
    known = {key.key: key for key in SYNTAX[file]}
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
    try:
        found.values[key.key] = read_scalar(key, cell, found.scope)
    except ValueError as error:
        found.report(key.key, str(error))


def _check_names(found: Found, known: Known) -> None:
    kinds: Mapping[str, KnownNames] = {
        "project": known.projects,
        "tier": known.tiers,
        "stock": known.stocks,
        "tool": known.tools,
        "channel": known.channels,
    }
    for key, names in kinds.items():
        known.refers(found, key, names)


def _check_row(found: Found, file: str) -> None:
    """What the cells of a row must be to one another."""
    if not found.whole:
        return
    if file == "sales.csv":
        _check_sale(found)
    elif file == "counts.csv" and found.has("stock") is found.has("project"):
        found.report("stock", "a count is of one thing; write a stock or a project, one of the two")
    elif file == "production.csv":
        made, spoiled = found.number("made"), found.number("spoiled")
        if made is not None and spoiled is not None and spoiled > made:
            found.report("spoiled", f"{spoiled:g} is more than was made; write at most {made:g}")
    elif file == "statements.csv":
        first, last = found.values.get("from"), found.values.get("to")
        if isinstance(first, date) and isinstance(last, date) and last < first:
            found.report("to", f"{last} is before from ({first}); write a day after it")


def _check_sale(found: Found) -> None:
    quantity = found.number("quantity") or 0.0
    returned = found.text("kind") == "return"
    if returned and quantity >= 0:
        found.report("quantity", f"{quantity:g} pieces cannot be returned; write it below zero")
    elif not returned and quantity <= 0:
        found.report(
            "quantity", f"{quantity:g} pieces cannot be sold; write more than 0, or kind return"
        )
