"""Slanted ends at the saw: one setting for each angle, once the pieces have their lengths."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from notchbook.base.sentences import listed, so_many
from notchbook.base.spelling import Spelling, spell
from notchbook.sheets.making.cut_list import CutRow
from notchbook.sheets.making.ends import parse_ends

_SET = {"mitre": "Mitre gauge {:g} degrees off square", "bevel": "Blade {:g} degrees off upright"}
_FORM = {
    "both": "both ends of {}, long points on the same edge",
    "parallel": "both ends of {}, in parallel",
    "one end": "one end of {}",
}


def list_slant_settings(parts: Iterable[CutRow], units: int, spelling: Spelling) -> Iterator[str]:
    """List a sentence for each cut and angle; lengths stay at the long points."""
    settings: dict[tuple[str, float], dict[str, list[str]]] = {}
    for row in parts:
        if row.ends and row.make * units:
            ends = parse_ends(row.ends)
            forms = settings.setdefault((ends.cut, float(ends.degrees)), {})
            forms.setdefault(ends.form, []).append(so_many(row.make * units, row.part))
    for (cut, degrees), forms in settings.items():
        cuts = "; ".join(_FORM[form].format(listed(names)) for form, names in forms.items())
        gauge = spell(_SET[cut], spelling).format(degrees)
        yield f"{gauge}: cut {cuts}; the full length stays at the long points."
