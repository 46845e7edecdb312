"""What tests of several subjects stand on."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from .desk import Desk, few_blank_rows


@pytest.fixture
def few_rows() -> Iterator[None]:
    """Workbooks with few blank rows below their tables."""
    with few_blank_rows():
        yield


@pytest.fixture
def desk(tmp_path: Path, few_rows: None) -> Desk:
    """The small shop and its workbook, with few blank rows."""
    return Desk(tmp_path)
