"""The example shops and starters, and their workbooks compiled once for all tests."""

from __future__ import annotations

import tempfile
from contextlib import nullcontext
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from notchbook.commands import compile as compiling
from notchbook.shop.pipeline import Priced, price

from .desk import few_blank_rows

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "example_projects"
INCH, METRIC = EXAMPLES / "harbor-lane", EXAMPLES / "fjordside"
SHOPS = {"inch": INCH, "metric": METRIC}
STARTERS = sorted(path for path in (ROOT / "templates").iterdir() if path.is_dir())
AS_OF = date(2026, 11, 1)


@cache
def _folder() -> tempfile.TemporaryDirectory[str]:
    return tempfile.TemporaryDirectory(prefix="notchbook-tests-")


@cache
def workbook(shop: str, few: bool = False) -> Path:
    """The workbook of an example shop, compiled from what `priced` worked out: planned once.

    With `few` blank rows below its tables LibreOffice works at it in half the time.
    """
    path = Path(_folder().name) / f"{shop}{' with few rows' * few}.xlsx"
    found = priced(shop)
    with pytest.MonkeyPatch.context() as patch, few_blank_rows() if few else nullcontext():
        patch.setattr(compiling, "price_gathered", lambda gathered, watch: found)
        compiling.compile_shop(SHOPS[shop], path, AS_OF)
    return path


@cache
def priced(shop: str) -> Priced:
    """An example shop with everything worked out."""
    return price(SHOPS[shop], AS_OF)
