"""Keys and values read by what the syntax declares for their place."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from notchbook.base.problems import SourceFile, closest, nearest, quoted
from notchbook.base.spelling import is_spelled_alike
from notchbook.definitions.reading.entries import Entries, Entry, Items, Node, Scalar
from notchbook.definitions.reading.scalars import BrokenError, Scope, UnreadableError, read_scalar
from notchbook.definitions.syntax.keys import Key
from notchbook.definitions.syntax.places import SYNTAX
from notchbook.measure import with_point
from notchbook.sheets.kit.written import Joined, Reads

T = TypeVar("T")


@dataclass(frozen=True)
class Named:
    """A name in a list, and its line."""

    text: str
    line: int


@dataclass
class Found:
    """What was read in one place: values by key, the line of each key, whether all went well."""

    source: SourceFile
    place: str
    line: int
    scope: Scope
    values: dict[str, object] = field(default_factory=dict)
    lines: dict[str, int] = field(default_factory=dict)
    whole: bool = True

    def at(self, key: str) -> int:
        """The line of a key, or of the place where it was left out."""
        return self.lines.get(key, self.line)

    def report(self, key: str, message: str) -> None:
        """Notes a problem with a key; nothing is made of this place any more."""
        self.whole = False
        self.source.report(self.at(key), f"{key}: {message}")

    def has(self, key: str) -> bool:
        """The key was written, readable or not."""
        return key in self.lines

    def take_empty(self, key: Key) -> None:
        """Take an empty list for none: as if the key were left out, but no list is missing."""
        if key.reads is Reads.PLACES:
            self.values[key.key] = []

    def text(self, key: str) -> str | None:
        """A name or word; None where it was left out or could not be read."""
        value = self.values.get(key)
        return value if isinstance(value, str) else None

    def number(self, key: str) -> float | None:
        """A number; None where it was left out or could not be read."""
        value = self.values.get(key)
        return float(value) if isinstance(value, int | float) else None

    def names(self, key: str) -> tuple[Named, ...]:
        """A list of names, empty where it was left out or could not be read."""
        value = self.values.get(key)
        return value if isinstance(value, tuple) else ()

    def lengths(self, key: str, *fields: str) -> dict[str, object]:
        """The lengths of a size by field; empty where it was left out or could not be read."""
        value = self.values.get(key)
        return dict(zip(fields, value, strict=True)) if isinstance(value, tuple) else {}

    def sides(self, joined: Joined) -> dict[str, object]:
        """Lengths by column that stand inside a key, or that a bare length there stands for."""
        value = self.values.get(joined.key)
        if isinstance(value, Found):
            names = zip(joined.columns, joined.inside, strict=True)
            return {name: value.values[key] for name, key in names if key in value.values}
        return dict.fromkeys(joined.columns[: joined.bare], value) if value is not None else {}

    def pick(self, *keys: str) -> dict[str, object]:
        """The values of those keys that were written and read."""
        return {key: self.values[key] for key in keys if key in self.values}

    def inside(self, key: str) -> Found | None:
        """The keys inside a key; None where it was left out or is no mapping."""
        value = self.values.get(key)
        return value if isinstance(value, Found) else None

    def each(self, key: str) -> Iterator[Found]:
        """The entries of a list of places."""
        value = self.values.get(key)
        yield from value if isinstance(value, list) else ()

    def free(self, key: str) -> Entries | None:
        """Names of the maker's own; None where they were left out."""
        value = self.values.get(key)
        return value if isinstance(value, Entries) else None


def read_place(source: SourceFile, node: Node, place: str, scope: Scope) -> Found | None:
    """All keys of a place, every problem reported; None where there are no keys at all."""
    keys = {key.key: key for key in SYNTAX[place]}
    if not isinstance(node, Entries):
        shown = f"{node.text[:40]!r}" if isinstance(node, Scalar) else "a list"
        source.report(node.line, f"{shown} stands where keys are wanted; write {_example(place)}")
        return None
    found = Found(source, place, node.line, scope)
    meant: set[str] = set()
    before = ""
    for written, entry in node.values.items():
        name = _known_key(written, keys, node.values)
        if name in keys and isinstance(entry.value, Items) and not entry.value.values:
            found.take_empty(keys[name])
            continue
        found.lines[name] = entry.line
        if name in keys:
            _read_key(found, keys[name], entry.value)
        elif not _parts_a_number(found, before, node.values.get(before), name):
            meant |= _unknown(found, name, entry.line, keys)
        before = name
    for key in keys.values():
        if key.required and not found.has(key.key) and key.key not in found.values:
            found.whole = False
            if key.key not in meant:
                source.report(node.line, _missing(key))
    return found


