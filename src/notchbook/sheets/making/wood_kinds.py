"""The kinds of stock that parts are cut from."""

from __future__ import annotations

from notchbook.language.expressions import this

WOOD = ("lumber", "panel")
IS_LUMBER, IS_PANEL = (this.kind.equals(kind) for kind in WOOD)
IS_WOOD = IS_LUMBER | IS_PANEL
