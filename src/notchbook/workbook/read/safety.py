"""What is looked at before a maker's file is opened: is it free, whole, and safe to read?"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Collection, Iterator
from pathlib import Path
from xml.etree import ElementTree

from notchbook.base.refusals import RefusedError
from notchbook.base.replace_file import stands
from notchbook.workbook.file.drawings import drawn_by_others

MOST_BYTES = 400_000_000
"""Unpacked; a year of a busy shop takes a twentieth of it."""
MOST_TIMES = 250  # unpacked over packed; text in cells packs thirty to one
_ANY_TIMES = 5_000_000  # bytes of a part that may be packed however well
_OLD_OFFICE = bytes.fromhex("d0cf11e0a1b11ae1")  # also what encrypted workbooks are wrapped in
_STRICT = b"http://purl.oclc.org/ooxml/spreadsheetml/main"  # its namespace
_HEAD = 2_000  # bytes, in which a part says what it is
_NEEDED = ("[Content_Types].xml", "xl/workbook.xml")


def refuse_if_open(path: Path) -> None:
    """Looks for the lock files that spreadsheet programs leave beside a file they have open.

    Raises RefusedError.
    """
    lock = lock_file(path)
    if lock is not None:
        raise RefusedError(
            f"{path.name} is open in a spreadsheet program ({lock} lies there); save and close it"
            " there, or delete that file if none has it open"
        )


def lock_file(path: Path) -> Path | None:
    """The lock file beside a workbook, or beside the one that it is a link to."""
    for file in (path, path.resolve()):
        for name in (f".~lock.{file.name}#", f"~${file.name}"):
            if (lock := file.with_name(name)).exists():
                return lock
    return None


def read_package(path: Path) -> bytes:
    """The bytes of a workbook that is safe to open.

    Raises RefusedError for what is no workbook, cut off, encrypted, or blown up.
    """
    if stands(path) and path.stat().st_size > MOST_BYTES:
        raise RefusedError(f"{path.name} is too large for a shop's workbook")
    data = path.read_bytes()
    if data.startswith(_OLD_OFFICE):
        raise RefusedError(
            f"{path.name} is encrypted or in an old format; save it as .xlsx without a password"
        )
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as package:
            _look_inside(path.name, package)
    except (zipfile.BadZipFile, EOFError, NotImplementedError, zlib.error) as error:
        raise RefusedError(
            f"{path.name} is no workbook, or only part of one ({error}); take the newest from"
            " backups, or move it away"
        ) from None
    return data


def _look_inside(name: str, package: zipfile.ZipFile) -> None:
    entries = package.infolist()
    unpacked = sum(entry.file_size for entry in entries)
    blown_up = any(
        entry.file_size > max(_ANY_TIMES, MOST_TIMES * entry.compress_size) for entry in entries
    )
    if unpacked > MOST_BYTES or blown_up:
        raise RefusedError(f"{name} unpacks to {unpacked:,} bytes, too much for a shop's workbook")
    if any(entry.flag_bits & 1 for entry in entries):
        raise RefusedError(f"{name} is encrypted; save it without a password")
    if "mimetype" in package.namelist():
        raise RefusedError(
            f"{name} is in the OpenDocument format, whatever its name says; in the spreadsheet"
            " program, save it as an .xlsx workbook"
        )
    for needed in _NEEDED:
        if needed not in package.namelist():
            raise RefusedError(f"{name} is no workbook: it has no {needed}")
    if _STRICT in package.read("xl/workbook.xml")[:_HEAD]:
        raise RefusedError(
            f"{name} is in the strict form of .xlsx, which is not read; in the spreadsheet program,"
            " save it as an ordinary .xlsx workbook (not Strict Open XML)"
        )
    broken = package.testzip()
    if broken is not None:
        raise RefusedError(f"{name} is damaged in {broken}; take the newest from backups")
    for entry in entries:
        if entry.filename.endswith((".xml", ".rels")):
            with package.open(entry) as part:
                if b"<!DOCTYPE" in part.read(_HEAD):
                    raise RefusedError(f"{name} holds a document type in {entry.filename}")


def damaged_part(data: bytes) -> str:
    """Say which part of a package cannot be read, as far as that can be told."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        for name in package.namelist():
            if name.endswith((".xml", ".rels")):
                try:
                    ElementTree.fromstring(package.read(name))
                except (ElementTree.ParseError, LookupError, ValueError):
                    return f"its part {name} is damaged"
    return "one of its parts holds what no spreadsheet program writes"


_PARTS: tuple[tuple[str, str], ...] = (
    (r"xl/vbaProject", "macros"),
    (r"xl/(macrosheets|dialogsheets)/", "macro or dialog sheets"),
    (r"xl/chartsheets/", "chart sheets"),
    (r"xl/pivot(Tables|Cache)/", "pivot tables"),
    (r"xl/slicers?/|xl/slicerCaches/", "slicers"),
    (r"xl/timelines?/|xl/timelineCaches/", "timelines"),
    (r"xl/threadedComments/", "threaded comments"),
    (r"xl/externalLinks/", "links to other workbooks"),
    (r"xl/(ctrlProps|activeX)/", "buttons and other controls"),
    (r"xl/embeddings/", "embedded objects"),
    (r"xl/diagrams/", "diagrams"),
    (r"xl/(metadata\.xml|richData/)", "formulas that fill several cells"),
    (r"xl/(connections\.xml|queryTables/)", "data connections"),
    (r"xl/model/", "a data model"),
)
_IN_SHEETS: tuple[tuple[bytes, str], ...] = (
    (rb"<(\w+:)?sparklineGroup[ >]", "sparklines"),
    (rb"<x14:conditionalFormatting[ >]", "conditional formats of the newer kind"),
    (rb"<x14:dataValidation[ >]", "drop-downs that point to another sheet"),
    (rb"<scenarios[ >]", "scenarios"),
    (rb"<oleObjects?[ >]", "embedded objects"),
    (rb"<legacyDrawingHF[ >]", "pictures in page headers"),
    (rb"<picture[ >]", "pictures behind cells"),
)
_SHAPE = re.compile(rb"<xdr:(sp|cxnSp|grpSp)[ >]")
_WORDS = re.compile(rb"<a:t>([^<]{1,60})")
_CONTROL = re.compile(rb'ObjectType="(?!Note)(\w+)"')


def not_carried(data: bytes, charts: Collection[frozenset[str]] = ()) -> list[str]:
    """What the package holds that a compile cannot carry into the new one, in a maker's words."""
    found: dict[str, None] = {}
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        for name in package.namelist():
            for pattern, what in _PARTS:
                if re.match(pattern, name):
                    found[what] = None
            for what in _in_part(name, package):
                found[what] = None
        found |= dict.fromkeys(drawn_by_others(package, charts))
    return list(found)


def _in_part(name: str, package: zipfile.ZipFile) -> Iterator[str]:
    if name.startswith("xl/worksheets/sheet"):
        data = package.read(name)
        yield from (what for pattern, what in _IN_SHEETS if re.search(pattern, data))
    elif name.startswith("xl/drawings/drawing"):
        data = package.read(name)
        if _SHAPE.search(data):
            words = b" ".join(_WORDS.findall(data)).decode("utf-8", "replace")
            yield "shapes" + (f" ({words[:60]})" if words else "")
    elif name.endswith(".vml"):
        yield from (f"controls ({kind.decode()})" for kind in _CONTROL.findall(package.read(name)))
