"""Conditional formats, and which of them are ours."""

from __future__ import annotations

import re

from openpyxl.formatting.rule import Rule

from notchbook.workbook.layout.style import BAD, GOOD, OLD, WARN
from notchbook.workbook.memory.contents import rgb

# What workbooks before 0.9 painted states with. Nothing is painted so any more: they are known
# only so that a rule of ours in an older workbook goes, and does not stay as one of the maker's.
_BEFORE = {"C6EFCE", "FFC7CE", "FFEB9C"}
_STATES = {fill for _, fill in (GOOD, BAD, WARN, OLD)} | _BEFORE


def pattern(rule: Rule) -> str:
    """Return a conditional format's formula without its places, which tells ours where they go."""
    return f"{rule.type} " + re.sub(r"\$?[A-Z]{1,3}\$?[0-9]+", "#", ";".join(rule.formula))


def may_be_ours(rule: Rule) -> bool:
    """Tell whether a conditional format has one of our colours of states, or a number format."""
    if rule.dxf is None:
        return False
    fill = rule.dxf.fill
    return rule.dxf.numFmt is not None or (fill is not None and rgb(fill.bgColor) in _STATES)
