"""What may be wrong with the single values of the shop."""

from __future__ import annotations

from notchbook.sheets.kit.faults import Fault, fault, look, missing
from notchbook.sheets.kit.settings import setting

SETTING_FAULTS: tuple[Fault, ...] = (
    fault(
        "worth making from less than skip below",
        setting.worth_per_hour < setting.skip_per_hour,
        "write the greater here",
        "worth_per_hour",
    ),
    fault(
        "longest rip less than shortest rip",
        (setting.longest_rip > 0) & (setting.longest_rip < setting.shortest_rip),
        "write the greater here",
        "longest_rip",
    ),
    look(
        "tolerance of checks that hides whole amounts",
        setting.tolerance >= 1,
        "write less than 1, such as half of the smallest amount",
        "tolerance",
    ),
    Fault(
        "no tier",
        missing("Tiers", tier=setting.main_tier),
        "write one of Tiers",
        "main_tier",
        unknown=("Tiers.tier",),
    ),
)
