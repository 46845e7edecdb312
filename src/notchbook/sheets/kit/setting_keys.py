"""How the single values of the shop are written in shop.yaml."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from notchbook.sheets.kit.columns import given_of
from notchbook.sheets.kit.shop_settings import ShopSettings


@dataclass(frozen=True)
class Inside:
    """Single values that shop.yaml holds inside a key of their own.

    With `bare`, that key may hold a length by itself, which is the first of them.
    """

    columns: tuple[str, ...]
    meaning: str
    needed: bool = True
    bare: bool = False

    @property
    def keys(self) -> Mapping[str, str]:
        """By column: the key that it is written as."""
        fields = ShopSettings.model_fields
        return {name: given_of(fields[name]).key or name for name in self.columns}


INSIDE: Mapping[str, Inside] = {
    "saw": Inside(
        (
            *("kerf", "squaring", "end_trim", "shortest_rip", "deepest_cut", "longest_rip"),
            *("sheet_trim", "fence_reach"),
        ),
        "what the saw takes and what it can do",
    ),
    "usable_offcut": Inside(
        ("usable_offcut", "usable_width", "usable_thickness"),
        "the least offcut worth keeping; one length alone: shorter offcuts are scrap",
        needed=False,
        bare=True,
    ),
    "pricing": Inside(
        (
            *("local_factor", "target_margin", "ending", "offcuts", "main_tier"),
            *("worth_per_hour", "skip_per_hour"),
        ),
        "how prices are found and judged",
    ),
    "limits": Inside(
        (
            "least_sold",
            "off_by",
            "least_runs",
            "least_spoiled",
            "raise_below",
            "raise_days",
            "overhead_share",
            *("weeks", "sell_weeks", "price_off", "same_slip_days", "count_from"),
        ),
        "from how much on something is pointed out",
        needed=False,
    ),
    "year_end": Inside(
        (
            *("other_income", "home_use", "home_area", "written_off", "carried_179"),
            *("carried_stock", "other_earned", "other_wages", "income_tax_rate", "mile_rate"),
            *("last_year_tax", "last_year_income"),
        ),
        "what the year's end asks beside the ledgers",
        needed=False,
    ),
}
NOT_IN_FILES = ("as_of", "smallest", "tolerance")
"""Single values that files do not state: the day, and what follows from the currency."""
OF_THE_FILES = tuple(
    name for name, info in ShopSettings.model_fields.items() if given_of(info).files_only
)
"""Settings that only shop.yaml can change: they decide what every other cell means."""

OF_ONE_FORM: Mapping[str, tuple[str, ...]] = {
    "us": (
        *("home_area", "carried_179", "other_earned", "other_wages", "income_tax_rate"),
        *("last_year_tax", "last_year_income"),
    ),
    "none": ("mile_rate",),
}
"""Single values that only books under one tax form have a use for."""
