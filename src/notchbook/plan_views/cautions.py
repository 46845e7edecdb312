"""Cautions in the words of the data file, and the sizes under which a step is marked with them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

from ruamel.yaml import YAML

from notchbook.base.spelling import Spelling, spell
from notchbook.measure import Ruler, Units
from notchbook.planning.saw.steps import Hazard, Limits, Step

_NAMED: Mapping[Hazard, str] = {
    "narrow": "narrow rips",
    "short": "short blanks",
    "small": "small pieces",
    "large": "large sheets",
    "wide": "wide cuts",
}
"""The caution that each hazard of a step stands for."""
_RECLAIMED = ("nails in reclaimed wood", "reclaimed paint")


@cache
def read_cautions(spelling: Spelling) -> Mapping[str, str]:
    """Read the sentences of all cautions, by the name that a project gives."""
    return {word: spell(entry["say"], spelling) for word, entry in _entries().items()}


def read_limits(units: Units, reach: Fraction | None) -> Limits:
    """Read the sizes from which steps are marked, in the shop's unit; `reach` is the fence's."""
    sizes = {hazard: Fraction(_size(hazard, units)) for hazard in _NAMED if hazard != "wide"}
    return Limits(**sizes, reach=reach)


def choose_saw_cautions(
    steps: tuple[Step, ...],
    ruler: Ruler,
    reclaimed: bool,
    reach: Fraction | None,
    spelling: Spelling,
) -> list[str]:
    """Choose what to mind at the saw with these steps, some perhaps in reclaimed wood."""
    cautions = read_cautions(spelling)
    old = [cautions[name] for name in _RECLAIMED] if reclaimed else []
    if not steps:
        return old
    found = {hazard for step in steps for hazard in step.hazards}
    said = [
        f"{hazard.capitalize()} ({_limit(hazard, ruler, reach)}): {cautions[name]}"
        for hazard, name in _NAMED.items()
        if hazard in found
    ]
    return [*old, *said, cautions["at the saw"]]


def choose_cautions(
    named: Iterable[str], about: str, care: Iterable[str], spelling: Spelling
) -> list[str]:
    """Choose a project's cautions: those it names, those its work asks for, those at its saw.

    `about` are the words of its materials, tools and steps.
    """
    words = about.lower()
    asked = [
        name
        for name, entry in _entries().items()
        if any(re.search(rf"\b{word}", words) for word in entry.get("about", ()))
    ]
    said = read_cautions(spelling)
    names = dict.fromkeys((*named, *asked, "always"))
    sentences = [said.get(name, f"{name[:1].upper()}{name[1:]}.") for name in names]
    return list(dict.fromkeys((*sentences[:-1], *care, sentences[-1])))


def _limit(hazard: Hazard, ruler: Ruler, reach: Fraction | None) -> str:
    if hazard == "wide":
        return f"over {ruler.setting(reach)}" if reach is not None else ""
    side = "under" if "below" in _entries()[_NAMED[hazard]] else "over"
    return f"{side} {_size(hazard, ruler.units)} {ruler.unit}"


def _size(hazard: Hazard, units: Units) -> int:
    entry = _entries()[_NAMED[hazard]]
    found: int = entry.get("below", entry.get("above"))[units]
    return found


@cache
def _entries() -> Mapping[str, Mapping[str, Any]]:
    text = files("notchbook").joinpath("data", "cautions.yaml").read_text(encoding="utf-8")
    found: Mapping[str, Mapping[str, Any]] = YAML(typ="safe").load(text)
    return found
