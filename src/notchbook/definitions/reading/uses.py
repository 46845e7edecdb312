"""What a unit uses up: by the piece, along parts, by coats; and the tools it wears."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.places import Found
from notchbook.sheets.making.consumables import UseRow


@dataclass(frozen=True)
class _Form:
    """A way of counting: its basis, and the key that lists parts."""

    basis: str
    listed: str | None = None


FORMS: Mapping[str, _Form] = {
    "each": _Form("piece"),
    "per_length": _Form("length", "along"),
    "coats": _Form("area", "on"),
}
GLUE = "glue"
"""The basis of what goes between layers; in a file it is said by their faces."""
TOOL_FORMS: Mapping[str, str] = {"uses": "use", "hours": "hour"}
"""By key: the basis of its row."""


def read_uses(found: Found, project: str, known: Known) -> None:
    """Make rows of all uses of stock, one a part where parts are listed."""
    for use in found.each("uses"):
        key = _form(use, FORMS)
        if key is None:
            continue
        form = FORMS[key]
        _check_beside(use, key, form)
        if use.text("faces") == GLUE and form.basis != "area":
            use.report("faces", f"it has no use beside {key}; leave it out")
        faces = use.text("faces")
        values = {
            **use.pick("stock"),
            "project": project,
            "basis": GLUE if faces == GLUE and form.basis == "area" else form.basis,
            "amount": use.values.get(key),
            "faces": int(faces) if faces and faces != GLUE else None,
        }
        written_as = {"amount": key, "basis": key, "part": form.listed or key}
        listed = use.names(form.listed) if form.listed else ()
        for part in [each.text for each in listed] or ("",):
            known.row("Consumables", UseRow, use, {**values, "part": part or None}, written_as)


def _form(found: Found, forms: Mapping[str, object]) -> str | None:
    """Return the one key that says how an entry is counted; told where there is none or more."""
    written = [key for key in forms if found.has(key)]
    if len(written) == 1:
        return written[0]
    found.whole = False
    wanted = ", ".join(forms)
    if not written:
        found.source.report(
            found.line, f"it is not said how this is counted; write one of {wanted}"
        )
    else:
        found.report(written[1], f"it stands beside {written[0]}; write one of {wanted} an entry")
    return None


def _check_beside(use: Found, key: str, form: _Form) -> None:
    for other in ("on", "along"):
        if use.has(other) and other != form.listed:
            use.report(other, f"it has no use beside {key}; leave it out")


def read_tool_uses(found: Found, project: str, known: Known) -> None:
    """Make rows of the wear of tools."""
    for use in found.each("tools"):
        key = _form(use, TOOL_FORMS)
        if key is not None:
            values = {**use.pick("tool"), "project": project, "basis": TOOL_FORMS[key]}
            values["amount"] = use.values.get(key)
            known.row("Consumables", UseRow, use, values, {"amount": key, "basis": key})
