"""What nobody understands in a ledger: seen, told, and counted by no program."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from notchbook.shop.pipeline import check

from .desk import Desk
from .engines import agree, formula_values, recalculated_by_libreoffice
from .maker import shop

LEDGERS = ("Sales ledger", "Purchases", "Production log", "Mileage", "Counts", "Statements")
HUGE = 1e200


def strange(desk: Desk) -> None:
    """Types errors, days, yes and huge numbers where other numbers belong, and words for days."""
    with desk.open() as book:
        book.put("Sales ledger", 0, quantity="#N/A")
        book.cell("Sales ledger", "quantity", 0).data_type = "e"
        book.put("Sales ledger", 1, price=date(2026, 3, 4), discount="about 3")
        book.put("Sales ledger", 2, quantity=HUGE, price=1e120)
        book.put("Purchases", 0, amount=True)
        book.put("Mileage", 0, miles=1e30)
        book.put("Counts", 0, quantity=1e12)
        for name in LEDGERS:
            dates = [each for each in book.columns(name) if each in ("date", "first", "last")]
            book.put(name, 1, **dict.fromkeys(dates, "sometime in May"))


@pytest.mark.deep
def test_no_total_hangs_on_what_nobody_understands(desk: Desk) -> None:
    """Each value that the file holds is what LibreOffice works out, and none is an error."""
    strange(desk)
    desk.compile()
    stored, found = formula_values(desk.path, desk.path), recalculated_by_libreoffice(desk.path)
    stamped = {place: value for place, value in stored.items() if value is not None}
    wrong = {place for place, value in stamped.items() if not agree(value, found.get(place))}

    assert len(stamped) > 4_000
    assert wrong == set()
    assert not [each for each in stamped.values() if str(each).startswith("#")]


@pytest.mark.deep
def test_what_nobody_understands_stays_as_words(desk: Desk) -> None:
    """As it was typed, or in quotation marks where a program would reckon with it.

    A check names the same cells that a compile does.
    """
    strange(desk)
    with desk.open() as book:
        book.put("Sales ledger", 0, tier="nowhere")
        book.put("Projects", 0, unit_cost=12)
        book.put("Stock", 0, vendor="  Yard A ")
    checked, compiled = check(desk.folder, None), desk.compile()
    told = "\n".join(compiled.look)
    again = desk.compile()
    book = desk.look()

    assert book.cell("Sales ledger", "quantity", 0).value == "#N/A"
    assert book.cell("Sales ledger", "price", 1).value == '"2026-03-04"'
    assert book.cell("Sales ledger", "quantity", 2).value == '"1e+200"'
    assert book.cell("Sales ledger", "discount", 1).value == "about 3"
    assert book.cell("Mileage", "date", 1).value == "sometime in May"
    assert "it is too large; write a number up to 1,000,000,000; it is kept as text" in told
    assert checked.look == compiled.look
    assert again.look == [each for each in compiled.look if "typed over a formula" not in each]
    assert "a value was typed over a formula" in told
    (trimmed,) = (line for line in checked.notices if "blanks around" in line)
    assert trimmed in compiled.notices


@pytest.mark.usefixtures("few_rows")
@pytest.mark.deep
def test_a_formula_that_gives_an_error(tmp_path: Path) -> None:
    """It stands there as text, where it would make an error of every sum."""
    from .calc import type_and_save

    desk = Desk(tmp_path, shop())
    cell = desk.look().cell("Sales ledger", "quantity", 0)
    place = f'b.Sheets.getByName("Sales ledger").getCellRangeByName("{cell.coordinate}")'
    type_and_save(desk.path, desk.path, {}, f'{place}.Formula = "=1/0"')
    (told,) = (line for line in desk.compile().look if "is not understood" in line)
    found = desk.look().cell("Sales ledger", "quantity", 0)

    assert "the formula is kept as text" in told
    assert (found.value, found.data_type) == ("=1/0", "s")
    assert not [
        place
        for place, value in recalculated_by_libreoffice(desk.path).items()
        if str(value).startswith("#")
    ]
