"""The report of a compile in plain words."""

from __future__ import annotations

from collections.abc import Iterable

from notchbook.base.sentences import MOST, counted
from notchbook.commands.compile import Report
from notchbook.sheets.start import MOVED

_HEADS = {
    "kept": "typed in the workbook, kept",
    "taken": "changed in the files, taken",
    "conflicts": "changed on both sides, the workbook's kept",
    "added": "new rows",
    "deleted": "deleted rows",
    "renamed": "new names",
}


def report_text(report: Report, full: bool = False) -> str:
    """What was written, and what the merge did, a line each; the first of them, or all."""
    lines = [f"Wrote {report.workbook}"]
    if report.backup:
        lines.append(f"The one before is {report.backup}")
    for name, head in _HEADS.items():
        lines += _listed(head, (str(each) for each in getattr(report.changes, name)), full)
    if report.frozen:
        rows = counted(len(report.frozen), "sale")
        lines.append(f"Saved the costs of {rows}; they will not change again.")
    moved = [f"  {each.sentence(report.decimals)}" for each in report.moved[: len(MOVED)]]
    if moved:
        lines += [f"moved since the last compile ({len(report.moved)}):", *moved]
    ties = sum(1 for each in report.checks if each["ok"])
    lines.append(f"{ties} of {len(report.checks)} checks OK")
    if not report.backup:
        lines.append(
            "Open it in a spreadsheet program; its sheet Start says what to look at first."
        )
    return "\n".join(lines)


def _listed(head: str, found: Iterable[str], full: bool) -> list[str]:
    lines = list(found)
    if not lines:
        return []
    shown = lines if full else lines[:MOST]
    left = len(lines) - len(shown)
    more = [f"  and {left} more; --full tells all of them"] if left else []
    return [f"{head} ({len(lines)}):", *(f"  {line}" for line in shown), *more]
