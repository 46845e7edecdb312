"""What needs a look, and what is worth knowing: in sentences, each with the cell it speaks of."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Collection, Container, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import zip_longest

from notchbook.base.sentences import listed
from notchbook.sheets.checks.sheet import checks_of, notices_of
from notchbook.sheets.kit.calculate import Filled, Target
from notchbook.sheets.kit.declare import Book, LineRow
from notchbook.sheets.making.pricing_tiers import BELOW
from notchbook.sheets.start import LOOKS, SPOTTED

_IN_SIGHT = 84
"""Letters of a sentence that a line of Start shows."""
_CELL = re.compile(r"([^!]+)!\$?([A-Z]{1,3})\$?([0-9]+)\b")
NAMED_APART = ("estimates", "marks_meet")
"""Notices whose every row is told in a sentence of its own."""


@dataclass(frozen=True, slots=True)
class Spotted:
    """A sentence, and the cell that it speaks of."""

    says: str
    at: Target


def find_shortages(filled: Filled, projects: Container[str] | None = None) -> list[Spotted]:
    """Find the projects whose reclaimed stock does not suffice, each with the stock.

    `projects` are those that are looked at, all where it is left out.
    """
    rows = filled.tables["Material takeoff"]
    return [
        Spotted(f"{row.project}: not enough {row.stock}", Target("Material takeoff", "state", at))
        for at, row in enumerate(rows.itertuples())
        if row.state == "not enough" and (projects is None or row.project in projects)
    ]


def fill_looks(book: Book, filled: Filled, told: Iterable[str], tax: str) -> None:
    """Say on Start what needs a look: what is `told` of cells, shortages, checks that fail.

    What a compile tells once is no part of it. Then what is worth knowing, of prices first.
    """
    sheets = [sheet.name for sheet in book.sheets]
    looks = [
        *(Spotted(each, _find_cell(each, sheets)) for each in told),
        *find_shortages(filled),
        *_find_open(filled, checks_of(tax)),
    ]
    notices = [*_find_losses(filled), *_find_open(filled, notices_of(tax))]
    for names, found in ((LOOKS, looks), (SPOTTED, notices)):
        for name, each in zip_longest(names, _first(found, len(names))):
            filled.lines["Start", name] = "" if each is None else _shorten(each.says)
            if each is not None:
                filled.links["Start", name] = each.at


def _first(found: list[Spotted], most: int) -> list[Spotted]:
    """Return those that have a line; where there are more, the last line says how many."""
    if len(found) <= most:
        return found
    more = len(found) - most + 1
    return [*found[: most - 1], Spotted(f"and {more} more, on Checks", Target("Checks"))]


def _shorten(text: str) -> str:
    return textwrap.shorten(text, _IN_SIGHT, placeholder=" ...")


def _find_cell(text: str, sheets: Collection[str]) -> Target:
    """Find the cell that a sentence begins with; what is told of a file is seen on Checks."""
    found = _CELL.match(text)
    if found is None or found[1] not in sheets:
        return Target("Checks")
    return Target(found[1], found[2] + found[3])


def _find_open(filled: Filled, lines: Mapping[str, LineRow]) -> Iterator[Spotted]:
    """Find the checks, or notices, that do not hold, each with the first row that it counts."""
    for name, row in lines.items():
        if filled.lines["Checks", f"{name}_state"] == "OK" or name in NAMED_APART:
            continue
        line = Target("Checks", f"{name}_state")
        named = filled.lines.get(("Checks", f"{name}_named"), "")
        yield Spotted(
            f"{row.label}: {named}" if named else row.label,
            filled.links.get(("Checks", f"{name}_named"), line),
        )


def _find_losses(filled: Filled) -> Iterator[Spotted]:
    """Find the projects that lose money on each piece, with the tiers."""
    rows = filled.tables["Pricing tiers"].reset_index(drop=True)
    for project, below in rows[rows["state"] == BELOW].groupby("project", sort=False):
        at = Target("Pricing tiers", "state", int(below.index[0]))
        yield Spotted(f"{project} loses money at {listed(below['tier'])}", at)
