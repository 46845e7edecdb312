"""What is to change in a list or mapping of a file, and changes made in a text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import TypeAlias

Edit: TypeAlias = tuple[int, int, str]
"""From where to where, and what stands there instead."""


@dataclass
class TextChanges:
    """New values and names, parts that go, by number; what comes behind which part; new keys."""

    values: dict[int, str] = field(default_factory=dict)
    names: dict[int, str] = field(default_factory=dict)
    gone: set[int] = field(default_factory=set)
    behind: dict[int, list[str]] = field(default_factory=dict)  # -1: before all of them
    keys: dict[str, str] = field(default_factory=dict)

    @property
    def adds(self) -> bool:
        """Parts come."""
        return bool(self.behind or self.keys)

    def in_order(self, count: int) -> Iterator[int | str]:
        """The parts as they follow one another: those that stay or go by number, new ones as text.

        What comes in place of a part stands behind it.
        """
        yield from self.behind.get(-1, ())
        for number in range(count):
            yield number
            yield from self.behind.get(number, ())
        yield from self.keys.values()


def applied(text: str, edits: Iterable[Edit], start: int = 0, end: int | None = None) -> str:
    """A text, or a stretch of it, with edits made; of those at one place the first comes first."""
    pieces, at = [], start
    for begin, stop, new in sorted(edits, key=lambda each: each[0]):
        pieces += [text[at:begin], new]
        at = stop
    return "".join([*pieces, text[at:end]])
