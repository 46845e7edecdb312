"""tools.yaml: tools, how they wear, and how the tax form gets their cost."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from itertools import pairwise

from notchbook.base.problems import SourceFile
from notchbook.definitions.reading.entries import Entries
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.places import Found, read_place
from notchbook.definitions.reading.scalars import Scope
from notchbook.sheets.tax.tool_rows import ToolRow

NEEDED: Mapping[tuple[str, str], str] = {
    ("wear", "per use"): "expected_uses",
    ("wear", "hours"): "life_hours",
}
"""By a key and its word: the key that must then stand beside it."""


def read_tools(source: SourceFile, entries: Entries, known: Known) -> None:
    """Makes rows of all tools; every fault is reported."""
    found = read_place(source, entries, "tools.yaml", Scope(known.units))
    if found is None or "tools" not in found.values:
        known.tools.open = True
        return
    for tool in found.each("tools"):
        _read_one(tool, known)


def _read_one(tool: Found, known: Known) -> None:
    name = tool.text("tool")
    if name is None:
        known.tools.open = True
        return
    if not known.tools.give(name, tool.source, tool.at("tool")):
        return
    wear = tool.text("wear")
    if wear is not None:
        known.wears[name] = wear
    for (key, word), needed in NEEDED.items():
        if tool.text(key) == word and not tool.has(needed):
            tool.report(key, f"{word} needs {needed}; write it beside")
    _check_amounts(tool)
    _check_days(tool)
    known.row("Tool depreciation", ToolRow, tool, tool.values)


def _check_amounts(tool: Found) -> None:
    cost = tool.number("cost")
    for key in ("salvage", "taken_before", "elected_179"):
        amount = tool.number(key)
        if cost is not None and amount is not None and amount > cost:
            tool.report(key, f"{amount:g} is more than the cost ({cost:g}); write at most the cost")


def _check_days(tool: Found) -> None:
    days = [(key, tool.values.get(key)) for key in ("acquired", "in_service", "disposed")]
    written = [(key, day) for key, day in days if isinstance(day, date)]
    for (earlier, first), (later, second) in pairwise(written):
        if second < first:
            tool.report(later, f"{second} is before {earlier} ({first}); write a day after it")
    if tool.has("elected_179") and tool.text("tax_method") != "section 179":
        tool.report("elected_179", "it stands without tax_method: section 179; leave it out")
    if tool.has("disposed_for") and not tool.has("disposed"):
        tool.report("disposed_for", "it stands without disposed; write the day beside it")
