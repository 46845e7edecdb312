"""How definitions are declared: keys, how each is read, where each may stand."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Reads(Enum):
    """How a value is read; the words are what the reference says of it."""

    NAME = "a name"
    TEXT = "text"
    WORD = "one of the words listed"
    YES = "true or false"
    LENGTH = "a length"
    MARK_SIZE = "two lengths: along x deep"
    SIZE = "three lengths: thickness x width x length"
    MONEY = "an amount of money"
    NUMBER = "a number"
    WHOLE = "a whole number"
    PERCENT = "a share, such as 45% or 0.45"
    FACTOR = "a factor, such as 0.45 or 45%"
    DATE = "a day, as year-month-day"
    ENDS = "mitre or bevel with its degrees"
    NAMES = "a list of names"
    TEXTS = "a list of texts"
    PLACE = "keys of its own"
    PLACES = "a list, each with keys of its own"
    FREE = "names of your own, each with a value"


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


def opt(
    key: str,
    reads: Reads,
    meaning: str,
    example: str,
    choices: tuple[str, ...] = (),
) -> Key:
    """A key that may be left out."""
    return Key(key, reads, meaning, example, required=False, choices=choices)


def word(key: str, choices: tuple[str, ...], meaning: str, required: bool = True) -> Key:
    """A key that takes one of a few words."""
    return Key(key, Reads.WORD, meaning, choices[0], required, choices)


def inside(key: str, place: str, meaning: str, required: bool = True) -> Key:
    """A key with the keys of another place inside it."""
    return Key(key, Reads.PLACE, meaning, "{...}", required, place=place)


def listed(key: str, place: str, meaning: str, required: bool = True) -> Key:
    """A key with a list of entries, each with the keys of another place."""
    return Key(key, Reads.PLACES, meaning, "[{...}]", required, place=place)
