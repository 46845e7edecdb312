"""Jobs drawn at random: sheets, ripped lumber, and boards cut apart with next to no waste."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from random import Random

from ..plain_shops import PLAIN_SAW, Shop, board, panel, part, shop_of

KINDS = (5, 10, 20, 30, 45, 60)  # of pieces, in turn
SECTIONS = [
    ("3/2", "7/2"), ("3/2", "3/2"), ("3/4", "3/2"), ("3/4", "5/2"),
    ("3/2", 1), (1, 1), ("3/2", "9/4"), ("3/4", "7/4"),
]  # fmt: skip


def sheet_job(number: int) -> Shop:
    """Two or three pieces of a kind from sheets of 8 x 4 ft or 2440 x 1220 mm."""
    rng, kinds, metric = Random(f"sheets {number}"), KINDS[number % len(KINDS)], number % 2
    grain, counts = rng.random() < 0.5, [1] * kinds
    for _ in range(kinds * 3 // 2):
        counts[rng.randrange(kinds)] += 1
    sizes: list[tuple[object, object, object]]
    if metric:
        sheet = panel("ply", (18, 1220, 2440), 40, grain=grain)
        sizes = [(18, rng.randint(90, 600), rng.randint(150, 1100)) for _ in counts]
    else:
        sheet = panel("ply", ("3/4", 48, 96), 40, grain=grain)
        sixteenths = [(rng.randint(64, 384), rng.randint(96, 704)) for _ in counts]
        sizes = [("3/4", Fraction(w, 16), Fraction(long, 16)) for w, long in sixteenths]
    parts = [
        part(f"p{n}", often, size, "ply")
        for n, (often, size) in enumerate(zip(counts, sizes, strict=True))
    ]
    return shop_of(parts, [sheet], **PLAIN_SAW | {"kerf": 3 if metric else "1/8"})


def lumber_job(kinds: int, seed: int) -> Shop:
    """Parts of a few sections, ripped from 2x4s of two lengths."""
    rng = Random(f"lumber {kinds} {seed}")
    sections = rng.sample(SECTIONS, min(len(SECTIONS), 3 + kinds // 10))
    parts = [
        part(
            f"p{n}", rng.randint(1, 3),
            (*rng.choice(sections), Fraction(rng.randint(40, 480), 8)), "short", "long",
        )
        for n in range(kinds)
    ]  # fmt: skip
    size = ("3/2", "7/2")
    return shop_of(
        parts, [board("short", (*size, 96), "4.15"), board("long", (*size, 120), "5.45")]
    )


def tight_job(boards: int, seed: int) -> Shop:
    """Boards of 45 x 145 x 3000 cut apart on a grid of 1 mm; nearly nothing is left over."""
    rng, kerf = Random(f"tight {boards} {seed}"), 3
    ripped = [list(_split(rng, 139, rng.choice([2, 3, 3]), 25, kerf)) for _ in range(3)]
    made: Counter[tuple[int, int]] = Counter()
    for _ in range(boards):
        for blank in _split(rng, 2990, rng.choice([2, 3, 4]), 350, kerf):
            for width in rng.choice(ripped):
                for length in _split(rng, blank, rng.choice([1, 1, 2, 3]), 60, kerf):
                    made[width, length - rng.choice([0, 0, 0, 1, 2, 5])] += 1
    parts = [
        part(f"p{n}", often, (45, width, length), "board")
        for n, ((width, length), often) in enumerate(made.items())
    ]
    saw = {"kerf": kerf, "squaring": 3, "end_trim": 5, "shortest_rip": 300, "deepest_cut": 80}
    return shop_of(parts, [board("board", (45, 145, 3000), 9)], **saw)


def _split(rng: Random, room: int, parts: int, least: int, kerf: int) -> Iterator[int]:
    """The room cut into lengths at random, none below the least."""
    while True:
        cuts = sorted(rng.randint(least, room - least) for _ in range(parts - 1))
        ends = [*(cut - kerf for cut in cuts), room]
        lengths = [end - start for start, end in zip([0, *cuts], ends, strict=True)]
        if min(lengths) >= least:
            yield from lengths
            return
