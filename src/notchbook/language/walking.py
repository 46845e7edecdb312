"""Going through an expression, node by node."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import fields, replace
from typing import Any

from notchbook.language.expressions import Expression, Node, Where, as_node


def children(node: Expression) -> Iterator[Expression]:
    """The expressions directly inside a node."""
    for field in fields(node):
        value = getattr(node, field.name)
        items = value if isinstance(value, tuple) else (value,)
        for item in items:
            inner = item.value if isinstance(item, Where) else item
            if isinstance(inner, Node):
                yield as_node(inner)


def walk(node: Expression) -> Iterator[Expression]:
    """The node and everything inside it."""
    yield node
    for child in children(node):
        yield from walk(child)


def change_children(node: Expression, change: Callable[[Expression], Expression]) -> Expression:
    """Give a node with every expression directly inside it changed."""

    def inside(value: Any) -> Any:
        match value:
            case Where():
                return replace(value, value=change(value.value))
            case tuple():
                return tuple(inside(each) for each in value)
            case Node():
                return change(as_node(value))
        return value

    changed: Any = {field.name: inside(getattr(node, field.name)) for field in fields(node)}
    return replace(node, **changed)
