"""A compile: gather, plan, write beside, read back, put in place; and what there is to tell."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from notchbook.base.refusals import RefusedError
from notchbook.base.replace_file import (
    refuse_other,
    refuse_place,
    refuse_read_only,
    rename,
    replace_bytes,
    replace_old,
    write_new,
)
from notchbook.commands.keeping import keep_marked_runs
from notchbook.gathering import Gathered, gather, grids, workbook_path
from notchbook.gathering.places_after import name_places_after
from notchbook.merging.changes import LISTS, Changes
from notchbook.sheets.making.next_limits import BINDING, LIMITS
from notchbook.sheets.start import MOVED
from notchbook.shop.filed_lines import read_filed, tell_filed
from notchbook.shop.moved import Moved, find_moved, show_moved
from notchbook.shop.next_batches import propose
from notchbook.shop.next_words import say_proposal
from notchbook.shop.pipeline import (
    Priced,
    describe_subject,
    list_checks,
    list_notices,
    list_shortages,
    price_gathered,
)
from notchbook.trade.money import currency_decimals

if TYPE_CHECKING:
    from notchbook.shop.plans import Watch
    from notchbook.workbook.read.old_book import OldBook

DIFFERENT_SHOWN = 5


@dataclass
class Report:
    """What a compile did, to be told in words or as JSON."""

    workbook: str
    backup: str | None = None
    changes: Changes = field(default_factory=Changes)
    frozen: list[dict[str, object]] = field(default_factory=list)
    checks: list[dict[str, object]] = field(default_factory=list)
    notices: list[str] = field(default_factory=list)
    look: list[str] = field(default_factory=list)
    moved: list[Moved] = field(default_factory=list)
    decimals: int = 2  # of the shop's currency

    @property
    def needs_a_look(self) -> bool:
        """Whether the exit code is 1."""
        return bool(
            self.look or self.changes.conflicts or any(not check["ok"] for check in self.checks)
        )

    def as_json(self) -> dict[str, object]:
        """The report as `compile --json` prints it."""
        told = {name: [each.as_json() for each in getattr(self.changes, name)] for name in LISTS}
        renamed = told.pop("renamed")
        return {
            "workbook": self.workbook,
            "backup": self.backup,
            **told,
            "frozen": self.frozen,
            "checks": self.checks,
            "notices": self.notices,
            "renamed": renamed,
            "look": self.look,
            "moved": [each.as_json() for each in self.moved],
        }


def compile_shop(
    folder: Path,
    output: Path | None,
    as_of: date | None,
    accept_loss: bool = False,
    watch: Watch = iter,
    edit: Callable[[Gathered], None] | None = None,
) -> Report:
    """Write the workbook of a shop, merged with the one that stands.

    `watch` passes on each project before it is planned; `edit` changes what was gathered. Raises
    DefinitionError for bad definitions or cells, and RefusedError where nothing may be written;
    then nothing was.
    """
    with _many_cells():
        return _compile(folder, output, as_of, accept_loss, watch, edit)


@contextmanager
def _many_cells() -> Iterator[None]:
    """Without looking for garbage: a workbook is a million live objects and hardly any."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _compile(
    folder: Path,
    output: Path | None,
    as_of: date | None,
    accept_loss: bool,
    watch: Watch,
    edit: Callable[[Gathered], None] | None,
) -> Report:
    from notchbook.workbook.read.safety import refuse_if_open

    if output is not None:
        refuse_place(output)
    gathered = gather(folder, as_of, output)
    target = output or workbook_path(gathered.definitions)
    old = gathered.old
    replaced = old if old is not None and output in (None, old.path) else None
    before = replaced.path if replaced is not None else target
    for path in {before, target}:
        refuse_if_open(path)
    refuse_other(before, target)
    if replaced is not None:
        refuse_read_only(before)
    lost = _losses(old, accept_loss)
    if edit is not None:
        edit(gathered)
    keep_marked_runs(gathered, watch)
    told = gathered.look
    name_places_after(gathered)
    priced = price_gathered(gathered, watch)
    moved = find_moved(gathered, priced)
    show_moved(priced, moved, [] if old is None else old.said("Start", MOVED))
    typed = any(gathered.definitions.lines.get((LIMITS, name)) is not None for name in BINDING)
    say_proposal(priced, propose(priced, cut_together=typed))
    data = _composed(gathered, priced, target, told)
    backup = _put(target, data, replaced)
    if before != target:
        gathered.notices.append(f"the workbook is called {target.name} now, as the shop is")
    report = Report(str(target), str(backup) if backup else None, gathered.changes, priced.frozen)
    report.moved = moved
    report.decimals = currency_decimals(priced.definitions.settings.currency)
    report.notices += [*gathered.notices, *(f"left out: {what}" for what in lost)]
    report.notices += tell_filed(priced.filled, read_filed(gathered))
    report.notices += list_notices(priced)
    report.look += [*gathered.look, *list_shortages(priced)]
    report.checks = list_checks(priced)
    return report


