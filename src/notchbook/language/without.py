"""A rule where some tables have no rows: what it would read there is known already."""

from __future__ import annotations

from collections.abc import Collection

from notchbook.language.expressions import (
    Arithmetic,
    Expression,
    Literal,
    LookUp,
    Products,
    Total,
)
from notchbook.language.walking import change_children

_NOTHING = Literal(0)


def without(node: Expression, tables: Collection[str]) -> Expression:
    """Rewrite a rule to the same value without a look at `tables`, none of which has any row.

    A sum or count over nothing is 0, and a look-up in nothing gives its own answer.
    """
    match node:
        case Total() | Products() if node.table in tables:
            return _NOTHING
        case LookUp() if node.table in tables:
            return without(node.otherwise, tables)
    return _shorter(change_children(node, lambda inner: without(inner, tables)))


def _shorter(node: Expression) -> Expression:
    """Nothing added and nothing taken away leaves the rest."""
    match node:
        case Arithmetic("+" | "-", rest, Literal(0)) | Arithmetic("+", Literal(0), rest):
            return rest
    return node
