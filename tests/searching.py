"""How long tests search that draw their own examples."""

from __future__ import annotations

from hypothesis import settings


def examples(quick: int) -> settings:
    """So many examples by the profile `quick`, ten times as many by `deep` (`conftest.py`)."""
    return settings(max_examples=quick * settings().max_examples // 100)
