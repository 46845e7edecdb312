"""Makers at work on files and workbook in any order: each typed value stays, or is listed."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from .calc import save_again
from .maker import Maker

SHOPS = int(os.environ.get("NOTCHBOOK_SHOPS", "3"))
ROUNDS = int(os.environ.get("NOTCHBOOK_ROUNDS", "10"))
THROUGH_LIBREOFFICE = int(os.environ.get("NOTCHBOOK_LIBREOFFICE_SHOPS", "2"))
MOST_STEPS = 8


@pytest.mark.parametrize("seed", range(SHOPS))
@pytest.mark.usefixtures("few_rows")
def test_nothing_typed_is_lost(seed: int, tmp_path: Path) -> None:
    """Some random work and a compile, ten times after another at each of some shops."""
    maker = Maker(tmp_path, seed)
    for _ in range(ROUNDS):
        maker.work(maker.chance.randrange(1, MOST_STEPS))
        maker.compile()
    maker.compile_again()


@pytest.mark.usefixtures("few_rows")
def test_nothing_typed_is_lost_through_libreoffice(tmp_path: Path) -> None:
    """The same, each time saved by LibreOffice before it is compiled; all shops at once."""
    makers = [Maker(tmp_path / str(n), 10_000 + n) for n in range(THROUGH_LIBREOFFICE)]
    for _ in range(ROUNDS // 5):
        for maker in makers:
            maker.work(maker.chance.randrange(1, MOST_STEPS))
        save_again([maker.desk.path for maker in makers])
        for maker in makers:
            maker.compile()
