"""How definitions are declared: keys, how each is read, where each may stand."""

from __future__ import annotations

from dataclasses import dataclass

from notchbook.sheets.kit.written import Reads


@dataclass(frozen=True)
class Key:
    """One key: how it is read, what it means, an example, and whether it must be there.

    `place` names the keys inside it, `choices` the words it takes.
    """

    key: str
    reads: Reads
    meaning: str
    example: str
    required: bool = True
    choices: tuple[str, ...] = ()
    place: str = ""


def opt(key: str, reads: Reads, meaning: str, example: str) -> Key:
    """A key that may be left out."""
    return Key(key, reads, meaning, example, required=False)


def inside(key: str, place: str, meaning: str, required: bool) -> Key:
    """A key with the keys of another place inside it."""
    return Key(key, Reads.PLACE, meaning, "{...}", required, place=place)


def listed(key: str, place: str, meaning: str, required: bool) -> Key:
    """A key with a list of entries, each with the keys of another place."""
    return Key(key, Reads.PLACES, meaning, "[{...}]", required, place=place)
