"""tools.yaml: tools, how they wear, and how the tax form gets their cost."""

from __future__ import annotations

from notchbook.base.problems import SourceFile
from notchbook.definitions.reading.entries import Entries
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.places import read_place
from notchbook.definitions.reading.scalars import Scope
from notchbook.sheets.tax.tool_rows import ToolRow


def read_tools(source: SourceFile, entries: Entries, known: Known) -> None:
    """Make rows of all tools."""
    found = read_place(source, entries, "tools.yaml", Scope(known.units))
    if found is None or "tools" not in found.values:
        known.gathered.open.add("Tool depreciation")
        return
    for tool in found.each("tools"):
        known.row("Tool depreciation", ToolRow, tool, tool.values)