def _put(target: Path, data: bytes, replaced: OldBook | None) -> Path | None:
    """Puts a workbook in place; gives the copy of the one that it replaces.

    Raises RefusedError.
    """
    from notchbook.workbook.read.safety import refuse_if_open

    if replaced is None:
        write_new(target, data)
        return None
    for path in {replaced.path, target}:
        refuse_if_open(path)
    rename(replaced.path, target)
    try:
        return replace_old(target, replaced.data, data, datetime.now())
    except RefusedError:
        rename(target, replaced.path)
        raise


def _losses(old: OldBook | None, accept: bool) -> list[str]:
    """What cannot be carried into the new file.

    Raises RefusedError with all of it, unless the maker accepts the loss.
    """
    lost = [] if old is None else old.losses()
    if lost and old is not None and not accept:
        raise RefusedError(
            f"{old.path.name} holds what cannot be carried into a new one: {', '.join(lost)};"
            " nothing was written. Take it out, or put back what was deleted; or compile with"
            " --accept-loss (a copy goes to backups)"
        )
    return lost


def _composed(gathered: Gathered, priced: Priced, target: Path, told: Sequence[str]) -> bytes:
    """Write the new workbook, read it back, and compare it with what it must hold.

    What was `told` names cells of the old one.

    Raises RefusedError where a given value does not come back, or where something of the old one is
    neither there nor told; then the new one is put beside it under another name.
    """
    from notchbook.shop.shop_pictures import draw_shop_pictures
    from notchbook.workbook.carry.carry_over import CarryOver
    from notchbook.workbook.carry.guard import losses
    from notchbook.workbook.file.package_cells import PackageCells
    from notchbook.workbook.write.compose import compose
    from notchbook.workbook.write.verify import differences

    files = gathered.state.files_as_plain(grids(priced.book, priced.definitions.settings.spelling))
    renamed = {each.old: each.new for each in gathered.renamed if each.table == "Projects"}
    over = CarryOver(files, gathered.old, gathered.origins, gathered.formulas, renamed)
    over.plans = priced.kept.text()
    about = describe_subject(priced.definitions)
    pictures = draw_shop_pictures(priced, priced.plans.cuts)
    data = compose(priced.book, priced.filled, priced.units, about, over, pictures)
    gathered.notices += over.notices
    gathered.look += over.look
    new = PackageCells(data)
    wrong = differences(new, priced.book, priced.filled, priced.units, over.formulas)
    if wrong:
        _refuse(target, data, f"it does not read back as it was meant: {_some(wrong)}")
    changes = (str(each) for _, each in gathered.changes)
    lost = losses(over, new, [*told, *gathered.look, *gathered.notices, *changes])
    if lost:
        _refuse(target, data, f"it would lose without a word what the old one holds: {_some(lost)}")
    return data


def _some(lines: Sequence[str]) -> str:
    more = len(lines) - DIFFERENT_SHOWN
    return "; ".join(lines[:DIFFERENT_SHOWN]) + (f"; and {more} more" if more > 0 else "")


def _refuse(target: Path, data: bytes, why: str) -> NoReturn:
    """Put a workbook that cannot be trusted beside the one that it does not replace.

    Raises RefusedError.
    """
    beside = target.with_name(f"{target.stem} (not in place){target.suffix}")
    replace_bytes(beside, data)
    raise RefusedError(
        f"the new workbook was not put in place, because {why}. It lies beside as {beside.name}:"
        " compare the two; if nothing is missing, give it the name of the old one. Please report"
        " this, too: it is a fault of notchbook's"
    )
