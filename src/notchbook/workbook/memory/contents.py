"""What a cell holds and how it looks, in words that are the same whichever program saved it."""

from __future__ import annotations

import hashlib
import re
from datetime import date, datetime
from typing import Any

from notchbook.language.functions import to_serial
from notchbook.workbook.file.raw_cells import Cell, style_key

Content = float | str | None
"""A number (a day is one), words, or a formula: `=` and the fingerprint of its structure.

Words that begin with one of these signs stand behind an apostrophe.
"""
LOOKS = ("number_format", "alignment", "border", "fill", "font")
Look = tuple[str, ...]
"""A word for each of LOOKS."""

_PLACE = re.compile(r"[A-Z]{1,3}(?:[0-9]+|\0)")
_SHEET = re.compile(r"(?:'(?:[^']|'')*'|[^\W\d]\w*)!(?=@)")
_SIGNS = ("=", "'")
_LOST = "#REF!"
_NO_RULE: tuple[list[str], str] = [], ""


def rule_of(formula: object) -> str:
    """Return a formula as it is compared and remembered."""
    return "=" + fingerprint(structure(formula_text(formula)))


def content_of(value: object, is_formula: bool) -> Content:
    """Return a cell's value as it is compared and remembered."""
    if is_formula:
        return rule_of(value)
    if isinstance(value, datetime | date):
        return float(to_serial(value.date() if isinstance(value, datetime) else value))
    if value is None or value == "":
        return None
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    text = str(value)
    return "'" + text if text.startswith(_SIGNS) else text


def words_of(content: Content) -> str | None:
    """Return remembered words as they stood in their cell; None for anything else."""
    return content.removeprefix("'") if isinstance(content, str) and not is_rule(content) else None


def is_rule(content: Content) -> bool:
    """Tell whether a formula stood there."""
    return isinstance(content, str) and content.startswith("=")


def comparable(content: Content) -> str:
    """Return what is equal for contents that count as one: 9 digits, no blanks around words.

    They are the digits of what a file holds of the number, which has 15 of them.
    """
    if isinstance(content, float):
        return f"{float(f'{content:.15g}'):.9g}"
    return (content or "").strip()


def formula_text(raw: Any) -> str:
    """Return a formula as text, also where it fills several cells."""
    return str(getattr(raw, "text", raw))


def structure(formula: str) -> str:
    """Return a formula without its places and the blanks that programs put in."""
    return _PLACE.sub("@", formula.lstrip("=").replace(" ", "").replace("$", ""))


def has_lost_places(formula: str, whole: str) -> bool:
    """Tell whether a formula is another one, places of which were deleted."""
    if _LOST not in formula:
        return False
    then, now = (structure(each).replace(_LOST, "@") for each in (whole, formula))
    then, now = (_SHEET.sub("", each).replace("@:@", "@") for each in (then, now))
    return then == now


def fingerprint(printed: str) -> str:
    """Return a short word for a formula's structure."""
    return hashlib.sha256(printed.encode()).hexdigest()[:8]


class Rules:
    """The formulas of one workbook, each rule that is filled down a column put into a word once."""

    def __init__(self) -> None:
        self._known: dict[str, str] = {}
        self._above: dict[int, tuple[list[str], str]] = {}  # by column, around the row's number

    def of(self, text: str, row: int, column: int) -> str:
        """Return the content of a cell that holds a formula."""
        number = str(row)
        parts, content = self._above.get(column, _NO_RULE)
        if number.join(parts) == text:
            return content
        parts = text.split(number)
        for n, part in enumerate(parts[:-1]):  # is each of them the row of a place?
            if not (part[-1:].isalpha() or part[-1:] == "$") or parts[n + 1][:1].isdigit():
                return rule_of(text)
        key = "\0".join(parts)
        content = self._known.get(key) or rule_of(text)
        self._known[key] = content
        self._above[column] = parts, content
        return content


class Looks:
    """The looks of the cells of one workbook, each style put into words once."""

    def __init__(self) -> None:
        self._known: dict[bytes, Look] = {}

    def of(self, cell: Cell) -> Look:
        """Return a word for each of LOOKS."""
        key = style_key(cell)
        if key not in self._known:
            self._known[key] = look_of(cell)
        return self._known[key]


def look_of(cell: Cell) -> Look:
    """Put number format, alignment, edges, fill and letters of a cell into words."""
    styled: Any = cell  # the stubs know no properties of looks
    aligned, edges, fill, font = styled.alignment, styled.border, styled.fill, styled.font
    set_so = (
        aligned.horizontal or "general",
        aligned.vertical or "bottom",
        bool(aligned.wrap_text),
        bool(aligned.shrink_to_fit),
        int(aligned.indent or 0),
        int(aligned.text_rotation or 0),
    )
    sides = (edges.left, edges.right, edges.top, edges.bottom)
    drawn = [f"{side.style} {rgb(side.color)}" if side and side.style else "" for side in sides]
    ink = rgb(font.color).replace("000000", "none")
    letters = (bool(font.b), bool(font.i), bool(font.strike), font.u or "none", ink)
    return (
        cell.number_format.replace("\\", ""),
        " ".join(map(str, set_so)),
        ", ".join(drawn),
        "none" if fill.fill_type is None else rgb(fill.fgColor),
        " ".join(map(str, letters)),
    )


def rgb(colour: Any) -> str:
    """Return the last six digits of a colour; a word for one that has none of its own."""
    if colour is None or (colour.type == "indexed" and colour.indexed >= 64):
        return "none"
    if colour.type == "rgb" and isinstance(colour.rgb, str):
        return colour.rgb[-6:].upper()
    if colour.type == "theme" and colour.theme in (0, 1) and not colour.tint:
        return "none"  # the letters and paper of every program
    return f"{colour.type} {colour.value} {colour.tint}"
