"""The order in which columns and lines are calculated: by what they need, never by sheet."""

from __future__ import annotations

from collections.abc import Mapping
from graphlib import CycleError, TopologicalSorter

from notchbook.language.expressions import (
    Expression,
    Line,
    LookUp,
    Own,
    Products,
    SumLines,
    SumOwn,
    Total,
)
from notchbook.language.kinds import RuleError
from notchbook.language.walking import walk

Name = tuple[str, str]  # (table or sheet of lines, column or line)


def needs(node: Expression, table: str | None) -> set[Name]:
    """List every column and line that the expression reads."""
    found: set[Name] = set()
    for each in walk(node):
        match each:
            case Own(name):
                found.add((table or "", name))
            case Line(sheet, name):
                found.add((sheet, name))
            case SumLines(sheet, names):
                found |= {(sheet, name) for name in names}
            case SumOwn(names):
                found |= {(table or "", name) for name in names}
            case LookUp(other, key, _, value, _):
                found |= {(other, key), (other, value)}
            case Total(_, other, column, where):
                found |= {(other, column), *((other, each.column) for each in where)}
            case Products(other, columns, where):
                found |= {(other, name) for name in columns}
                found |= {(other, each.column) for each in where}
            case _:
                pass
    return found


def in_order(rules: Mapping[Name, set[Name]]) -> list[Name]:
    """Order the names so that each comes after all it needs.

    Raises RuleError naming the circle where rules need one another.
    """
    try:
        return [name for name in TopologicalSorter(rules).static_order() if name in rules]
    except CycleError as error:
        circle = " needs ".join(".".join(name) for name in reversed(error.args[1]))
        raise RuleError(f"rules need one another: {circle}") from error
