"""Makers at work in LibreOffice, which writes much of a workbook its own way."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from .calc import save_again
from .maker import MOST, Maker

THROUGH_LIBREOFFICE = int(os.environ.get("NOTCHBOOK_LIBREOFFICE_SHOPS", "2"))
COMPILES = 2


@pytest.mark.usefixtures("few_rows")
def test_nothing_typed_is_lost_through_libreoffice(tmp_path: Path) -> None:
    """Some random work, saved by LibreOffice, and a compile; all shops at once."""
    makers = [Maker(tmp_path / str(n), 10_000 + n) for n in range(THROUGH_LIBREOFFICE)]
    for _ in range(COMPILES):
        for maker in makers:
            maker.work(maker.chance.randrange(1, MOST))
        save_again([maker.desk.path for maker in makers])
        for maker in makers:
            maker.compile()
