"""Makers at work on files and workbook in any order: each typed value stays, or is listed."""

from __future__ import annotations

from pathlib import Path

import pytest

from .maker import MOST, Maker

ROUNDS = 3


@pytest.mark.seeds(quick=0, deep=10)
@pytest.mark.usefixtures("few_rows", "planning_anew")
def test_nothing_typed_is_lost(seed: int, tmp_path: Path) -> None:
    """Some random work and a compile, three times after another at each of some shops."""
    maker = Maker(tmp_path, seed)
    for _ in range(ROUNDS):
        maker.work(maker.chance.randrange(1, MOST))
        maker.compile()
    maker.compile_again()
