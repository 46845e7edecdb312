"""How long tests search that draw their own examples, and which cases are tried seldom."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import settings


def examples(quick: int) -> settings:
    """So many examples by the profile `quick`, six times as many by `deep` (`conftest.py`)."""
    return settings(max_examples=quick * settings().max_examples // 100)


def seldom(*cases: object) -> list[Any]:
    """Cases of a test for the deep part alone, where others of their kind are always tried."""
    return [pytest.param(case, marks=pytest.mark.deep) for case in cases]
