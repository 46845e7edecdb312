"""A sheet is one file: added to its room, it is read, merged, checked, told and written."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from .desk import compiled
from .examples import ROOT

ADDED = {"jigs.py": "making", "fairs.py": "ledgers"}
"""By file: the room that it is put into."""


@pytest.mark.deep
def test_a_sheet_is_one_file(tmp_path: Path) -> None:
    """Two files more in a copy of the package, and nothing else of it changed."""
    package = tmp_path / "library" / "notchbook"
    shutil.copytree(ROOT / "src" / "notchbook", package)
    for file, room in ADDED.items():
        shutil.copy(ROOT / "tests" / "added_sheets" / file, package / "sheets" / room / file)
    shutil.copytree(compiled(), tmp_path / "before")

    told = subprocess.run(
        [sys.executable, "-m", "tests.added_sheets.story", str(tmp_path)],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(package.parent)},
        capture_output=True,
        text=True,
        check=False,
    )

    assert told.returncode == 0, told.stderr
