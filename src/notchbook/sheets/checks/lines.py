"""What a check is made of: a line that shows a difference, its state, and where to look."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import LineCell, LineRow
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.kit.show import Look

STATES = ("_state", "_group_is")
"""What the names of the cells end with that say OK, or what is not."""


def check_line(name: str) -> x.Line:
    """A line of the Checks sheet."""
    return x.Line("Checks", name)


def counted_rows(number: x.Expression | None) -> tuple[x.Total, ...]:
    """The counts of rows that a number is the sum of; none where it is anything else."""
    match number:
        case x.Total("count"):
            return (number,)
        case x.If(_, then, x.Literal(0)):
            return counted_rows(then)
        case x.Arithmetic("+", left, right):
            both = (counted_rows(left), counted_rows(right))
            return both[0] + both[1] if all(both) else ()
    return ()


def _row(
    found: LineCell,
    label: str,
    off: x.Expression,
    where_to_look: str,
    word: str = "look",
    names: x.Expression | None = None,
) -> LineRow:
    """A check; one that words typed over a line make an error is open."""
    counted = found.rule if names is None else names
    named = LineCell(f"{found.name}_named", show.TEXT, role=Role.PLANNED, names=counted)
    return LineRow(
        label,
        (
            found,
            LineCell(
                f"{found.name}_state",
                show.WORD,
                when(check_line(f"{found.name}_open").equals(0), "OK", word),
            ),
            LineCell(f"{found.name}_open", show.YES_OR_NO, x.call("IFERROR", when(off, 1, 0), 1)),
            *([named] if names is not None or counted_rows(found.rule) else []),
        ),
        where_to_look,
        folds_at_0=f"{found.name}_open",
    )


def tie(
    name: str,
    label: str,
    difference: x.Expression,
    where_to_look: str,
    names: x.Expression | None = None,
) -> LineRow:
    """Two amounts that are equal within the tolerance; `names` counts the rows to look at."""
    off = x.call("ABS", check_line(name)) >= setting.tolerance
    return _row(LineCell(name, show.AMOUNT, difference), label, off, where_to_look, names=names)


def none_of(
    name: str,
    label: str,
    number: x.Expression,
    where_to_look: str,
    names: x.Line | None = None,
) -> LineRow:
    """A number of things of which there must be none; `names` is a line that counts others."""
    found = LineCell(name, show.COUNT, number)
    return _row(found, label, check_line(name).differs(0), where_to_look, names=names)


def notice(
    name: str, label: str, number: x.Expression, where_to_look: str, look: Look = show.COUNT
) -> LineRow:
    """A number of things worth knowing, or an amount, which is no fault."""
    off = check_line(name).differs(0)
    return _row(LineCell(name, look, number), label, off, where_to_look, "notice")


def opened(rows: Iterable[LineRow]) -> x.SumLines:
    """How many of some checks are not OK."""
    return x.SumLines("Checks", tuple(row.folds_at_0 for row in rows))


def group(name: str, label: str, rows: Sequence[LineRow], word: str = "look") -> Iterator[LineRow]:
    """Checks under a heading that says how many of them there are and how many are not OK."""
    number = LineCell(f"{name}_group", show.COUNT, opened(rows))
    state = LineCell(
        f"{name}_group_is", show.WORD, when(check_line(number.name).equals(0), "OK", word)
    )
    note = f"{len(rows)} checked; the + at the left opens those that are OK"
    yield LineRow(label, (number, state), note, heading=True)
    yield from rows


def added(terms: list[x.Expression]) -> x.Expression:
    """All of them together."""
    result, *rest = terms
    for term in rest:
        result = result + term
    return result


def states(table: str, *words: str) -> x.Expression:
    """How many rows of a table are in one of these states."""
    return added([x.count(table, "state", x.where("state", "=", word)) for word in words])


def numbers(table: str, column: str, *conditions: x.Where) -> x.Expression:
    """How many rows hold a number in a column, whatever its sign."""
    return x.count(table, column, x.where(column, ">", 0), *conditions) + x.count(
        table, column, x.where(column, "<=", 0), *conditions
    )


def key_of(table: str) -> str:
    """A table's name as checks begin theirs."""
    return table.lower().replace(" ", "_")
