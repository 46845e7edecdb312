"""How other rules name the lines of the Year-end sheet."""

from __future__ import annotations

from notchbook.language.expressions import Line


def year_line(name: str) -> Line:
    """A line of the Year-end sheet."""
    return Line("Year-end", name)
