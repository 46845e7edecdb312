"""What is sawn at one fence setting, in words: which pieces, how they lie, what comes off."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from notchbook.base.sentences import counted, listed, so_many
from notchbook.measure import Ruler
from notchbook.planning.saw.bench import STRIP, Bench, SawPattern
from notchbook.planning.saw.cut_tree import Freed, Node
from notchbook.planning.saw.passes import Sawing


@dataclass(frozen=True, slots=True)
class SawWords:
    """Sentences about the rips of blanks, or about the cuts of sheets.

    A section is told the smaller side first; what is cut of a sheet, along the sheet first.
    `kept` are the usable offcuts: stock, thickness, width, length.
    """

    noun: Literal["blank", "sheet"]
    patterns: tuple[SawPattern, ...]
    bench: Bench
    ruler: Ruler
    kept: frozenset[tuple[str, Fraction, Fraction, Fraction]]

    def sentence(self, sawing: Sawing) -> str:
        """What to do with the pieces, once the fence is set."""
        pattern = self.patterns[sawing.owner]
        things = self._things(pattern, sawing)
        each = " each" if pattern.count * sawing.times > 1 else ""
        slabs = Counter(dict(sawing.slabs))
        if sawing.remains is not None and sawing.remains in slabs:
            slabs[sawing.remains] += 1
            return self._into(sawing, things, self._slabs(slabs), each)
        came = self._off(sawing, things, self._slabs(slabs), each)
        if sawing.remains is not None:
            return f"{came}, leaving {self._slabs(Counter([sawing.remains]))}"
        if sawing.last and self._is_kept(pattern, sawing.rest):
            return f"{came}; keep the rest, {self._size(sawing.rest)}"
        return came

    def _into(self, sawing: Sawing, things: str, slabs: str, each: str) -> str:
        """Sawn up without a rest."""
        if self.noun == "sheet":
            return f"cut {things} into {slabs}{each}"
        return f"{self._laid(sawing, things)} and rip {each.strip() or 'it'} into {slabs}"

    def _off(self, sawing: Sawing, things: str, slabs: str, each: str) -> str:
        """Sawn off, with something left."""
        if self.noun == "sheet":
            return f"from {things} cut {slabs}{each}"
        return f"{self._laid(sawing, things)} and rip {slabs} off{each}"

    def _laid(self, sawing: Sawing, things: str) -> str:
        """How the pieces of a blank go over the saw."""
        if not sawing.on_edge:
            return f"lay {things} flat"
        depth = self.ruler.show(self.bench.length(sawing.depth))
        return f"stand {things} on edge (blade at {depth})"

    def _is_kept(self, pattern: SawPattern, rest: tuple[int, int]) -> bool:
        """Whether the rest is among the plan's usable offcuts."""
        a, b = (self.bench.length(size) for size in rest)
        if self.noun == "sheet":
            return any(kept[::2] == (pattern.stock, b) and kept[3] == a for kept in self.kept)
        sizes = (pattern.stock, min(a, b), max(a, b))
        return any((*sizes, length) in self.kept for length, _ in pattern.lengths)

    def _things(self, pattern: SawPattern, sawing: Sawing) -> str:
        """What is sawn, and how many of it."""
        count = pattern.count * sawing.times
        names = self.noun + ("s " if len(pattern.names) > 1 else " ") + listed(pattern.names)
        pieces = f"{f'{count:,} pieces' if count > 1 else 'piece'} {self._size(sawing.sizes)}"
        if not sawing.whole:
            return f"the {pieces}{'' if sawing.first else ' left'} of {names}"
        if not sawing.first:
            return f"what is left of {names} ({pieces})"
        return f"{names} ({count:,} pieces)" if count > 1 else names

    def _slabs(self, slabs: Counter[Node]) -> str:
        """Slabs of one size and use together: strips, named parts, or pieces to be sawn on."""
        told: Counter[tuple[str, str]] = Counter()
        for slab, often in slabs.items():
            told[slab.mark if isinstance(slab, Freed) else "piece", self._size(slab.sizes)] += often
        return listed(self._slab(*key, often) for key, often in told.items())

    def _slab(self, name: str, size: str, often: int) -> str:
        if name in (STRIP, "piece"):
            return f"{counted(often, name or 'strip')} {size}"
        return f"{so_many(often, name)} {size}"

    def _size(self, sizes: tuple[int, int]) -> str:
        lengths = [self.bench.length(size) for size in sizes]
        return self.ruler.size(*(sorted(lengths) if self.noun == "blank" else lengths))
