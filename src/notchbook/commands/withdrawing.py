"""A cut that was kept and waits for its run, taken back as if it had never been kept.

Decisions:

- Only a cut that waits is withdrawn, or one whose run was deleted since the last compile: the wood
  of a run that stands on the log was cut.
- What the cut left is taken off Offcuts, and what it used is put back there. Where another cut used
  what this one left, that one is named, for it would have been cut from wood that never was.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from notchbook.base.problems import nearest, quoted
from notchbook.base.refusals import RefusedError
from notchbook.base.sentences import listed
from notchbook.commands.compile import Report, compile_shop
from notchbook.commands.offcut_rows import Size, list_left, place_of, put_back, remove_left, size_of
from notchbook.gathering import Gathered
from notchbook.measure import Ruler, parse_length, split_size
from notchbook.sheets.making.offcuts import OFFCUTS
from notchbook.sheets.making.stock import StockRow
from notchbook.sheets.making.stock_used import LOG, KeptCut
from notchbook.shop.kept_cuts import hold_cuts, read_log
from notchbook.shop.kept_use import read_kept_use
from notchbook.shop.pipeline import choose_book
from notchbook.shop.plans import Watch

_USED = re.compile(r"(\d+) offcut (.+?)(?: no\. (\d+))?(?=, \d+ offcut | and \d+ offcut |$)")


@dataclass(frozen=True)
class WithdrawnCut:
    """What was put right: boards that count as there again, offcuts taken off and put back."""

    name: str
    boards: tuple[str, ...]
    off: tuple[str, ...]
    back: tuple[str, ...]

    def list_lines(self) -> list[str]:
        """List what was done, as a terminal shows it."""
        lines = [f"Withdrew {self.name}."]
        if self.boards:
            lines.append(f"Counted as there again: {listed(self.boards)}.")
        if self.off:
            lines += [f"Taken off {OFFCUTS}:", *(f"  {each}" for each in self.off)]
        if self.back:
            lines += [f"Put back on {OFFCUTS}:", *(f"  {each}" for each in self.back)]
        return lines


def withdraw(shop: Path, run: str | None, watch: Watch = iter) -> tuple[Report, WithdrawnCut]:
    """Compile a shop without a cut that waits for its run; the only one where none is named.

    Raises what `compile_shop` raises, and RefusedError where there is no workbook, or no such cut
    waits; then nothing is written.
    """
    done = []

    def edit(gathered: Gathered) -> None:
        if gathered.old is None:
            raise RefusedError(
                f"{shop} has no workbook yet, so no cut was kept there; compile it first:"
                " notchbook compile"
            )
        done.append(withdraw_cut(gathered, run))

    report = compile_shop(shop, None, None, watch=watch, edit=edit)
    return report, done[0]


def withdraw_cut(gathered: Gathered, run: str | None) -> WithdrawnCut:
    """Take back a cut of a merged shop; its projects' parts of it together.

    Raises RefusedError where it does not wait for its run.
    """
    definitions = gathered.definitions
    use = hold_cuts(definitions, choose_book(definitions), read_kept_use(gathered))
    waiting = [*(cut for cut in use.cuts if cut.run is None), *use.gone]
    name = _choose(gathered, waiting, use.by_run.values(), run)
    mine = [cut for cut in waiting if cut.name == name]
    others = [cut for cut in (*use.cuts, *use.gone) if cut.name != name]
    _refuse_used(gathered, name, min(cut.day for cut in mine), others)
    used, left = _sum_used(gathered, mine), Counter[Size]()
    for row in list_left(gathered, name).values():
        if (size := size_of(row)) is not None and isinstance(count := row["count"], float):
            left[size] += int(count)
    gathered.withdrawn.add(name)
    put_back(gathered, used, name)
    remove_left(gathered, name)
    boards: defaultdict[str, float] = defaultdict(float)
    for cut in mine:
        for stock, units in cut.boards.items():
            boards[stock] += units
    return WithdrawnCut(
        name,
        tuple(f"{round(units, 6):g} {stock}" for stock, units in boards.items() if units),
        tuple(_say_sizes(gathered, left)),
        tuple(_say_sizes(gathered, used)),
    )


def _say_sizes(gathered: Gathered, counts: Counter[Size]) -> Iterator[str]:
    rows = gathered.definitions.table("Stock", StockRow)
    stocks = {row.stock.casefold(): row.stock for row in rows}
    for (stock, *sides), count in counts.items():
        yield f"{count} of {_ruler(gathered).size(*sides)} ({stocks.get(stock, stock)})"


def _choose(
    gathered: Gathered, waiting: Iterable[KeptCut], held: Iterable[KeptCut], run: str | None
) -> str:
    """Choose the cut that is meant, by its name as it was kept."""
    names = list(dict.fromkeys(cut.name for cut in waiting))
    entered = {cut.name.casefold(): cut for cut in held}
    if run is None and len(names) > 1:
        raise RefusedError(f"{listed(names)} wait for their runs; name one of them with --run")
    chosen = run or next(iter(names), "")
    if (cut := entered.get(chosen.casefold())) is not None:  # of all its projects, or of one
        raise RefusedError(
            f"{cut.name} does not wait any more: its run is on the log, at {_find(gathered, cut)}."
            " If it was never cut, delete that row, save the workbook and withdraw it then"
        )
    if not names:
        newest = max(entered.values(), key=lambda cut: cut.day, default=None)
        logged = (
            newest and f"; the run of {newest.name} is on the log, at {_find(gathered, newest)}"
        )
        raise RefusedError(
            f"no cut waits for its run, so there is nothing to withdraw{logged or ''}"
        )
    found = next((name for name in names if name.casefold() == chosen.casefold()), None)
    if found is None:
        raise RefusedError(
            f"no cut {quoted(chosen)} waits for its run{nearest(chosen, names)}; those that wait"
            f" are {listed(names)}"
        )
    return found


def _find(gathered: Gathered, cut: KeptCut) -> str:
    """Find the cell of the run that holds a cut."""
    definitions = gathered.definitions
    runs = read_log(definitions, choose_book(definitions)).runs
    return place_of(gathered, LOG, list(runs).index(cut.run), "made")


def _refuse_used(gathered: Gathered, name: str, day: float, others: Iterable[KeptCut]) -> None:
    """Refuse where another cut since used what this one left, as far as one can tell."""
    left = list_left(gathered, name)
    rows = [size_of(row) for row in gathered.definitions.cells(OFFCUTS)]
    gone = {
        size
        for row in left.values()
        if (size := size_of(row)) is not None and (rows.count(size) == 1 or not row["count"])
    }
    for cut in others:
        if cut.day >= day and (sizes := gone.intersection(dict(_list_used(gathered, cut)))):
            said = _ruler(gathered).size(*next(iter(sizes))[1:])
            first = (
                f"withdraw that first: --run {quoted(cut.name)}"
                if cut.run is None
                else "its run is on the log, so this one was cut, too"
            )
            raise RefusedError(f"{cut.name} used an offcut {said} that {name} left; {first}")


def _sum_used(gathered: Gathered, cuts: Iterable[KeptCut]) -> Counter[Size]:
    """Add up the offcuts that the parts of a cut used."""
    counts = Counter[Size]()
    for cut in cuts:
        for size, count in _list_used(gathered, cut):
            counts[size] += count
    return counts


def _list_used(gathered: Gathered, cut: KeptCut) -> Iterator[tuple[Size, int]]:
    """Yield the offcuts that a cut used, by the words in which they were kept."""
    ruler = _ruler(gathered)
    rows = [size_of(row) for row in gathered.definitions.cells(OFFCUTS)]
    sizes = list(dict.fromkeys(size for size in rows if size is not None))
    for stock, words in cut.offcuts.items():
        for count, said, nth in _USED.findall(words):
            alike = [
                size
                for size in sizes
                if size[0] == stock.casefold() and ruler.size(*size[1:]) == said
            ]
            if alike:
                yield alike[min(int(nth or 1), len(alike)) - 1], int(count)
            else:
                yield (stock.casefold(), *_read_size(said, ruler)), int(count)


def _read_size(said: str, ruler: Ruler) -> tuple[Fraction, Fraction, Fraction]:
    sides = split_size(said.replace("~", ""))  # which marks what is rounded
    thickness, width, length = (parse_length(each, ruler.units) for each in sides)
    return thickness, width, length


def _ruler(gathered: Gathered) -> Ruler:
    settings = gathered.definitions.settings
    return Ruler(settings.units, settings.show_fractions_to)
