"""The sheet Checks: totals that must tie, rows to fix, plans that are stale."""
