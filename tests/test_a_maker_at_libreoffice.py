"""Makers at work in LibreOffice, which writes much of a workbook its own way."""

from __future__ import annotations

from pathlib import Path

import pytest

from .calc import save_again
from .maker import MOST, Maker

COMPILES = 2


@pytest.mark.seeds(quick=0, deep=6)
@pytest.mark.usefixtures("few_rows", "planning_anew")
def test_nothing_typed_is_lost_through_libreoffice(seed: int, tmp_path: Path) -> None:
    """Some random work, saved by LibreOffice, and a compile."""
    maker = Maker(tmp_path, 10_000 + seed)
    for _ in range(COMPILES):
        maker.work(maker.chance.randrange(1, MOST))
        save_again([maker.desk.path])
        maker.compile()
