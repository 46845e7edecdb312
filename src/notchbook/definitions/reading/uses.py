"""What a unit uses up: by the piece, along parts, by coats; and the tools it wears."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from notchbook.base.problems import quoted
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.names import KnownNames
from notchbook.definitions.reading.parts import named
from notchbook.definitions.reading.places import Found
from notchbook.sheets.making.consumables import UseRow


@dataclass(frozen=True)
class _Form:
    """A way of counting: its basis, the key that lists parts, the keys that may go with it."""

    basis: str
    listed: str | None = None
    beside: tuple[str, ...] = ()


FORMS: Mapping[str, _Form] = {
    "each": _Form("piece"),
    "per_length": _Form("length", "along", ("along",)),
    "coats": _Form("area", "on", ("on", "faces")),
}
_BESIDE = {key for form in FORMS.values() for key in form.beside}
TOOL_FORMS: Mapping[str, tuple[str, str]] = {"uses": ("use", "per use"), "hours": ("hour", "hours")}
"""By key: the basis of its row, and how the tool must wear."""


def read_uses(
    found: Found, project: str, parts: KnownNames, surfaces: KnownNames, known: Known
) -> None:
    """Makes rows of all uses of stock, one a part where parts are listed."""
    for use in found.each("uses"):
        if known.refers(use, "stock", known.stocks):
            _check_kind(use, known)
        key = _form(use, FORMS)
        if key is None:
            continue
        form = FORMS[key]
        _check_beside(use, key, form)
        values = {
            **use.pick("stock", "faces"),
            "project": project,
            "basis": form.basis,
            "amount": use.values.get(key),
        }
        written_as = {"amount": key, "part": form.listed or key}
        among = (parts, surfaces) if form.basis == "area" else (parts,)
        if form.listed is None:
            known.row("Consumables", UseRow, use, values, written_as)
            continue
        for part in list(named(use, form.listed, *among)):
            known.row("Consumables", UseRow, use, {**values, "part": part.text}, written_as)


def _form(found: Found, forms: Mapping[str, object]) -> str | None:
    """The one key that says how an entry is counted; reported where there is none or more."""
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
    if form.listed is not None and not use.has(form.listed):
        use.report(key, f"it stands without {form.listed}; write the parts there")
    for other in sorted(_BESIDE - set(form.beside)):
        if use.has(other):
            use.report(other, f"it has no use beside {key}; leave it out")
    faces = use.number("faces")
    if faces is not None and faces not in (1, 2):
        use.report("faces", f"{faces:g} is not 1 or 2; write 1 or 2, or leave it out for all six")


def _check_kind(use: Found, known: Known) -> None:
    stock = use.text("stock") or ""
    kind = known.stock_kinds[stock]
    if kind not in ("hardware", "consumable"):
        use.report(
            "stock",
            f"{quoted(stock)} is {kind}, which is cut; list it in a part's from, "
            "or write hardware or a consumable",
        )
    elif use.has("coats") and stock not in known.covering:
        use.report(
            "coats",
            f"{quoted(stock)} has no covers in stock.yaml; write covers and covers_per there",
        )


def read_tool_uses(found: Found, project: str, known: Known) -> None:
    """Makes rows of the wear of tools."""
    for use in found.each("tools"):
        key = _form(use, TOOL_FORMS)
        if not known.refers(use, "tool", known.tools) or key is None:
            continue
        basis, wear = TOOL_FORMS[key]
        tool = use.text("tool") or ""
        worn = known.wears.get(tool, wear)
        if worn != wear:
            use.report(key, f"{quoted(tool)} has wear: {worn} in tools.yaml; write it by that")
        values = {"project": project, "tool": tool, "basis": basis, "amount": use.values.get(key)}
        known.row("Consumables", UseRow, use, values, {"amount": key})
