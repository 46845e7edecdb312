"""What to make next: small shops by trying everything, bounds, and what runs out."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import ceil

import pytest

from notchbook.planning.next_batches import (
    Batches,
    PossibleBatch,
    ShelfStock,
    TimeAndMoney,
    choose_batches,
)


def random_shop(seed: int) -> tuple[Batches, list[ShelfStock], TimeAndMoney]:
    """Two to four projects of two stocks: packs, spoilage, limits, stock that cannot be bought."""
    chance = random.Random(seed)
    shelf = [
        ShelfStock(
            name,
            Fraction(chance.randint(0, 6)),
            Fraction(chance.choice([1, 1, 4, 10])),
            Fraction(chance.randint(100, 1500), 100) if chance.random() < 0.8 else None,
        )
        for name in ("boards", "hooks")
    ]
    batches = {f"piece {n}": random_batches(chance, shelf) for n in range(chance.randint(2, 4))}
    minutes = Fraction(chance.randint(30, 900)) if chance.random() < 0.8 else None
    money = Fraction(chance.randint(0, 6000), 100) if chance.random() < 0.8 else None
    return batches, shelf, TimeAndMoney(minutes, money)


def random_batches(chance: random.Random, shelf: Sequence[ShelfStock]) -> list[PossibleBatch]:
    spoilage, pace = (
        Fraction(chance.choice([0, 5, 10, 25]), 100),
        Fraction(chance.choice([80, 100, 115]), 100),
    )
    setup, minutes = chance.randint(0, 30), Fraction(chance.randint(20, 300), 10)
    proceeds, boards = Fraction(chance.randint(500, 4000), 100), Fraction(chance.randint(1, 5), 2)
    hooks = Fraction(chance.randint(0, 30), 10)
    found = []
    for units in range(1, chance.randint(2, 7)):
        begun = ceil(units / (1 - spoilage))
        takes = {"boards": Fraction(ceil(boards * begun)), "hooks": hooks * begun}
        used = sum((takes[s.stock] / s.pack * (s.price or 0) for s in shelf), Fraction(0))
        spent = pace * (setup + begun * minutes)
        found.append(PossibleBatch(units, spent, units * proceeds - used, takes))
    return found


def possible(
    batches: Batches, shelf: Sequence[ShelfStock], limits: TimeAndMoney
) -> Iterator[list[PossibleBatch]]:
    """Every choice that the limits admit."""
    for some in itertools.product(*([None, *its] for its in batches.values())):
        chosen = [each for each in some if each is not None]
        paid, missing = Fraction(0), False
        for stock in shelf:
            short = sum((each.takes[stock.stock] for each in chosen), Fraction(0)) - stock.there
            packs = max(ceil(short / stock.pack), 0)
            missing |= packs > 0 and stock.price is None
            paid += packs * (stock.price or 0)
        spent = sum((each.minutes for each in chosen), Fraction(0))
        in_time = limits.minutes is None or spent <= limits.minutes
        if in_time and not missing and (limits.money is None or paid <= limits.money):
            yield chosen


@pytest.mark.seeds(quick=20, deep=200)
def test_small_shops_by_trying_everything(seed: int) -> None:
    """What is brought in is the most that any numbers bring in, and it is proved."""
    batches, shelf, limits = random_shop(seed)

    found = choose_batches(batches, shelf, limits)

    choices = {
        frozenset((name, each.units) for name, its in batches.items() for each in its if each in it)
        for it in possible(batches, shelf, limits)
    }
    most = max(sum(each.earns for each in it) for it in possible(batches, shelf, limits))
    assert (found.earns, found.bound) == (most, most)
    assert frozenset(found.units.items()) in choices


@pytest.mark.seeds(quick=2, deep=12)
def test_a_search_cut_short_tells_a_bound(seed: int) -> None:
    """With hardly a step to spend it may not find the best, and its bound is still a bound."""
    chance = random.Random(seed)
    shelf = [
        ShelfStock("boards", Fraction(3), Fraction(1), Fraction(7)),
        ShelfStock("hooks", Fraction(5), Fraction(10), Fraction(12)),
    ]
    batches = {f"piece {n}": random_batches(chance, shelf) for n in range(14)}
    limits = TimeAndMoney(Fraction(1000), Fraction(60))

    short = choose_batches(batches, shelf, limits, steps=0)
    whole = choose_batches(batches, shelf, limits)

    assert whole.is_best
    assert short.earns <= whole.earns <= short.bound
    assert whole.earns < short.bound < 2 * whole.earns


def peg_rails(price: int) -> list[PossibleBatch]:
    """Rails of half a board and 30 minutes each, with 20 minutes of set-up."""
    return [
        PossibleBatch(
            n,
            Fraction(20 + 30 * n),
            Fraction(n * price - 4 * ceil(n / 2)),
            {"pine": Fraction(ceil(n / 2))},
        )
        for n in (1, 2, 3, 4)
    ]


PINE = ShelfStock("pine", Fraction(1), Fraction(1), Fraction(4))


def test_by_hand() -> None:
    """Four rails take 140 minutes; with 100 there is time for two, with one board for two, too."""
    rails = {"peg rail": peg_rails(20)}

    def units(limits: TimeAndMoney) -> int:
        return choose_batches(rails, [PINE], limits).units.get("peg rail", 0)

    assert units(TimeAndMoney()) == 4
    assert units(TimeAndMoney(minutes=Fraction(100))) == 2
    assert units(TimeAndMoney(money=Fraction(3))) == 2
    assert units(TimeAndMoney(money=Fraction(4))) == 4
    assert units(TimeAndMoney(minutes=Fraction(49))) == 0


def test_what_brings_in_nothing_is_not_made() -> None:
    """A rail sold at what its wood costs is left, and so is all where nothing is possible."""
    nothing = choose_batches({"peg rail": peg_rails(1)}, [PINE], TimeAndMoney())
    none = choose_batches({"peg rail": []}, [PINE], TimeAndMoney(Fraction(0), Fraction(0)))

    assert not nothing.units and nothing.earns == nothing.bound == 0
    assert not none.units and none.earns == none.bound == 0


def test_stock_that_cannot_be_bought_is_shared() -> None:
    """One reclaimed board does for two rails of one kind, the dearer, and none is bought."""
    reclaimed = ShelfStock("pine", Fraction(1), Fraction(1), None)
    both = {"peg rail": peg_rails(20), "key rail": peg_rails(25)}

    found = choose_batches(both, [reclaimed], TimeAndMoney(money=Fraction(1000)))

    assert found.units == {"key rail": 2}
    assert found.is_best
