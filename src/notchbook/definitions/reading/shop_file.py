"""shop.yaml: the settings, the channels and the tiers."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from notchbook.base.problems import SourceFile, quoted
from notchbook.definitions.reading.entries import Entries, Scalar
from notchbook.definitions.reading.known import Known, told_at
from notchbook.definitions.reading.places import Found, read_place
from notchbook.definitions.reading.rows import checked
from notchbook.definitions.reading.scalars import Scope
from notchbook.measure import Units
from notchbook.sheets.kit.settings import ShopSettings
from notchbook.sheets.ledgers.channels import ChannelRow, TierRow
from notchbook.trade.money import currency_decimals

NOT_IN_FILE_NAMES = '/\\:*?"<>|'
LONGEST_SHOP = 80

DEFAULTS: Mapping[Units, Mapping[str, object]] = {
    "inch": {
        "show_fractions_to": Fraction(1, 32),
        "paper": "letter",
        "usable_offcut": Fraction(12),
    },
    "mm": {"show_fractions_to": Fraction(1), "paper": "a4", "usable_offcut": Fraction(300)},
}
_FOR_ALL: Mapping[str, object] = {"check_prices_after": 90, "stock_method": "materials"}
_PLAIN = (
    "shop",
    "year",
    "currency",
    "units",
    "show_fractions_to",
    "paper",
    "labor_rate",
    "overhead_rate",
    "check_prices_after",
    "usable_offcut",
    "stock_method",
    "tax",
)


def units_of(entries: Entries | None) -> Units:
    """The shop's units, needed before any length is read; inches until they are mended."""
    entry = entries.values.get("units") if entries is not None else None
    written = entry.value if entry is not None else None
    return "mm" if isinstance(written, Scalar) and written.text.strip() == "mm" else "inch"


def read_shop(
    source: SourceFile, entries: Entries, as_of: date, known: Known
) -> ShopSettings | None:
    """The settings; channels and tiers become rows. None, with reasons reported, where it fails."""
    found = read_place(source, entries, "shop.yaml", Scope(known.units))
    if found is None:
        return None
    _read_channels(found, known)
    _read_tiers(found, known)
    settings = _settings(found, as_of, known.units)
    _check_pricing(found, known)
    return settings


def _settings(found: Found, as_of: date, units: Units) -> ShopSettings | None:
    saw, pricing, year_end = (found.inside(key) for key in ("saw", "pricing", "year_end"))
    decimals = _currency(found)
    _check_name(found)
    _check_above_zero(found, "show_fractions_to")
    if saw is not None:
        _check_above_zero(saw, "deepest_cut")
    if saw is None or pricing is None or decimals is None:
        return None
    places = [each for each in (found, saw, pricing, year_end) if each is not None]
    if not all(each.whole for each in places):
        return None
    values = {
        **_FOR_ALL,
        **DEFAULTS[units],
        **found.pick(*_PLAIN),
        **saw.values,
        **pricing.values,
        **(year_end.values if year_end is not None else {}),
        "as_of": as_of,
        "smallest": 10.0**-decimals,
        "tolerance": 0.5 * 10**-decimals,
    }
    told = {id(place): told_at(place, {}) for place in places}

    def report(name: str, message: str) -> None:
        place = next((each for each in places[1:] if each.has(name)), found)
        told[id(place)](name, message)

    return checked(ShopSettings, values, report)


def _currency(found: Found) -> int | None:
    code = found.text("currency")
    if code is None:
        return None
    try:
        return currency_decimals(code)
    except ValueError as error:
        found.report("currency", str(error))
        return None


def _check_name(found: Found) -> None:
    name = found.text("shop") or ""
    signs = [sign for sign in NOT_IN_FILE_NAMES if sign in name]
    if signs or name.startswith(".") or len(name) > LONGEST_SHOP:
        found.report(
            "shop",
            f"{quoted(name)} also names the workbook's file; write at most {LONGEST_SHOP} "
            f"characters, no . in front and none of {' '.join(NOT_IN_FILE_NAMES)}",
        )


def _check_above_zero(found: Found, key: str) -> None:
    value = found.values.get(key)
    if isinstance(value, Fraction) and value <= 0:
        found.report(key, "the length is not above zero; write a longer one, or leave the key out")


def _read_channels(found: Found, known: Known) -> None:
    known.channels.open = "channels" not in found.values
    for channel in found.each("channels"):
        name = channel.text("channel")
        if name is None or not known.channels.give(name, channel.source, channel.at("channel")):
            known.channels.open = known.channels.open or name is None
            continue
        known.row("Channels", ChannelRow, channel, channel.values)


def _read_tiers(found: Found, known: Known) -> None:
    known.tiers.open = "tiers" not in found.values
    for tier in found.each("tiers"):
        name = tier.text("tier")
        if name is None or not known.tiers.give(name, tier.source, tier.at("tier")):
            known.tiers.open = known.tiers.open or name is None
            continue
        known.refers(tier, "channel", known.channels)
        least = tier.number("least_quantity")
        if least is not None and least < 1:
            tier.report("least_quantity", f"{least:g} is too low; write 1 or more")
        known.row("Tiers", TierRow, tier, tier.values)


def _check_pricing(found: Found, known: Known) -> None:
    pricing = found.inside("pricing")
    if pricing is None:
        return
    known.refers(pricing, "main_tier", known.tiers)
    worth, skip = pricing.number("worth_per_hour"), pricing.number("skip_per_hour")
    if worth is not None and skip is not None and worth < skip:
        pricing.report(
            "worth_per_hour", f"{worth:g} is below skip_per_hour ({skip:g}); write the greater here"
        )
    fees = {each.text("channel"): each.number("fee") for each in found.each("channels")}
    for tier in found.each("tiers"):
        own = tier.number("margin")
        margin = pricing.number("target_margin") if own is None and not tier.has("margin") else own
        fee = fees.get(tier.text("channel"))
        if margin is None or fee is None or max(margin, fee) >= 1:
            continue
        if fee + margin >= 1:
            tier.source.report(
                tier.at("margin"),
                f"margin: {margin:.0%} and the channel's fee of {fee:.1%} leave nothing of the "
                "price; write a lower margin",
            )
