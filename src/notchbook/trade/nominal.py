"""What lumber and plywood really measure: from the nominal size to the size in the standard."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib import resources
from typing import Any

from notchbook.measure import Units, evaluate_size, parse_length, show_length
from notchbook.measure.lengths import quoted

Pair = tuple[Fraction, Fraction]
"""Thickness and width of a board, or the least and the most of a thickness."""

LONGEST = 40
"""Characters of a nominal size."""

_QUARTERS = re.compile(r" *([0-9]+/4) *[xX]")


class NominalError(ValueError):
    """A nominal size that the standard does not list; the message says what to write instead."""


@dataclass(frozen=True)
class _Lumber:
    """The published tables, read into exact inches; `pairs_mm` is in millimetres."""

    thickness: Mapping[Fraction, Fraction]
    width: Mapping[Fraction, Fraction]
    pairs_mm: Mapping[Pair, Pair]
    pair_names: Mapping[Pair, str]
    surfaced: Mapping[str, Fraction]
    plywood: Mapping[Fraction, Pair]


def nominal_inches(nominal: str) -> tuple[Fraction, Fraction]:
    """Read nominal thickness and width in inches, by which board feet count: 2x4 is 2 and 4.

    Raises NominalError for a size that PS 20 does not list, naming the nearest that it does.
    """
    thickness, width = _read(nominal)
    tables = _lumber()
    if thickness not in tables.thickness or width not in tables.width or width < thickness:
        raise _unlisted(nominal, (thickness, width))
    return thickness, width


def actual_size(nominal: str, units: Units) -> tuple[Fraction, Fraction]:
    """Look up dressed, dry thickness and width in `units` by PS 20: a 2x4 is 1 1/2 and 3 1/2 in.

    In an mm shop the millimetres as listed (2x4: 38 and 89), or for a size that has none listed
    the inches to the nearest whole millimetre, which is how the listed ones come about.

    Raises NominalError for a size that PS 20 does not list, naming the nearest that it does.
    """
    thickness, width = nominal_inches(nominal)
    tables = _lumber()
    inches = tables.thickness[thickness], tables.width[width]
    if units == "inch":
        return inches
    listed = tables.pairs_mm.get((thickness, width))
    return listed or (_whole_millimetres(inches[0]), _whole_millimetres(inches[1]))


def list_softwood() -> dict[str, tuple[Pair, Pair]]:
    """List what a yard keeps by its nominal size: dressed, dry thickness and width in in and mm."""
    tables = _lumber()
    return {
        name: ((tables.thickness[pair[0]], tables.width[pair[1]]), tables.pairs_mm[pair])
        for pair, name in tables.pair_names.items()
    }


def list_plywood() -> Mapping[Fraction, Pair]:
    """List the least and the most that plywood measures, in inches, by its PS 1 category.

    Unsanded and touch-sanded panels.
    """
    return _lumber().plywood


def _read(nominal: str) -> Pair:
    if not isinstance(nominal, str) or len(nominal) > LONGEST:
        raise NominalError(f"{quoted(nominal)} is no nominal size; write one such as 2x4")
    quarters = _QUARTERS.match(nominal)
    if quarters is not None and quarters[1] not in ("3/4", "5/4", "6/4"):
        raise _hardwood(quarters[1])
    parts = re.split("[xX]", nominal)
    if len(parts) == 3:
        raise NominalError(
            f"{quoted(nominal)} has three dimensions; write thickness x width as nominal, such as "
            "2x4, and the length by itself"
        )
    try:
        thickness, width = (parse_length(part, "inch") for part in parts)
    except ValueError:  # a part that is no length, or not two parts
        raise _unlisted(nominal) from None
    return thickness, width


def _hardwood(quarters: str) -> NominalError:
    surfaced = _lumber().surfaced.get(quarters)
    about = f", about {show_length(surfaced, 'inch')} in. once surfaced" if surfaced else ""
    return NominalError(
        f"{quarters} is a hardwood thickness{about}, and dealers differ; measure the board and "
        "give thickness and width instead of nominal"
    )


def _unlisted(nominal: str, parsed: Pair | None = None) -> NominalError:
    tables = _lumber()
    if parsed is None:
        names = [*tables.pair_names.values()]
        near = difflib.get_close_matches(nominal[:20].lower().replace(" ", ""), names, cutoff=0.5)
    elif parsed[::-1] in tables.pair_names:
        near = [tables.pair_names[parsed[::-1]]]
    else:
        nearest = sorted(tables.pair_names, key=lambda pair: _apart(pair, parsed))
        near = [tables.pair_names[pair] for pair in nearest[:2]]
    return NominalError(
        f"{quoted(nominal)} is no nominal softwood size in PS 20; "
        f"write {' or '.join(near or ['1x6', '2x4'])}, or give thickness and width instead"
    )


def _apart(one: Pair, other: Pair) -> Fraction:
    return abs(one[0] - other[0]) + abs(one[1] - other[1])


def _whole_millimetres(inches: Fraction) -> Fraction:
    return Fraction(int(inches * Fraction(254, 10) + Fraction(1, 2)))


@cache
def _lumber() -> _Lumber:
    data = _load()
    pairs = {_two(_spaced(p["nominal"]), "inch"): p for p in data["softwood"]["pairs"]}
    return _Lumber(
        thickness=_by_length(data["softwood"]["thickness"]),
        width=_by_length(data["softwood"]["width"]),
        pairs_mm={pair: _two(row["mm"], "mm") for pair, row in pairs.items()},
        pair_names={pair: row["nominal"] for pair, row in pairs.items()},
        surfaced={
            name: parse_length(to, "inch") for name, to in data["hardwood"]["surfaced"].items()
        },
        plywood={
            parse_length(panel["category"], "inch"): (
                parse_length(panel["least"], "inch"),
                parse_length(panel["most"], "inch"),
            )
            for panel in data["plywood"]
        },
    )


def _load() -> Any:
    from ruamel.yaml import YAML

    text = resources.files("notchbook").joinpath("data", "lumber.yaml").read_text("utf-8")
    return YAML(typ="safe", pure=True).load(text)


def _by_length(table: Mapping[str | int, str | int]) -> dict[Fraction, Fraction]:
    return {parse_length(key, "inch"): parse_length(to, "inch") for key, to in table.items()}


def _spaced(nominal: str) -> str:
    return " x ".join(re.split("[xX]", nominal))


def _two(size: str, units: Units) -> Pair:
    first, second = evaluate_size(size, units, {}, 2)
    return first, second
