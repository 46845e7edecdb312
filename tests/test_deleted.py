"""What a maker deleted, by a slip perhaps, is told: rows of ledgers, names in use, columns."""

from __future__ import annotations

from pathlib import Path

import pytest

from notchbook.base.problems import DefinitionError
from notchbook.gathering import gather
from notchbook.shop.next_batches import propose
from notchbook.shop.pipeline import price_gathered
from notchbook.workbook.memory.contents import has_lost_places

from .desk import AS_OF, Desk
from .maker import shop, shop_with_variants

pytestmark = pytest.mark.usefixtures("few_rows")


def test_rows_of_a_ledger(tmp_path: Path) -> None:
    """They stay deleted, and are counted."""
    desk = Desk(tmp_path, shop())
    with desk.open() as sheets:
        sheets.delete("Sales ledger", 0)
        sheets.delete("Sales ledger", 0)
        sheets.add("Mileage", date="2026-05-09", purpose="to the yard", miles=3)
        sheets.delete("Mileage", 0)
    told = [line for line in desk.compile().notices if "fewer" in line]

    assert [line.partition(";")[0] for line in told] == [
        "Sales ledger: 2 rows fewer than at the last compile"
    ]


def test_a_row_whose_name_is_in_use(desk: Desk) -> None:
    """Beside the lines that miss it."""
    with desk.open() as sheets:
        sheets.delete("Stock", sheets.row_of("Stock", "stock", "spruce 2x4 8ft"))
        sheets.delete("Cut list", sheets.row_of("Cut list", "part", "front"))
    with pytest.raises(DefinitionError) as caught:
        gather(desk.folder, AS_OF)
    told = [problem for problem in caught.value.problems if "was deleted" in problem.message]

    assert [(problem.file, problem.message.partition(" was ")[0]) for problem in told] == [
        ("Cut list", "'herb rail, front'"),
        ("Stock", "'spruce 2x4 8ft'"),
    ]


@pytest.mark.parametrize(
    ("now", "broken"),
    [
        ("=$I7*INDEX(#REF!,MATCH($B7,Stock!$A$6:$A$99,0))", True),
        ("=$I7*INDEX(Stock!#REF!,MATCH($B7,Stock!$A$6:$A$99,0))", True),
        ("=$I7*INDEX(Stock!$C$6:#REF!,MATCH($B7,Stock!$A$6:$A$99,0))", True),
        ("=$I7*MAX(#REF!,MATCH($B7,Stock!$A$6:$A$99,0))", False),
    ],
)
def test_a_column_that_a_formula_reads(now: str, broken: bool) -> None:
    """A formula of ours that lost a range is ours still, however programs write the loss."""
    ours = "=$I7*INDEX(Stock!$C$6:$C$99,MATCH($B7,Stock!$A$6:$A$99,0))"

    assert has_lost_places(now, ours) is broken


def test_a_project_that_next_batches_counts_on(desk: Desk) -> None:
    """What can be sold of it stands there still, and nothing is made of it."""
    with desk.open() as sheets:
        row = sheets.row_of("Projects", "project", "herb rail")
        sheets.delete("Projects", row)
    priced = price_gathered(gather(desk.folder, AS_OF))
    found = propose(priced)

    assert "herb rail" not in found.first.units
    gone = "the row of 'herb rail' on Projects was deleted; "
    assert any(gone + "delete this one, too" in each for each in priced.definitions.look)
    assert any(gone + "bring that row back" in each for each in priced.definitions.look)
    assert not any("nearest known" in each for each in priced.definitions.look)


@pytest.mark.deep
def test_a_project_alone(tmp_path: Path) -> None:
    """Rows that are left of it are named by cell each time; what no file said is not told."""
    desk = Desk(tmp_path, shop_with_variants())
    with desk.open() as sheets:
        sheets.delete("Projects", sheets.row_of("Projects", "project", "peg board large"))
        row = sheets.add("Work steps", project="shelf", step="saw", setup=5, minutes=4)
        sheets.add("Projects", project="shelf", title="shelf", batch=1)
    desk.compile()
    with desk.open() as sheets:  # one that no file knows
        sheets.delete("Projects", sheets.row_of("Projects", "project", "shelf"))
    for told in (desk.compile(), desk.compile()):
        cells = [each.partition(":")[0] for each in told.look]
        first = ["Cut list!A9", "Consumables!A9", "Work steps!A9", f"Work steps!A{7 + row}"]
        assert cells == [*first, "Pricing tiers!A13"]
        assert all("delete this one, too, bring that row back, or " in each for each in told.look)
        assert not any(each.side == "definitions" for each in told.changes.deleted)


def test_the_last_project(tmp_path: Path) -> None:
    """A shop without any is refused, as in files, with the names of those deleted."""
    desk = Desk(tmp_path, shop())
    with desk.open() as sheets:
        sheets.delete("Projects", 0)
    with pytest.raises(DefinitionError, match=r"Projects: no project is left; .*\(herb rail\)"):
        gather(desk.folder, AS_OF)
