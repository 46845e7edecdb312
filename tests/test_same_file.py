"""The same shop is the same file, whatever order the process keeps its sets in."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from .every_book import BOOKS
from .maker import shop_with_variants

RULES = """\
from notchbook.sheets import book_for
for tax in ("us", "none"):
    print(*book_for(tax).rules(), sep="\\n")
"""


def said(order: int, *words: object) -> str:
    """What a process of its own prints that keeps its sets in some order."""
    done = subprocess.run(
        [sys.executable, *map(str, words)],
        env={**os.environ, "PYTHONHASHSEED": str(order)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Traceback" not in done.stderr, done.stderr
    return done.stdout


def test_rules_are_the_same_in_every_process() -> None:
    """Steps are cut out of long rules, and conditions chosen, in one order."""
    there = said(1, "-c", RULES).splitlines()
    here = [str(rule) for book in BOOKS.values() for rule in book.rules()]  # any order

    assert len(here) > 2_000
    assert [line[:80] for line, other in zip(here, there, strict=True) if line != other] == []


@pytest.mark.deep
@pytest.mark.usefixtures("few_rows")
def test_a_compile_is_the_same_in_every_process(tmp_path: Path) -> None:
    """From the files alone, and again with the workbook that stands."""
    written = []
    for order in (1, 2):
        folder = tmp_path / str(order)
        shutil.copytree(shop_with_variants(), folder)
        (book,) = folder.glob("*.xlsx")
        book.unlink()
        for _ in range(2):
            said(order, "-m", "notchbook", "compile", folder, "--as-of", "2026-06-01")
            written.append(book.read_bytes())

    assert written[0] == written[2]
    assert written[1] == written[3]
