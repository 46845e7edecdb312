"""Makers at work on files and workbook in any order: each typed value stays, or is listed."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from .maker import MOST, Maker

SHOPS = int(os.environ.get("NOTCHBOOK_SHOPS", "3"))
ROUNDS = 10


@pytest.mark.parametrize("seed", range(SHOPS))
@pytest.mark.usefixtures("few_rows")
def test_nothing_typed_is_lost(seed: int, tmp_path: Path) -> None:
    """Some random work and a compile, ten times after another at each of some shops."""
    maker = Maker(tmp_path, seed)
    for _ in range(ROUNDS):
        maker.work(maker.chance.randrange(1, MOST))
        maker.compile()
    maker.compile_again()
