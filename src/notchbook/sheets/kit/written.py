"""How what a maker states is written in definition files: where, and how a value is read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum


class Reads(Enum):
    """How a value is read; the words are what the reference says of it."""

    NAME = "a name"
    TEXT = "text"
    WORD = "one of the words listed"
    YES = "true or false"
    LENGTH = "a length"
    MARK_SIZE = "two lengths: along x deep"
    SIDES = "a length, or lengths by their names"
    SIZE = "three lengths: thickness x width x length"
    MONEY = "an amount of money"
    NUMBER = "a number"
    AMOUNT = "a number or a fraction, such as 1/2"
    WHOLE = "a whole number"
    PERCENT = "a share, such as 45% or 0.45"
    FACTOR = "a factor, such as 0.45 or 45%"
    DATE = "a date, YYYY-MM-DD"
    ENDS = "miter or bevel with its degrees"
    NAMES = "a list of names"
    TEXTS = "a list of texts"
    PLACE = "keys of its own"
    PLACES = "a list, each with keys of its own"
    FREE = "names of your own, each with a value"


EXAMPLES: Mapping[Reads, str] = {
    Reads.YES: "true",
    Reads.LENGTH: "12",
    Reads.MONEY: "12.50",
    Reads.NUMBER: "2.5",
    Reads.WHOLE: "3",
    Reads.PERCENT: "45%",
    Reads.FACTOR: "0.45",
    Reads.DATE: "2026-03-02",
}
"""What a value of a kind looks like, where its column names no other example."""

PROJECT = "project"
"""The file of each project; its rows take the project's name from it."""

IDEAS_FILE = "ideas.yaml"
"""The file of ideas, whose entries hold lists of rows of other tables."""


@dataclass(frozen=True)
class Written:
    """Where the rows of a table are written: in a file, as entries of a list, or as its lines.

    `entry` is what the reference calls an entry, `needed` a list that must be there. A list may
    leave some columns out (`without`), set them for all its rows (`sets`), ask for others that
    may be blank elsewhere (`asks`), and read or exemplify them in its own way. `in_mm` names the
    columns that are written by another key in an mm shop.
    """

    file: str
    listed: str = ""
    entry: str = ""
    meaning: str = ""
    needed: bool = False
    without: tuple[str, ...] = ()
    sets: Mapping[str, str] = field(default_factory=dict)
    asks: tuple[str, ...] = ()
    reads: Mapping[str, Reads] = field(default_factory=dict)
    examples: Mapping[str, str] = field(default_factory=dict)
    in_mm: Mapping[str, str] = field(default_factory=dict)

    @property
    def is_ledger(self) -> bool:
        """Its rows are lines of a file of their own, which the workbook owns once there is one."""
        return self.file.endswith(".csv")

    @property
    def place(self) -> str:
        """What the reference calls the place whose keys a row has."""
        return self.entry or self.file


@dataclass(frozen=True)
class Joined:
    """Columns that are written as one size, with x between: its key, meaning and example.

    With `inside` they are written as keys of its own; a bare length stands for the first `bare`.
    """

    key: str
    columns: tuple[str, ...]
    meaning: str
    example: str
    inside: tuple[str, ...] = ()
    bare: int = 0

    @property
    def reads(self) -> Reads:
        """How the size is read."""
        if self.inside:
            return Reads.SIDES
        return Reads.SIZE if len(self.columns) == 3 else Reads.MARK_SIZE
