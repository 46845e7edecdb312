"""Lines of Year-end that a number was typed over: told at once, beside each, not at compile."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.language.value_kinds import Kind
from notchbook.sheets.kit import show
from notchbook.sheets.kit.declare import LineCell, LineRow, heading, line
from notchbook.sheets.tax.year_lines import year_line

HEAD = "typed over"
_WATCH = "_typed_over"
_ONE = replace(show.NUMBER_OF, width=11)


def is_watch(name: str) -> bool:
    """Tell whether a line only watches another one."""
    return name.endswith(_WATCH)


def watched(rows: tuple[LineRow, ...]) -> tuple[LineRow, ...]:
    """Put a cell beside each worked-out line that shows 1 where the line is not what its rule says.

    The rule stands there a second time. It reads the other lines as they stand, so that only the
    line that was typed over is told, not those below it.
    """
    with_watch = tuple(_with_watch(row) for row in rows)
    names = tuple(cell.name for row in with_watch for cell in row.cells if is_watch(cell.name))
    return (
        *with_watch,
        heading("Numbers typed over"),
        line(
            "typed_over",
            "lines that a number was typed over",
            show.NUMBER_OF,
            x.SumLines("Year-end", names),
            "each shows a 1 beside it; compile puts its formula back",
        ),
    )


def _with_watch(row: LineRow) -> LineRow:
    return LineRow(
        row.label,
        (*row.cells, *_watches(row)),
        row.note,
        row.mark,
        row.link,
        row.heading,
    )


def _watches(row: LineRow) -> Iterator[LineCell]:
    for cell in row.cells:
        if cell.rule is None:
            continue
        stands = year_line(cell.name)
        if cell.look.kind is Kind.TEXT:
            differs = when(stands.differs(cell.rule), 1, 0)
        else:
            gap = x.rounded(stands - cell.rule, 6)
            other = x.call("IFERROR", when(gap.differs(0), 1, 0), 0)  # words stand further up
            differs = when(x.call("ISTEXT", stands), 1, other)
        yield LineCell(cell.name + _WATCH, _ONE, differs)
