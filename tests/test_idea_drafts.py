"""Drafts of ideas that the examples' own projects would have been: what wood they take."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from notchbook.commands.drafting import draft_file
from notchbook.shop.pipeline import price

from .examples import AS_OF, SHOPS, priced

NEAR = 0.18  # of the project's wood


def as_ideas(shop: str) -> list[str]:
    """An idea of each project: by eye the share of each board that its batch takes a piece."""
    tables = priced(shop).filled.tables
    takeoff: list[dict[str, Any]] = tables["Material takeoff"].to_dict("records")
    lines = []
    for row in tables["Projects"].to_dict("records"):
        cuts = [
            f"{{from: {each['stock']}, boards: {share(each) / row['batch']:.2f}}}"
            for each in takeoff
            if each["project"] == row["project"] and each["wood_cost"] > 0
        ]
        batch = int(row["batch"])
        if cuts:
            name = f"like {row['project']}"
            lines.append(f"  - {{idea: {name}, batch: {batch}, cuts: [{', '.join(cuts)}]}}")
    return lines


def share(takeoff: dict[str, Any]) -> float:
    """The boards of a batch that are charged for."""
    return float(takeoff["wood_cost"] / takeoff["each"])


@pytest.mark.deep
def test_drafts_take_about_the_wood_of_the_project(tmp_path: Path) -> None:
    """Within 18 %: what is left of placeholders is kept less often than that of real parts."""
    apart: dict[str, tuple[float, float]] = {}
    for shop, example in SHOPS.items():
        folder = tmp_path / shop
        shutil.copytree(example, folder, ignore=shutil.ignore_patterns("*.xlsx"))
        ideas = as_ideas(shop)
        (folder / "ideas.yaml").write_text("\n".join(["ideas:", *ideas, ""]), encoding="utf-8")
        for row in ideas:
            draft_file(folder, row.split(": ")[1].split(",")[0], AS_OF).write()
        materials = price(folder, AS_OF).filled.tables["Projects"].set_index("project")["material"]
        for name in materials.index:
            if name.startswith("like "):
                apart[name] = materials[name], materials[name.removeprefix("like ")]
    far = {name: pair for name, pair in apart.items() if abs(pair[0] / pair[1] - 1) > NEAR}
    told = "\n".join(f"{name}: {one:.2f} for {other:.2f}" for name, (one, other) in apart.items())

    assert len(apart) >= 10, told
    assert not far, told
