"""What the lines of the return were when it was filed: kept beside them, while they go on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import LineCell, LineRow, heading, line
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.tax.year_lines import year_line

HEADS = ("as filed", "differs")
_KEPT, _DIFFERS = "_filed", "_filed_differs"


def filed_cell(name: str) -> str:
    """The cell that holds what a line of Year-end was filed as."""
    return name + _KEPT


def list_filed(names: Iterable[str]) -> Iterator[str]:
    """List the lines among the cells of Year-end that are kept as they were filed."""
    return (name.removesuffix(_KEPT) for name in names if name.endswith(_KEPT))


def with_as_filed(
    rows: tuple[LineRow, ...], of_return: Iterable[LineRow], filed: bool
) -> tuple[LineRow, ...]:
    """Put what was filed beside each amount of the return, and count those that differ now.

    Where nothing is filed yet there is no such column; a day that was only just typed waits for the
    compile that keeps the lines.
    """
    names = {
        row.cells[0].name for row in of_return if row.cells and row.cells[0].look is show.MONEY
    }
    if filed:
        rows = tuple(_with_it(row) if _name(row) in names else row for row in rows)
    differ = [cell.name for row in rows for cell in row.cells if cell.name.endswith(_DIFFERS)]
    found: x.Expression = x.SumLines("Year-end", tuple(differ)) if filed else x.as_node(1)
    return (
        *rows,
        heading("As filed"),
        line(
            "filed_changed",
            "lines that differ from what was filed",
            show.NUMBER_OF,
            when(x.blank(setting.filed), 0, found),
            "each shows a 1 beside it; amend the return, or put the row right"
            if filed
            else "type the day on Settings and compile: the lines are kept as they are then",
        ),
    )


def _name(row: LineRow) -> str:
    return row.cells[0].name if row.cells else ""


def _with_it(row: LineRow) -> LineRow:
    name = _name(row)
    gap = x.call("ABS", year_line(name) - year_line(filed_cell(name)))
    return LineRow(
        row.label,
        (
            *row.cells,
            LineCell(filed_cell(name), show.MONEY, role=Role.PLANNED),
            LineCell(
                name + _DIFFERS,
                show.NUMBER_OF,
                x.call("IFERROR", when(gap >= setting.tolerance, 1, 0), 1),
            ),
        ),
        row.note,
        row.mark,
        row.link,
        row.heading,
    )
