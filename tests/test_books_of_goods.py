"""The books of a year's goods: published moving averages, late slips, and what nobody covers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pandas as pd
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from pytest import approx

from notchbook.books.finished_pieces import go_through_pieces
from notchbook.books.keeping import GoodsBooks, keep_books, take_off
from notchbook.books.raw_stock import NO_PACKS, NO_STOCK, NOT_USED
from notchbook.books.rows import BenchRun, Opened, Sale, Slip, Used, YearRows

from .searching import examples

OPENSTAX = "OpenStax, Principles of Accounting 1, chapter 10"


def bought(*slips: tuple[float, float, int], stock: str = "wood") -> list[Slip]:
    """Slips of a day, with units and value."""
    return [Slip(row, day, stock, units, value) for row, (day, units, value) in enumerate(slips)]


def year_of(
    slips: Sequence[Slip] = (),
    takes: Sequence[tuple[float, float]] = (),
    sales: Sequence[Sale] = (),
    **more: Any,
) -> YearRows:
    """A year of boxes made of wood, a piece a run; `takes` are its day and the wood it took."""
    used = [Used(row, day, "box", "wood", units) for row, (day, units) in enumerate(takes)]
    runs = [BenchRun(row, day, "box", 1) for row, (day, _) in enumerate(takes)]
    return YearRows(
        **{"slips": slips, "used": used, "runs": runs, "sales": sales, "in_projects": ("wood",)}
        | more
    )


def sold(*rows: tuple[float, float], estimate: float = 0.0) -> list[Sale]:
    """Rows of the ledger of a day, with so many pieces."""
    return [Sale(row, day, "box", pieces, estimate) for row, (day, pieces) in enumerate(rows)]


PUBLISHED = {
    f"{OPENSTAX} (m67891): GPS trackers, cost of goods 7,253 and 8,902 left, 31.24 each": (
        [(1, 150, 21), (10, 225, 27), (25, 210, 33)],
        [(5, 120), (15, 180)],
        (7_252.94, 8_902.06, 285),
    ),
    f"{OPENSTAX} (m67889): 50 at 7 and 20 at 7, of which 18 are left": (
        [(1, 50, 7), (2, 20, 7)],
        [(3, 52)],
        (364, 126, 18),
    ),
    f"{OPENSTAX}, exercise: 800 at 50 and 600 at 52, of which 400 and 350 are sold": (
        [(1, 800, 50), (2, 600, 52)],
        [(3, 400), (4, 350)],
        (38_142.86, 33_057.14, 650),
    ),
    f"{OPENSTAX}, exercise: 110 at 87 and 140 at 89, of which 95 are sold": (
        [(1, 110, 87), (2, 140, 89)],
        [(3, 95)],
        (8_371.40, 13_658.60, 155),
    ),
}


@pytest.mark.parametrize("source", PUBLISHED)
@pytest.mark.parametrize("side", ["stock", "pieces"])
def test_published_moving_averages(source: str, side: str) -> None:
    """Stocks that runs take and pieces that are sold cost what the publication says."""
    came, went, (cost, left, units) = PUBLISHED[source]
    if side == "stock":
        books = keep_books(
            year_of(bought(*((day, n, round(n * each * 100)) for day, n, each in came)), went)
        )
        found, pool = sum(books.runs.values()), books.stocks["wood"]
    else:
        runs = [
            (BenchRun(row, day, "box", n), n * each * 100)
            for row, (day, n, each) in enumerate(came)
        ]
        pieces = go_through_pieces([], runs, sold(*went))
        found, pool = sum(pieces.costs.values()), pieces.pool

    assert (found / 100, pool.value / 100, pool.units) == approx((cost, left, units), abs=0.005)


def test_a_late_slip_pays_for_the_run_before_it() -> None:
    """A slip typed in December for January's wood costs January's pieces, sold ones too."""
    before = keep_books(year_of([], [(10, 5)], sold((12, 1))))
    after = keep_books(year_of(bought((350, 8, 800)), [(10, 5)], sold((12, 1))))

    assert (before.sales[0], [each.units for each in before.missing]) == (0, [5])
    assert (after.sales[0], after.missing) == (500, [])
    assert (after.stocks["wood"].units, after.stocks["wood"].value) == (3, 300)


def test_the_oldest_run_is_paid_first() -> None:
    """Two runs wait for one slip; what it does not cover stays named with the later run."""
    books = keep_books(year_of(bought((30, 6, 600)), [(10, 5), (20, 5)]))

    assert books.runs == {0: 500, 1: 100}
    assert [(each.used.run, each.units) for each in books.missing] == [(1, 4)]


def test_a_slip_without_packs_raises_what_is_there() -> None:
    """Freight for a stock costs its units; with nothing there it is cost of the year."""
    slips = [*bought((1, 4, 400)), Slip(7, 1, "wood", 0, 100), Slip(8, 5, "wood", 0, 30)]
    books = keep_books(year_of(slips, [(2, 4)]))

    assert books.runs == {0: 500}
    assert [(each.why, each.value, each.row) for each in books.year_costs] == [(NO_PACKS, 30, 8)]


def test_goods_of_no_piece_are_cost_of_the_year_unless_counted() -> None:
    """Goods without a stock and of a stock that nothing uses leave the books, but for the count."""
    slips = [Slip(0, 3, "", 0, 250), *bought((4, 10, 1_000), stock="disc")]
    books = keep_books(YearRows(slips=slips))
    counted = keep_books(YearRows(slips=slips, counted={"disc": 4}))

    assert {each.why: each.value for each in books.year_costs} == {NO_STOCK: 250, NOT_USED: 1_000}
    assert {each.why: each.value for each in counted.year_costs} == {NO_STOCK: 250, NOT_USED: 600}
    assert counted.left == 400


def test_a_run_without_a_good_piece_is_cost_of_the_year() -> None:
    """What spoiled pieces took goes to the good ones of their run; with none, to the year."""
    takes = [Used(0, 2, "box", "wood", 4), Used(1, 3, "box", "wood", 4)]
    runs = [BenchRun(0, 2, "box", 2), BenchRun(1, 3, "box", 0)]
    books = keep_books(year_of(bought((1, 8, 800)), sales=sold((4, 1)), used=takes, runs=runs))

    assert (books.sales[0], books.pieces["box"].value, books.year_cost) == (200, 200, 400)


def test_pieces_sold_before_any_run_take_the_next_one() -> None:
    """A piece delivered before its run was logged costs what that run costs."""
    books = keep_books(year_of(bought((1, 4, 400)), [(9, 4)], sold((5, 1))))

    assert (books.sales, books.estimated, books.pieces["box"].units) == ({0: 400}, 0, 0)


def test_pieces_of_no_run_are_estimated_and_told_apart() -> None:
    """A piece that no count and no run covers costs what was kept; its return cancels it."""
    alone = keep_books(YearRows(sales=sold((5, 2), estimate=150)))
    back = Sale(1, 6, "box", -1, 150, sold_in=(0,))
    both = keep_books(YearRows(sales=[*sold((5, 2), estimate=150), back]))

    assert (alone.sales, alone.estimated, alone.unmade) == ({0: 300}, 300, {0: 2})
    assert (both.sales, both.estimated, both.pieces["box"].units) == ({0: 300, 1: -150}, 150, 0)


def test_a_return_comes_back_at_the_cost_of_its_sale() -> None:
    """Whatever the average has become since; one of a past year at the average, or as kept."""
    slips, takes = bought((1, 1, 100), (4, 1, 300)), [(1, 1), (4, 1)]
    sale = Sale(0, 2, "box", 1, 0)
    back = Sale(1, 6, "box", -1, 0, sold_in=(0,))
    books = keep_books(year_of(slips, takes, [sale, back]))
    older = keep_books(year_of(slips, takes, [Sale(1, 6, "box", -1, 55)]))

    assert (books.sales, books.pieces["box"].value) == ({0: 100, 1: -100}, 400)
    assert (older.sales, older.pieces["box"].value) == ({1: -200}, 600)
    alone = keep_books(YearRows(sales=[Sale(1, 6, "box", -1, 55)]))
    assert (alone.sales, alone.left) == ({1: -55}, 55)


def test_what_is_in_work_goes_into_the_next_run() -> None:
    """Pieces begun last year carry what they cost into the run that ends them."""
    begun = [Opened("box", 2, 700)]
    books = keep_books(year_of([], [(5, 0)], sold((6, 1)), in_work=begun))
    waiting = keep_books(YearRows(in_work=begun))

    assert (books.sales[0], books.left, waiting.left) == (700, 0, 700)


def test_an_amount_is_taken_off_by_value() -> None:
    """To the last cent, and never below nothing."""
    assert take_off({"a": 100, "b": 200, "c": 0}, 100) == {"a": 67, "b": 133, "c": 0}
    assert take_off({"a": 100, "b": 200}, 900) == {"a": 0, "b": 0}


units = st.integers(1, 40).map(lambda n: n / 4)
days = st.integers(1, 60)


@st.composite
def years(draw: st.DrawFn) -> YearRows:
    """A year of two stocks and two projects, slips late and early, sold before and after."""
    stocks, projects = ("wood", "knob"), ("box", "rail")
    slips = [
        Slip(n, draw(days), draw(st.sampled_from((*stocks, "disc", ""))), n_units, amount)
        for n in range(draw(st.integers(0, 8)))
        for n_units in [draw(st.just(0.0) | units)]
        for amount in [draw(st.integers(0, 9_000))]
    ]
    runs = [
        BenchRun(n, draw(days), draw(st.sampled_from(projects)), draw(st.integers(0, 5)))
        for n in range(draw(st.integers(0, 6)))
    ]
    takes = [
        Used(run.row, run.day, run.project, stock, draw(units)) for run in runs for stock in stocks
    ]
    sales: list[Sale] = []
    for n in range(draw(st.integers(0, 8))):
        day, project = draw(days), draw(st.sampled_from(projects))
        kept = draw(st.booleans())
        sales.append(Sale(2 * n, day, project, draw(st.integers(1, 4)), 123.4, kept))
        if not kept and draw(st.booleans()):
            sales.append(Sale(2 * n + 1, day + 9, project, -1, 123.4, sold_in=(2 * n,)))
    return YearRows(
        stocks=[Opened(name, draw(units), draw(st.integers(0, 9_000))) for name in stocks[:1]],
        pieces=[Opened("box", 2, draw(st.integers(0, 9_000)))],
        in_work=[Opened("rail", 1, draw(st.integers(0, 900)))],
        slips=slips,
        used=takes,
        runs=runs,
        sales=sales,
        in_projects=stocks,
        counted=draw(st.sampled_from([{}, {"disc": 2.0}])),
    )


def came_in(year: YearRows) -> int:
    opened = (*year.stocks, *year.pieces, *year.in_work)
    return sum(each.value for each in opened) + sum(each.value for each in year.slips)


def gone(books: GoodsBooks) -> int:
    return sum(books.sales.values()) - books.estimated + books.year_cost + books.left


@given(years())
@examples(60)
def test_no_cent_is_lost_and_none_counts_twice(year: YearRows) -> None:
    """Opening + bought = sold and kept + cost of the year + left, whatever the year was."""
    books = keep_books(year)

    assert came_in(year) == gone(books)
    assert all(pool.value >= 0 for pool in (*books.stocks.values(), *books.pieces.values()))


def averaged(rows: Sequence[tuple[int, int, float, int]]) -> tuple[dict[int, int], int]:
    """The moving average of one stock, apart from the books: what each row takes, and the rest.

    Rows are day, row, units (below 0 those that go) and value; the units never run out. Halves of a
    cent go up, so nothing is divided before it must be.
    """
    frame = pd.DataFrame(rows, columns=["day", "row", "units", "value"])
    frame["out"] = frame.units < 0
    units, value, cost = 0.0, 0, {}
    for each in frame.sort_values(["day", "out", "row"]).itertuples():
        if each.out:
            cost[int(each.row)] = int(value * min(-each.units, units) / units + 0.5)
            value -= cost[int(each.row)]
        else:
            value += int(each.value)
        units += each.units
    return cost, value


@given(
    st.lists(st.tuples(days, st.integers(5, 40), st.integers(0, 9_000)), min_size=1, max_size=8),
    st.lists(st.tuples(days, st.integers(1, 4)), max_size=8),
)
@example(slips=[(2, 20, 172)], takes=[(1, 1), (1, 3), (2, 4), (2, 3)])  # a half at the last
@examples(40)
def test_random_stocks_against_pandas(
    slips: list[tuple[int, int, int]], takes: list[tuple[int, int]]
) -> None:
    """Changing prices, to the cent, where the stock never runs out."""
    opened = Opened("wood", 32, 4_000)
    books = keep_books(year_of(bought(*slips), takes, stocks=[opened]))
    came = [(0, -1, opened.units, opened.value)]
    came += [(day, row, n, value) for row, (day, n, value) in enumerate(slips)]
    went = [(day, row, -n, 0) for row, (day, n) in enumerate(takes)]
    cost, left = averaged([*came, *went])

    assert (books.runs, books.stocks["wood"].value) == (cost, left)
