"""A plan that was cut: what it leaves goes on the sheet Offcuts of the shop's workbook."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from notchbook.base.refusals import RefusedError
from notchbook.commands.compile import Report, compile_shop
from notchbook.commands.cuts import Cuts
from notchbook.commands.keeping import KeptRun, keep_offcuts, name_run
from notchbook.gathering import Gathered
from notchbook.shop.plans import Watch


def cut_and_keep(
    shop: Path, plan: Callable[[Gathered, Watch], Cuts], run: str | None, watch: Watch = iter
) -> tuple[Report, KeptRun]:
    """Compile a shop with the offcuts of a plan on its sheet; `run` is named by day if left out.

    Raises what `compile_shop` raises, and RefusedError where there is no workbook, or the run
    stands there already; then nothing is written.
    """
    kept = []

    def edit(gathered: Gathered) -> None:
        if gathered.old is None:
            raise RefusedError(f"{shop} has no workbook yet; compile it first: notchbook compile")
        found = plan(gathered, watch)
        (its,) = found.plans
        sizes = found.sizes if its.project is None else {its.project: its.units}
        today = date.today()
        kept.append(keep_offcuts(gathered, found, run or name_run(sizes, today), today))

    report = compile_shop(shop, None, None, watch=watch, edit=edit)
    return report, kept[0]
