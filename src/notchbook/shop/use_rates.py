"""How much of the wood bought ends up in pieces: by the shop's proved plans, or common practice."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

from ruamel.yaml import YAML

from notchbook.planning.model.plan import CutBoard, CutPanel, Plan

_Volumes = defaultdict[str, Fraction]
UseRate = tuple[float, str]
"""A share of the wood bought, and in words which plans told it."""


@cache
def common_use_rates() -> Mapping[str, float]:
    """Read the shares of common practice, by the kind of stock."""
    text = (files("notchbook") / "data" / "use_rates.yaml").read_text("utf-8")
    found: Mapping[str, Any] = YAML(typ="safe", pure=True).load(text)
    return {kind: float(share) for kind, share in found.items()}


def find_use_rates(
    plans: Iterable[Plan], kinds: Mapping[str, str], spare_offcuts: bool
) -> dict[str, UseRate]:
    """Find the use rate of each stock of wood: by its own proved plans, else by those of its kind.

    `kinds` tells the kind of each stock. With `spare_offcuts` usable offcuts are no part of what
    was bought, as where a shop charges its projects for the wood without them. Stock of which no
    plan tells anything has none.
    """
    used, bought = _Volumes(Fraction), _Volumes(Fraction)
    for plan in plans:
        if plan.status == "optimal" and not plan.short:
            _add(plan, used, bought, spare_offcuts)
    of_kind: dict[str, list[str]] = {}
    for stock in sorted(bought.keys() & kinds.keys()):  # plans may be of a shop that had others
        of_kind.setdefault(kinds[stock], []).append(stock)
    found: dict[str, UseRate] = {}
    for stock, kind in kinds.items():
        told_by = [stock] if stock in bought else of_kind.get(kind, [])
        if told_by:
            share = sum(used[each] for each in told_by) / sum(bought[each] for each in told_by)
            found[stock] = float(share), "its own plans" if stock in bought else f"plans of {kind}"
    return found


def _add(plan: Plan, used: _Volumes, bought: _Volumes, spare_offcuts: bool) -> None:
    """Add the volumes of a plan's pieces and boards, by stock."""
    for cut in plan.cuts():
        used[cut.stock] += cut.count * sum(_pieces(cut), Fraction(0))
        bought[cut.stock] += cut.count * cut.thickness * cut.width * cut.length
    for offcut in plan.offcuts if spare_offcuts else ():
        bought[offcut.stock] -= offcut.count * offcut.thickness * offcut.width * offcut.length


def _pieces(cut: CutBoard | CutPanel) -> Iterator[Fraction]:
    """Yield the volume of each piece of a board or sheet."""
    if isinstance(cut, CutPanel):
        yield from (cut.thickness * piece.length * piece.width for piece in cut.pieces)
        return
    for strip in (strip for blank in cut.blanks for strip in blank.strips):
        yield from (strip.thickness * strip.width * piece.length for piece in strip.pieces)
