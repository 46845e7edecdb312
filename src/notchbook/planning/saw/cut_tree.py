"""Rectangles cut up by cuts right across: runs of parallel cuts, one within another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, NamedTuple

Axis = Literal[0, 1]


class Box(NamedTuple):
    """A rectangle in whole steps: its lower corner and its extents along axis 0 and axis 1."""

    x: int
    y: int
    across: int
    up: int

    def size(self, axis: Axis) -> int:
        """The extent along an axis."""
        return self[axis + 2]

    def high(self, axis: Axis) -> int:
        """Where it ends along an axis."""
        return self[axis] + self[axis + 2]

    def part(self, axis: Axis, low: int, high: int) -> Box:
        """The part of it between two places along an axis."""
        if axis == 0:
            return Box(low, self.y, high - low, self.up)
        return Box(self.x, low, self.across, high - low)


class SawBlade(NamedTuple):
    """What a cut takes away and how deep it may reach, in whole steps; None: as deep as wished."""

    kerf: int
    deepest: int | None


@dataclass(frozen=True, slots=True)
class Freed:
    """One of the rectangles, freed; `mark` says what it is."""

    sizes: tuple[int, int]
    mark: str


@dataclass(frozen=True)
class Run:
    """A rectangle cut up along one axis: `slabs` come off one after another, each with a kerf.

    Slabs alike stand together with their number, the widest first. Where they fill the rectangle
    exactly, the last one is what remains and needs no cut.
    """

    sizes: tuple[int, int]
    axis: Axis
    slabs: tuple[tuple[Node, int], ...]
    kerf: int

    @cached_property
    def exact(self) -> bool:
        """Whether the last slab remains by itself."""
        filled = sum((slab.sizes[self.axis] + self.kerf) * n for slab, n in self.slabs)
        return filled == self.sizes[self.axis] + self.kerf

    @cached_property
    def remaining(self) -> Node | None:
        """The slab that remains by itself: one without a finished side, or the rarest.

        Of these the narrowest, which then falls off outside, not between blade and fence.
        """
        if not self.exact:
            return None
        often: Counter[int] = Counter()
        for slab, n in self.slabs:
            often[slab.sizes[self.axis]] += n

        def rank(slab: Node) -> tuple[bool, int, int]:
            size = slab.sizes[self.axis]
            return size in list_finished_sizes(slab, self.axis), often[size], size

        return min((slab for slab, _ in self.slabs), key=rank)

    @cached_property
    def fences(self) -> Counter[int]:
        """How often each fence setting is sawn at."""
        found: Counter[int] = Counter()
        for slab, n in self.slabs:
            found[slab.sizes[self.axis]] += n - (slab is self.remaining)
        return +found

    @cached_property
    def later(self) -> frozenset[int]:
        """The settings at which its slabs are cut up further."""
        runs = [slab for slab, _ in self.slabs if isinstance(slab, Run)]
        return frozenset(f for run in runs for f in (*run.fences, *run.later))


Node = Freed | Run


def list_finished_sizes(node: Node, axis: Axis) -> frozenset[int]:
    """List the finished sizes along an axis of all that is freed from a node."""
    return frozenset(leaf.sizes[axis] for leaf in list_leaves(node))


def list_leaves(node: Node) -> Iterator[Freed]:
    """List all that is freed from a node."""
    if isinstance(node, Freed):
        yield node
        return
    for slab, often in node.slabs:
        for _ in range(often):
            yield from list_leaves(slab)
