"""Colours, and which of them are ours."""

from __future__ import annotations

import re
from typing import Any

from notchbook.workbook.file.raw_cells import style_key
from notchbook.workbook.layout.style import BAD, GOOD, PALETTE, WARN

_STATES = {fill for _, fill in (GOOD, BAD, WARN)}


class Paints:
    """The fills and letters of cells, as far as they are not ours; each style is looked at once."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, ...], dict[str, Any]] = {}

    def of(self, cell: Any) -> dict[str, Any]:
        """What the maker painted a cell with, by the name of the property."""
        key = style_key(cell)
        if key not in self._known:
            found: dict[str, Any] = {}
            fill, font = cell.fill, cell.font
            if fill.fill_type is not None and rgb(fill.fgColor) not in PALETTE:
                found["fill"] = fill
            if font.b or font.i or font.strike or font.u or rgb(font.color) not in PALETTE:
                found["font"] = font
            self._known[key] = found
        return self._known[key]


SHAPES = ("number_format", "alignment", "border")


class Shapes:
    """Number format, alignment and edges of cells in words that every program saves alike."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, ...], list[str]] = {}

    def of(self, cell: Any) -> list[str]:
        """A word for each of SHAPES."""
        key = style_key(cell)
        if key not in self._known:
            set_so = cell.alignment
            aligned = (
                set_so.horizontal or "general",
                set_so.vertical or "bottom",
                bool(set_so.wrap_text),
                bool(set_so.shrink_to_fit),
                int(set_so.indent or 0),
                int(set_so.text_rotation or 0),
            )
            sides = (cell.border.left, cell.border.right, cell.border.top, cell.border.bottom)
            edges = [
                f"{side.style} {rgb(side.color)}" if side and side.style else "" for side in sides
            ]
            code = cell.number_format.replace("\\", "")
            self._known[key] = [code, " ".join(map(str, aligned)), ", ".join(edges)]
        return self._known[key]


def rgb(colour: Any) -> str:
    """The last six digits of a colour; a word for one that has none of its own."""
    if colour is None or (colour.type == "indexed" and colour.indexed >= 64):
        return "none"
    if colour.type == "rgb" and isinstance(colour.rgb, str):
        return colour.rgb[-6:].upper()
    if colour.type == "theme" and colour.theme in (0, 1) and not colour.tint:
        return "none"  # the letters and paper of every program
    return f"{colour.type} {colour.value} {colour.tint}"


def pattern(rule: Any) -> str:
    """A conditional format's formula without its places, to tell ours wherever they were moved."""
    return f"{rule.type} " + re.sub(r"\$?[A-Z]{1,3}\$?[0-9]+", "#", ";".join(rule.formula))


def paints_a_state(rule: Any) -> bool:
    """Whether a conditional format has one of our colours of states."""
    fill = rule.dxf.fill if rule.dxf is not None else None
    return fill is not None and rgb(fill.bgColor) in _STATES
