"""The whole definition syntax: every place, and the keys that may stand in it."""

from __future__ import annotations

from collections.abc import Mapping

from notchbook.definitions.syntax.columns import LEDGER_FILES, keys_of
from notchbook.definitions.syntax.ideas import IDEA_SYNTAX
from notchbook.definitions.syntax.keys import Key
from notchbook.definitions.syntax.projects import PROJECT_SYNTAX
from notchbook.definitions.syntax.shop import SHOP_SYNTAX

SYNTAX: Mapping[str, tuple[Key, ...]] = {
    **SHOP_SYNTAX,
    **IDEA_SYNTAX,
    **PROJECT_SYNTAX,
    **{file: keys_of(row, row.written[0]) for file, (_, row) in LEDGER_FILES.items()},
}
"""By place, in the order of the reference: a file, an entry of one, or a ledger's columns."""
