"""A rule where some tables have no rows: what it would read there is known already."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import fields, replace
from typing import Any

from notchbook.language.expressions import (
    Arithmetic,
    Expression,
    Literal,
    LookUp,
    Node,
    Products,
    Total,
    Where,
    as_node,
)

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
    changed: Any = {name: _inside(value, tables) for name, value in _fields(node).items()}
    return _shorter(replace(node, **changed))


def _fields(node: Expression) -> dict[str, Any]:
    return {field.name: getattr(node, field.name) for field in fields(node)}


def _inside(value: Any, tables: Collection[str]) -> Any:
    match value:
        case Where():
            return replace(value, value=without(value.value, tables))
        case tuple():
            return tuple(_inside(each, tables) for each in value)
        case Node():
            return without(as_node(value), tables)
    return value


def _shorter(node: Expression) -> Expression:
    """Nothing added and nothing taken away leaves the rest."""
    match node:
        case Arithmetic("+" | "-", rest, Literal(0)) | Arithmetic("+", Literal(0), rest):
            return rest
    return node