def _known_key(written: str, keys: Mapping[str, Key], there: Collection[str]) -> str:
    """Return the key that another spelling stands for, where that does not stand there, too."""
    if written in keys:
        return written
    alike = (key for key in keys if key not in there and is_spelled_alike(key, written))
    return next(alike, written)


def _missing(key: Key) -> str:
    example = key.example
    if key.place:
        inner = _example(key.place)
        example = inner if key.reads is Reads.PLACE else f"[{inner}]"
    return f"{key.key} is missing; write {key.key}: {example} ({key.meaning})"


def _parts_a_number(found: Found, key: str, entry: Entry | None, rest: str) -> bool:
    """Tell of a comma between brackets that parted a number, whose rest looks like a key."""
    value = entry.value if entry is not None else None
    if not isinstance(value, Scalar) or not rest[:1].isdigit() or not value.text[-1:].isdigit():
        return False
    written = f"{value.text},{rest}"
    found.report(
        key, f"{quoted(written)} has a comma; write it with a point: {with_point(written)}"
    )
    return True


def _unknown(found: Found, name: str, line: int, keys: Mapping[str, Key]) -> set[str]:
    """Reports a key that is not known here; returns the key that was meant, if it can be told."""
    found.whole = False
    first = name.split(" ", maxsplit=1)[0]
    if first != name and first in keys:
        meant, hint = first, f"put a colon and a space after {first}"
    else:
        meant, hint = closest(name, keys) or "", f"write one of {', '.join(keys)}"
    found.source.report(line, f"{quoted(name)} is not a key here{nearest(name, keys)}; {hint}")
    return {meant}


def _read_key(found: Found, key: Key, node: Node) -> None:
    value = attempt(found, key, node, _value)
    if value is not None:
        found.values[key.key] = value


def attempt(found: Found, key: Key, node: Node, read: Callable[[Found, Key, Node], T]) -> T | None:
    """What `read` makes of a value; None, with the reason reported, where it cannot be read."""
    try:
        return read(found, key, node)
    except BrokenError:
        found.whole = False
    except ValueError as error:
        found.whole = False
        found.source.report(node.line, f"{key.key}: {error}")
    return None


def _value(found: Found, key: Key, node: Node) -> object:
    if isinstance(node, Scalar) and node.empty:
        return read_scalar(key, node, found.scope)
    if key.reads is Reads.PLACE:
        place = read_place(found.source, node, key.place, found.scope)
        if place is None:
            raise BrokenError
        return place
    if key.reads is Reads.SIDES and isinstance(node, Entries):
        sides = read_place(found.source, node, key.place, found.scope)
        if sides is None or not sides.whole:
            raise BrokenError
        return sides
    if key.reads is Reads.PLACES:
        return _places(found, key, node)
    if key.reads is Reads.FREE:
        if not isinstance(node, Entries):
            raise UnreadableError(f"names with values are wanted; write as in {key.example}")
        return node
    if key.reads in (Reads.NAMES, Reads.TEXTS):
        return tuple(_names(found, key, node))
    return single(found, key, node)


def single(found: Found, key: Key, node: Node) -> object:
    """A single value.

    Raises UnreadableError for a list or keys in its place, and for what cannot be read.
    """
    if not isinstance(node, Scalar):
        what = "a list stands" if isinstance(node, Items) else "keys stand"
        raise UnreadableError(
            f"{what} where {key.reads.value} is wanted; write as in {key.example}"
        )
    return read_scalar(key, node, found.scope)


def _places(found: Found, key: Key, node: Node) -> list[Found]:
    if not isinstance(node, Items):
        raise UnreadableError(
            f"a list is wanted; begin each entry with - as in - {_example(key.place)}"
        )
    read = (read_place(found.source, each, key.place, found.scope) for each in node.values)
    return [each for each in read if each is not None]


def _names(found: Found, key: Key, node: Node) -> Iterator[Named]:
    nodes = node.values if isinstance(node, Items) else (node,)
    entry = Key(key.key, Reads.NAME, key.meaning, key.example)
    met: set[str] = set()
    for each in nodes:
        text = str(single(found, entry, each))
        if text.casefold() in met:
            raise UnreadableError(f"{quoted(text)} is listed twice; write it once")
        met.add(text.casefold())
        yield Named(text, each.line)


def _example(place: str) -> str:
    wanted = [key for key in SYNTAX[place] if key.required] or list(SYNTAX[place][:1])
    return "{" + ", ".join(f"{key.key}: {key.example}" for key in wanted[:4]) + "}"
