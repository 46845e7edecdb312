"""The published sets, read from the data folder as shops.

The folder is the one that `NOTCHBOOK_BENCH_DATA` names: a file a set, a job a line as JSON.
"""

from __future__ import annotations

import json
import os
from collections import defaultdict
from pathlib import Path
from typing import Any, NamedTuple

from ..plain_shops import PLAIN_SAW, Shop, panel, part, shop_of, stock_lengths

DATA = Path(os.environ.get("NOTCHBOOK_BENCH_DATA", "benchmark-data"))


class Instance(NamedTuple):
    """A published instance as it is in the file, as a shop, with the fewest boards known."""

    name: str
    read: dict[str, Any]
    shop: Shop
    optimum: int


def read(name: str) -> list[dict[str, Any]]:
    """The lines of a file of the data folder. Raises SystemExit where there is none."""
    if not DATA.is_dir():
        raise SystemExit(
            f"there is no folder {DATA}; name that of the published sets in NOTCHBOOK_BENCH_DATA"
        )
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    return [json.loads(line) for line in lines if line.strip()]


def one_dimensional() -> dict[str, list[Instance]]:
    """One-dimensional sets by class: lumber of one section and length at a price of 1."""
    found: dict[str, list[Instance]] = defaultdict(list)
    for line in read("one_dimensional.jsonl"):
        shop = stock_lengths([[line["stock"], 1]], line["pieces"])
        found[line["set"]].append(Instance(line["name"], line, shop, line["optimum"]))
    return dict(found)


def worked() -> list[Instance]:
    """Worked examples of textbooks; the optimum is a cost where there are several lengths."""
    return [
        Instance(line["name"], line, stock_lengths(line["stock"], line["parts"]), line["opt"])
        for line in read("worked.jsonl")
    ]


def sheets(turned: bool) -> list[Instance]:
    """Sets with quantities, fewest sheets: pieces kept along the grain, or free to turn."""
    found = []
    for line in read("guillotine.jsonl"):
        if line["set"] != "gcutd":
            continue
        long, wide = line["sheet"]
        sheet = panel("sheet", (1, wide, long), 1, grain=not turned)
        parts = [
            part(f"p{n}", often, (1, w, length), "sheet")
            for n, (length, w, often) in enumerate(line["pieces"])
        ]
        optimum = line["optimum_turned" if turned else "optimum_fixed"]
        found.append(Instance(line["name"], line, shop_of(parts, [sheet], **PLAIN_SAW), optimum))
    return found


def single_sheets() -> list[dict[str, Any]]:
    """Sets of one sheet with a value for each piece."""
    return [line for line in read("guillotine.jsonl") if line["set"] != "gcutd"]
