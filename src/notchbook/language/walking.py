"""Going through an expression, node by node."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from notchbook.language.expressions import Expression, Node, Where, as_node


def walk(node: Expression) -> Iterator[Expression]:
    """The node and everything inside it, each before what it holds."""
    open_nodes = [node]
    while open_nodes:
        here = open_nodes.pop()
        yield here
        open_nodes += reversed(here.children)


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

    changed: Any = {name: inside(getattr(node, name)) for name in node.__dataclass_fields__}
    return replace(node, **changed)
