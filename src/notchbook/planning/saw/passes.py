"""Rips of many pieces grouped by fence setting: each setting is made once, if that can be done."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from notchbook.planning.saw.cut_tree import Axis, Node, Run


@dataclass(frozen=True, slots=True)
class Sawing:
    """Pieces alike, sawn at one fence setting.

    `times` pieces of each thing of the `owner` kind measure `sizes` now; the `slabs`, as wide as
    the fence, come off each of them. `left` is the width of what is left (0: sawdust), which is a
    slab too where `remains` names one. `first`: the piece has not been sawn along this axis yet;
    `last`: it need not be sawn any more; `whole`: it is the blank or the sheet itself.
    """

    owner: int
    times: int
    sizes: tuple[int, int]
    axis: Axis
    slabs: tuple[tuple[Node, int], ...]
    left: int
    remains: Node | None
    first: bool
    last: bool
    whole: bool

    @property
    def cuts(self) -> int:
        """How many cuts go through each piece."""
        return sum(often for _, often in self.slabs)

    @property
    def rest(self) -> tuple[int, int]:
        """The size of what is left of each piece."""
        return (self.left, self.sizes[1]) if self.axis == 0 else (self.sizes[0], self.left)

    @property
    def depth(self) -> int:
        """How deep the blade reaches."""
        return self.sizes[1 - self.axis]

    @property
    def on_edge(self) -> bool:
        """Whether the piece stands on its narrow side."""
        return self.depth > self.sizes[self.axis]


@dataclass(frozen=True, slots=True)
class Pass:
    """One fence setting and all that is sawn at it, in order."""

    fence: int
    sawings: tuple[Sawing, ...]


@dataclass(slots=True)
class _Work:
    """Pieces alike of one owner, and the settings they still wait for."""

    owner: int
    run: Run
    times: int
    whole: bool
    size: int
    waiting: Counter[int]


def order_passes(trees: Sequence[Node]) -> Iterator[Pass]:
    """Order the settings: one that nothing has to be sawn at later, the widest of these first.

    Each tree is cut up once; it is the owner of what is sawn, by its number.
    """
    work = [
        _work(owner, tree, 1, True) for owner, tree in enumerate(trees) if isinstance(tree, Run)
    ]
    while work:
        fence = _next_fence(work)
        sawings: list[Sawing] = []
        while ready := [each for each in work if fence in each.waiting]:
            for each in ready:
                sawing = _saw(each, fence)
                sawings.append(sawing)
                for slab, often in (*sawing.slabs, (sawing.remains, 1)):
                    if isinstance(slab, Run):
                        _add(work, _work(each.owner, slab, each.times * often, False))
            work = [each for each in work if each.waiting]
        yield Pass(fence, tuple(sawings))


def _work(owner: int, run: Run, times: int, whole: bool) -> _Work:
    return _Work(owner, run, times, whole, run.sizes[run.axis], Counter(run.fences))


def _add(work: list[_Work], fresh: _Work) -> None:
    """Pieces alike wait together."""
    for each in work:
        untouched = each.waiting == fresh.waiting
        if untouched and not each.whole and (each.owner, each.run) == (fresh.owner, fresh.run):
            each.times += fresh.times
            return
    work.append(fresh)


def _next_fence(work: Sequence[_Work]) -> int:
    later = frozenset().union(*(each.run.later for each in work))
    return min({fence for each in work for fence in each.waiting}, key=lambda f: (f in later, -f))


def _saw(work: _Work, fence: int) -> Sawing:
    """Take all slabs of one width off; what is left at the end may be a slab itself."""
    run = work.run
    cuts = work.waiting.pop(fence)
    sizes = (work.size, run.sizes[1]) if run.axis == 0 else (run.sizes[0], work.size)
    first = work.size == run.sizes[run.axis]
    work.size = max(work.size - cuts * (fence + run.kerf), 0)
    slabs = Counter({slab: n for slab, n in run.slabs if slab.sizes[run.axis] == fence})
    if run.remaining is not None and run.remaining in slabs:
        slabs[run.remaining] -= 1
    last = not work.waiting
    return Sawing(
        owner=work.owner,
        times=work.times,
        sizes=sizes,
        axis=run.axis,
        slabs=tuple((+slabs).items()),
        left=work.size,
        remains=run.remaining if last else None,
        first=first,
        last=last,
        whole=work.whole,
    )
