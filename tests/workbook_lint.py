"""What a workbook must never hold: a lint over the saved file, by rule."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.formula import Tokenizer
from openpyxl.utils import range_boundaries

from notchbook.language.formula import ALLOWED_FUNCTIONS
from notchbook.measure import CONVERSIONS

from .engines import ERRORS

Finding = tuple[str, str]
HEADER = re.compile(r"[A-Za-z0-9 ()]+")
NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_.]*")
LIKE_A_CELL = re.compile(r"[A-Za-z]{1,3}[0-9]+|[RrCc]|[Rr][0-9]*[Cc][0-9]*")
NUMBERS = {"0", "1"} | {str(n) for by_unit in CONVERSIONS.values() for n in by_unit.values()}
HIDDEN = "As compiled"  # the one sheet that is, as Start says
DIGITS_OF = ("ROUND(", "ROUNDUP(", "ROUNDDOWN(")
VOLATILE = {"TODAY", "NOW", "RAND", "RANDBETWEEN", "OFFSET", "INDIRECT", "INFO", "CELL"}


def lint(path: Path) -> list[Finding]:
    """Every finding as (rule, where and what)."""
    book = load_workbook(path)
    values = load_workbook(path, data_only=True)
    return [
        *_sheets(book),
        *_names(book),
        *(found for sheet in book.worksheets for found in _tables(sheet, book)),
        *(found for sheet in book.worksheets for found in _validations(sheet, book)),
        *(found for sheet in book.worksheets for found in _looks(sheet)),
        *(
            found
            for sheet in book.worksheets
            for found in _cells(sheet, values[str(sheet.title)], book)
        ),
    ]


def _sheets(book: Any) -> Iterator[Finding]:
    seen = set()
    for name in book.sheetnames:
        if len(name) > 31 or re.search(r"[\[\]:*?/\\]", name):
            yield "sheet name", name
        if name.lower() in seen:
            yield "sheet twice", name
        seen.add(name.lower())


def _names(book: Any) -> Iterator[Finding]:
    tables = {table.displayName.lower() for ws in book.worksheets for table in ws.tables.values()}
    for name, defined in book.defined_names.items():
        if not NAME.fullmatch(name) or LIKE_A_CELL.fullmatch(name):
            yield "defined name", name
        if name.lower() in tables:
            yield "name is a table", name
        sheet = defined.attr_text.rsplit("!", 1)[0].strip("'").replace("''", "'")
        if sheet not in book.sheetnames or "#REF" in defined.attr_text:
            yield "name points nowhere", f"{name} = {defined.attr_text}"


Area = tuple[int, int, int, int]  # left, top, right, bottom


def bounds(ref: str) -> Area:
    """The corners of a range with both ends given."""
    left, top, right, bottom = range_boundaries(ref)
    assert None not in (left, top, right, bottom), ref
    return int(left or 0), int(top or 0), int(right or 0), int(bottom or 0)


def _tables(sheet: Any, book: Any) -> Iterator[Finding]:
    everywhere = [t.displayName.lower() for ws in book.worksheets for t in ws.tables.values()]
    areas: list[Area] = []
    for table in sheet.tables.values():
        name = table.displayName
        if not NAME.fullmatch(name) or LIKE_A_CELL.fullmatch(name):
            yield "table name", name
        if everywhere.count(name.lower()) > 1:
            yield "table twice", name
        if table.totalsRowCount or table.totalsRowShown:
            yield "totals row", name
        if any(column.calculatedColumnFormula for column in table.tableColumns):
            yield "calculated column", name
        area = bounds(table.ref)
        if area[3] <= area[1]:
            yield "table without rows", name
        yield from _headers(sheet, table, area)
        if any(_overlap(area, other) for other in areas):
            yield "tables overlap", name
        areas.append(area)
    if sheet.auto_filter.ref:
        yield "sheet filter", sheet.title
    if sheet.merged_cells.ranges:
        yield "merged cells", sheet.title


def _headers(sheet: Any, table: Any, area: Area) -> Iterator[Finding]:
    left, top, right, _ = area
    heads = [column.name for column in table.tableColumns]
    cells = [sheet.cell(top, column).value for column in range(left, right + 1)]
    if heads != cells:
        yield "header is not its cell", f"{table.displayName}: {heads} {cells}"
    if len({str(head).lower() for head in heads}) < len(heads):
        yield "header twice", table.displayName
    for head in heads:
        if not HEADER.fullmatch(str(head)):
            yield "header letters", f"{table.displayName}: {head}"


def _overlap(one: Area, other: Area) -> bool:
    apart = one[2] < other[0] or one[0] > other[2] or one[3] < other[1] or one[1] > other[3]
    return not apart


def _validations(sheet: Any, book: Any) -> Iterator[Finding]:
    for rule in sheet.data_validations.dataValidation:
        where = f"{sheet.title} {rule.sqref}"
        if not rule.showErrorMessage:
            yield "validation not enforced", where
        if len(rule.error or "") > 255 or len(rule.prompt or "") > 255:
            yield "validation message", where
        if len(rule.errorTitle or "") > 32 or len(rule.promptTitle or "") > 32:
            yield "validation title", where
        source = str(rule.formula1 or "")
        if source.startswith("=") or "[" in source:
            yield "validation formula", where
        if rule.type == "list":
            literal = source.startswith('"')
            if literal and len(source) > 257:
                yield "list too long", where
            if not literal and source not in book.defined_names:
                yield "list source", f"{where}: {source}"
    for area in sheet.conditional_formatting:
        for rule in area.rules:
            if any(str(text).startswith("=") for text in rule.formula):
                yield "condition formula", f"{sheet.title} {area.sqref}"


def _looks(sheet: Any) -> Iterator[Finding]:
    for part in (sheet.oddHeader, sheet.oddFooter):
        if (
            len("".join(str(piece.text or "") for piece in (part.left, part.center, part.right)))
            > 250
        ):
            yield "footer too long", sheet.title
    if sheet.sheet_state != ("veryHidden" if sheet.title == HIDDEN else "visible"):
        yield "hidden sheet", sheet.title
    for letter, dimension in sheet.column_dimensions.items():
        if dimension.hidden and not dimension.outlineLevel:  # an outline shows that it is closed
            yield "hidden column", f"{sheet.title} {letter}"


def _cells(sheet: Any, values: Any, book: Any) -> Iterator[Finding]:
    patterns: dict[tuple[str, int], tuple[str, str]] = {}
    starts = {
        (column, row): table.displayName
        for table in sheet.tables.values()
        for left, top, right, bottom in (bounds(table.ref),)
        for column in range(left, right + 1)
        for row in range(top + 1, bottom + 1)
    }
    for row in sheet.iter_rows():
        for cell in row:
            where = f"{sheet.title}!{cell.coordinate}"
            if cell.value is None:
                continue
            if not cell.font.name:
                yield "font without a name", where
            if cell.data_type == "e":
                yield "error value", f"{where}: {cell.value}"
            if cell.data_type == "s" and len(cell.value) > 32_000:
                yield "text too long", where
            table = starts.get((cell.column, cell.row))
            if cell.data_type == "f":
                yield from _formula(str(cell.value), where, book)
                value = values[cell.coordinate].value
                if value in ERRORS:
                    yield "error value", f"{where}: {value}"
                if value is None and not _may_be_blank(cell):
                    yield "no stored value", where
            if table is not None:
                shape = _shape(cell)
                key = (table, cell.column)
                first = patterns.setdefault(key, (shape, where))
                if first[0] != shape:
                    yield (
                        "two rules in a column",
                        f"{where}: {cell.value} but {first[1]}: {first[0]}",
                    )


def _may_be_blank(cell: Any) -> bool:
    return bool(cell.number_format == "General")  # text results are shown so, and may be ""


def _shape(cell: Any) -> str:
    """A formula with its own row number taken out; `given` for anything else."""
    if cell.data_type != "f":
        return "given"
    return re.sub(rf"(\$?[A-Z]{{1,3}}){cell.row}(?![0-9(])", r"\1{row}", cell.value)


def _formula(text: str, where: str, book: Any) -> Iterator[Finding]:
    if len(text) > 8_000:
        yield "formula too long", where
    tokens = Tokenizer(text).items
    depth: list[str] = []
    for n, token in enumerate(tokens):
        if token.type == "FUNC" and token.subtype == "OPEN":
            depth.append(token.value)
            name = token.value.rstrip("(")
            if name in VOLATILE:
                yield "volatile", f"{where}: {name}"
            if name not in ALLOWED_FUNCTIONS:
                yield "function", f"{where}: {name}"
        elif token.type == "FUNC":
            depth.pop()
        elif token.type == "OPERAND" and token.subtype == "NUMBER":
            digits = bool(depth) and depth[-1] in DIGITS_OF and tokens[n + 1].value == ")"
            if token.value not in NUMBERS and not digits:
                yield "number in a formula", f"{where}: {token.value} in {text}"
        elif token.type == "OPERAND" and token.subtype == "TEXT" and len(token.value) > 257:
            yield "text in a formula", where
        elif token.type == "OPERAND" and token.subtype == "RANGE":
            yield from _reference(token.value, where, book)
        elif token.type == "OPERAND" and token.subtype == "ERROR":
            yield "error in a formula", f"{where}: {text}"


def _reference(reference: str, where: str, book: Any) -> Iterator[Finding]:
    if "[" in reference or "@" in reference:
        yield "structured reference", f"{where}: {reference}"
        return
    sheet, _, cells = reference.rpartition("!")
    if sheet and sheet.strip("'").replace("''", "'") not in book.sheetnames:
        yield "missing sheet", f"{where}: {reference}"
    if not re.fullmatch(r"\$?[A-Z]{1,3}\$?\d+(:\$?[A-Z]{1,3}\$?\d+)?", cells):
        yield "reference", f"{where}: {reference}"
