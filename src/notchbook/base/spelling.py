"""How a shop spells: as Americans do with their tax form or in inches, else as the British do.

One table of words (`data/spellings.csv`, common dictionary spellings) is applied where our own
words are rendered; what a maker typed stays as it is, and both spellings are understood.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from enum import Enum
from functools import cache
from importlib.resources import files


class Spelling(Enum):
    """The column of the table whose words are written."""

    AMERICAN = "american"
    BRITISH = "british"


def spelling_of(tax: str, units: str) -> Spelling:
    """Return how a shop spells, by its tax form and units."""
    return Spelling.AMERICAN if tax == "us" or units == "inch" else Spelling.BRITISH


def spell(text: str, spelling: Spelling) -> str:
    """Return a text of ours with its words as the shop spells them; capitals stay.

    Words may be joined by underscores, as in keys.
    """
    words = _others(spelling)

    def one(found: re.Match[str]) -> str:
        word = found[0]
        new = words.get(word.lower())
        if new is None:
            return word
        if word.isupper():
            return new.upper()
        return new[:1].upper() + new[1:] if word[:1].isupper() else new

    return _WORD.sub(one, text)


def is_spelled_alike(one: str, other: str) -> bool:
    """Tell whether two words differ in their spelling at most: `labour_rate` and `labor_rate`."""
    return one == other or spell(one, Spelling.AMERICAN) == spell(other, Spelling.AMERICAN)


_WORD = re.compile(r"[A-Za-z]+")


@cache
def _others(spelling: Spelling) -> Mapping[str, str]:
    """The words of the other spelling, each with that of this one."""
    text = files("notchbook").joinpath("data", "spellings.csv").read_text(encoding="utf-8")
    (other,) = (each for each in Spelling if each is not spelling)
    return {row[other.value]: row[spelling.value] for row in csv.DictReader(text.splitlines())}
