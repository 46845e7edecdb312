"""How long a first compile takes, planning and all the rest apart, on one core and on all.

Run it with `python -m tests.benchmarks.cold_compile [--shops 10 30] [--examples]`.

Projects are drawn at random: three to six parts, ripped from boards that several projects share,
half of them with a panel; batches of 2 to 12. Processor time counts all processes.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from random import Random
from typing import Any
from unittest.mock import patch

from notchbook.base import side_by_side
from notchbook.commands.compile import compile_shop
from notchbook.shop import pipeline, plans

from ..examples import SHOPS
from .compile_time import AS_OF, SHOP
from .measured import heading, row

STOCK = """\
lumber:
  - {stock: spruce 2x4 8ft, nominal: 2x4, length: 96, price: 4.15, on_hand: 3}
  - {stock: spruce 2x4 10ft, nominal: 2x4, length: 120, price: 5.45}
  - {stock: pine 1x6 8ft, nominal: 1x6, length: 96, price: 7.60}
  - {stock: pine 1x4 8ft, nominal: 1x4, length: 96, price: 5.10}
panels:
  - {stock: ply 1/4 2x4ft, thickness: 1/4, width: 24, length: 48, price: 11.80, grain: true}
"""
SECTIONS = (
    ("3/4 x 1 1/2", "[spruce 2x4 8ft, spruce 2x4 10ft]"),
    ("1 1/2 x 1 1/2", "[spruce 2x4 8ft, spruce 2x4 10ft]"),
    ("5/8 x 2 3/4", "[spruce 2x4 8ft]"),
    ("3/4 x 5 1/2", "[pine 1x6 8ft]"),
    ("3/4 x 2 1/2", "[pine 1x6 8ft, pine 1x4 8ft]"),
    ("3/8 x 3/4", "[pine 1x4 8ft, spruce 2x4 8ft]"),
)
Seconds = tuple[float, float]


def shop(folder: Path, projects: int) -> Path:
    """A shop drawn at random."""
    (folder / "projects").mkdir(parents=True)
    (folder / "shop.yaml").write_text(SHOP)
    (folder / "stock.yaml").write_text(STOCK)
    for number in range(projects):
        (folder / "projects" / f"p-{number}.yaml").write_text(_project(number))
    return folder


def _project(number: int) -> str:
    rng = Random(f"project {number}")
    parts = []
    for n in range(rng.randint(3, 6)):
        section, stocks = rng.choice(SECTIONS)
        size = f"{section} x {rng.randint(40, 360)}/8"
        parts.append(f"{{part: p{n}, make: {rng.randint(1, 4)}, size: {size}, from: {stocks}}}")
    if number % 2:
        size = f"1/4 x {rng.randint(40, 150)}/8 x {rng.randint(60, 240)}/8"
        parts.append(f"{{part: back, make: 1, size: {size}, from: [ply 1/4 2x4ft]}}")
    lines = [f"project: project {number}", f"title: Project {number}"]
    lines += [f"batch: {rng.randint(2, 12)}", "parts:", *(f"  - {part}" for part in parts)]
    return "\n".join([*lines, "steps: [{step: all of it, setup: 20, minutes: 9}]"]) + "\n"


def clocks() -> Seconds:
    """Seconds by the wall and of the processor, those of processes that ended with it."""
    used = os.times()
    return time.perf_counter(), sum(used[:4])


def since(began: Seconds) -> Seconds:
    """Seconds from then until now."""
    wall, processor = clocks()
    return wall - began[0], processor - began[1]


def measure(folder: Path, cores: int) -> tuple[Seconds, Seconds]:
    """Planning, and the whole of a first compile of a copy of the shop, in a process of its own."""
    code = (
        "import sys; from tests.benchmarks import cold_compile as c; c.compile_once(*sys.argv[1:])"
    )
    with tempfile.TemporaryDirectory() as place:
        ignored = shutil.ignore_patterns("*.xlsx", "backups")
        copy = shutil.copytree(folder, Path(place) / "shop", ignore=ignored)
        command = [sys.executable, "-c", code, str(copy), str(cores)]
        done = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    planning, whole = json.loads(done.stdout)
    return planning, whole


def compile_once(folder: str, cores: str) -> None:
    """Compile a shop on so many cores, and print how long planning and all of it took."""
    planning: list[Seconds] = []

    def timed(*args: Any, **named: Any) -> plans.Plans:
        began = clocks()
        found = plans.plan_shop(*args, **named)
        planning.append(since(began))
        return found

    with (
        patch.object(pipeline, "plan_shop", timed),
        patch.object(side_by_side, "count_cores", lambda: int(cores)),
    ):
        began = clocks()
        compile_shop(Path(folder), None, AS_OF, False)
        print(json.dumps([planning[0], since(began)]))


def report(name: str, folder: Path) -> None:
    """A line for one core, one for all there are."""
    for cores in sorted({1, side_by_side.count_cores()}):
        planning, whole = measure(folder, cores)
        rest = [all_of_it - of_it for all_of_it, of_it in zip(whole, planning, strict=True)]
        numbers = (*planning, *rest, whole[0])
        row(name, cores, *(f"{number:.1f}" for number in numbers))


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.cold_compile")
    parser.add_argument("--shops", nargs="*", type=int, default=[10, 30, 100])
    parser.add_argument("--examples", action="store_true", help="the example shops, too")
    given = parser.parse_args()
    heading(
        "A first compile", "shop", "cores", "planning, wall (s)", "planning, processor (s)",
        "the rest, wall (s)", "the rest, processor (s)", "in all, wall (s)",
        seeds="projects by their number",
    )  # fmt: skip
    if given.examples:
        for folder in SHOPS.values():
            report(folder.name, folder)
    with tempfile.TemporaryDirectory() as place:
        for number in given.shops:
            report(f"{number} projects", shop(Path(place) / str(number), number))


if __name__ == "__main__":
    main()
