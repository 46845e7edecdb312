"""How other rules name the lines of the Year-end sheet."""

from __future__ import annotations

from notchbook.language import expressions as x


def year_line(name: str) -> x.Line:
    """A line of the Year-end sheet."""
    return x.Line("Year-end", name)
