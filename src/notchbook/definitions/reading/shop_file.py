"""shop.yaml: the settings, the channels and the tiers."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from notchbook.base.problems import SourceFile
from notchbook.definitions.reading.entries import Entries, Scalar
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.lists import read_lists
from notchbook.definitions.reading.places import Found, read_place
from notchbook.definitions.reading.rows import Candidate
from notchbook.definitions.reading.scalars import Scope
from notchbook.definitions.syntax.shop import SHOP_FILE
from notchbook.measure import Units
from notchbook.sheets.kit.setting_keys import INSIDE
from notchbook.sheets.kit.shop_settings import ShopSettings
from notchbook.trade.money import currency_decimals

DEFAULTS: Mapping[Units, Mapping[str, object]] = {
    "inch": {
        "show_fractions_to": Fraction(1, 32),
        "paper": "letter",
        "usable_offcut": Fraction(12),
    },
    "mm": {"show_fractions_to": Fraction(1), "paper": "a4", "usable_offcut": Fraction(300)},
}
_SINGLE = tuple(ShopSettings.model_fields)
_FOR_ALL: Mapping[str, object] = {"check_prices_after": 90, "stock_method": "materials"}


def units_of(entries: Entries | None) -> Units:
    """The shop's units, needed before any length is read; inches until they are mended."""
    entry = entries.values.get("units") if entries is not None else None
    written = entry.value if entry is not None else None
    return "mm" if isinstance(written, Scalar) and written.text.strip() == "mm" else "inch"


def read_shop(source: SourceFile, entries: Entries, as_of: date, known: Known) -> Candidate | None:
    """Return the settings; channels and tiers become rows."""
    found = read_place(source, entries, "shop.yaml", Scope(known.units))
    if found is None:
        return None
    read_lists(found, SHOP_FILE, known)
    return _settings(found, as_of, known.units)


def _settings(found: Found, as_of: date, units: Units) -> Candidate:
    inside = ((key, found.inside(key)) for key in INSIDE)
    places = {key: each for key, each in inside if each is not None}
    decimals = _currency(found)
    values = {
        **DEFAULTS[units],
        **{name: its for name, its in found.pick(*_SINGLE).items() if name not in places},
        "as_of": as_of,
    }
    for key, its in places.items():
        values |= {n: its.values[k] for n, k in INSIDE[key].keys.items() if k in its.values}
    if decimals is not None:
        values |= {"smallest": 10.0**-decimals, "tolerance": 0.5 * 10**-decimals}
    whole = all(place.whole for place in (found, *places.values()))
    missing = frozenset(ShopSettings.model_fields) - values.keys()

    def at(name: str) -> tuple[Found, str]:
        """Where a value stands, and as what."""
        for place, its in places.items():
            key = INSIDE[place].keys.get(name)
            if key is not None and its.has(key):
                return its, key
        return found, name

    def line_of(name: str) -> tuple[str, int]:
        its, key = at(name)
        return found.source.file, its.at(key)

    return Candidate(
        values,
        line_of,
        lambda name: at(name)[1],
        frozenset() if whole else missing,
    )


def _currency(found: Found) -> int | None:
    code = found.text("currency")
    if code is None:
        return None
    try:
        return currency_decimals(code)
    except ValueError as error:
        found.report("currency", str(error))
        return None
