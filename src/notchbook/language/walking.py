"""Going through an expression, node by node."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields

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
