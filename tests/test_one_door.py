"""What a maker types into the workbook goes through the same door as what files say."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from notchbook.cli import main
from notchbook.commands.adopting import adoption
from notchbook.definitions import DefinitionError
from notchbook.gathering import gather
from notchbook.gathering.files_alone import load

from .desk import AS_OF, Desk
from .shops import GOOD, write_shop
from .worked import project, worked

RAIL = "projects/herb-rail.yaml"
SALE = {"date": datetime(2026, 5, 20), "project": "herb rail", "tier": "market stall"}


def refused(desk: Desk) -> list[str]:
    """What is told where nothing is made of a shop."""
    with pytest.raises(DefinitionError) as caught:
        gather(desk.folder, AS_OF)
    return [str(problem) for problem in caught.value.problems]


def bare(line: str) -> str:
    """A sentence without its place and column."""
    return line.split(": ", 2)[2]


@pytest.mark.deep
def test_rows_typed_into_planning_sheets_are_refused_at_their_cells(desk: Desk) -> None:
    """All of them at once, each at its cell."""
    with desk.open() as book:
        book.put("Cut list", 0, ends="mitre 95")
        book.put("Stock", book.row_of("Stock", "stock", "clear coat"), covers_per=None)
        book.put("Tool depreciation", 0, disposed=datetime(2026, 1, 1), elected_179=9)
        book.put("Consumables", 0, stock="brass cup pul")
        book.put("Consumables", 2, part="frond")
        book.line("Settings", "worth_per_hour").value = 10
        cells = {
            "ends": book.cell("Cut list", "ends", 0).coordinate,
            "stock": book.cell("Consumables", "stock", 0).coordinate,
            "worth": book.line("Settings", "worth_per_hour").coordinate,
        }
    lines = refused(desk)

    assert any(line.startswith(f"Cut list!{cells['ends']}: ends: 95 degrees off") for line in lines)
    assert (
        f"Consumables!{cells['stock']}: stock: there is no stock 'brass cup pul'"
        " (nearest known: brass cup pull); write one of Stock"
    ) in lines
    assert f"Settings!{cells['worth']}: worth making from: worth making from less than" in "".join(
        lines
    )
    for words in (
        "there is no part 'frond' (nearest known: front)",
        "covers per: no covers per",
        "disposed before it was in service",
        "not under section 179",
    ):
        assert any(words in line for line in lines), words


@pytest.mark.parametrize("stock", ["brass cup pul", "barn board"])
def test_consumables_are_refused_alike_in_file_and_workbook(
    desk: Desk, tmp_path_factory: pytest.TempPathFactory, stock: str
) -> None:
    """A mistyped stock costs nothing on neither side, because nothing is made of it."""
    other = Desk(tmp_path_factory.mktemp("other"))
    other.replace(RAIL, "stock: brass cup pull, each", f"stock: {stock}, each")
    with desk.open() as book:
        book.put("Consumables", 0, stock=stock)
    (here,), (there,) = refused(desk), refused(other)

    assert here.startswith("Consumables!")
    assert there.startswith(f"{RAIL}:")
    assert bare(here) == bare(there)


@pytest.mark.deep
def test_rows_of_a_ledger_count_and_are_named(desk: Desk) -> None:
    """Nothing is refused there; `check`, `prices` and `compile` name them, with exit code 1."""
    with desk.open() as book:
        book.add("Sales ledger", **SALE, receipt="201", quantity=1, price=30, fee=0, kind="gift")
        book.add("Sales ledger", **SALE, receipt="202", quantity=1, price=-5, fee=0)
        row = book.add(
            "Sales ledger", **SALE, receipt="203", quantity=1, price=30, fee=0, discount=99
        )
        place = book.cell("Sales ledger", "discount", row).coordinate
    look = gather(desk.folder, AS_OF).look

    assert [line.split(": ", 1)[1] for line in look] == [
        "kind: 'gift' is not known; write 'sale', 'return', 'deposit' or 'own use'",
        "price: -5 is too low; write 0 or more",
        "discount: too much off; it is more than the row's price; write the discount of the whole"
        " row",
    ]
    assert look[2].startswith(f"Sales ledger!{place}: ")
    for command in ("check", "prices"):
        result = CliRunner().invoke(main, [command, str(desk.folder)])
        assert result.exit_code == 1
        assert "look: Sales ledger!" in result.stderr
    report = desk.compile(AS_OF)
    assert report.needs_a_look
    assert set(look) <= set(report.look)
    states = desk.look().column("Sales ledger", "state")
    assert len([word for word in states if word]) >= 3


def test_adopt_blames_no_line_that_nobody_wrote(desk: Desk) -> None:
    """What is wrong in the workbook is told at its cell before any file is made of it."""
    with desk.open() as book:
        book.put("Tool depreciation", 0, disposed=datetime(2026, 1, 1))
        place = book.cell("Tool depreciation", "disposed", 0).coordinate
    with pytest.raises(DefinitionError) as caught:
        adoption(desk.folder)

    assert [str(problem) for problem in caught.value.problems] == [
        f"Tool depreciation!{place}: disposed: disposed before it was in service; write a day"
        " after it"
    ]


@pytest.mark.deep
def test_files_may_be_wrong_where_the_workbook_is_right(desk: Desk) -> None:
    """Only what is made of both is looked at: the workbook mends what a file says later."""
    with desk.open() as book:
        book.put("Stock", book.row_of("Stock", "stock", "clear coat"), covers_per=30)
    desk.replace("stock.yaml", ", covers_per: 32", "")

    assert gather(desk.folder, AS_OF).look == []


def test_a_shop_that_is_new_is_told_alike(tmp_path: Path) -> None:
    """Without a workbook the files go through the door alone."""
    sales = GOOD["ledgers/sales.csv"].replace("24.00", "-24.00")
    shop = write_shop(tmp_path, **{"ledgers/sales.csv": sales})
    assert gather(shop, AS_OF).look == [
        "ledgers/sales.csv:3: price: -24 is too low; write 0 or more"
    ]
    write_shop(tmp_path, **{RAIL: GOOD[RAIL].replace("mitre 45", "mitre 95")})
    with pytest.raises(DefinitionError, match="95 degrees off square cannot be cut"):
        gather(shop, AS_OF)


@pytest.mark.deep
def test_a_project_typed_in_the_workbook_is_changed_on_no_other_side(desk: Desk) -> None:
    """Its asked price is typed with it and typed anew: no conflict with files that say nothing."""
    with desk.open() as book:
        book.add("Projects", project="key shelf", batch=2)
        part = {"thickness": 0.75, "width": 5.5, "length": 20, "stocks": "pine 1x6 8ft"}
        book.add("Cut list", project="key shelf", part="board", make=1, **part)
        book.add("Work steps", project="key shelf", step="cut", setup=1, minutes=3)
        book.add("Pricing tiers", project="key shelf", tier="online", asked=30)
    assert gather(desk.folder, AS_OF).changes.conflicts == []
    desk.compile(AS_OF)
    with desk.open() as book:
        names, tiers = (book.column("Pricing tiers", each) for each in ("project", "tier"))
        row = list(zip(names, tiers, strict=False)).index(("key shelf", "online"))
        book.put("Pricing tiers", row, asked=33)
    changes = gather(desk.folder, AS_OF).changes

    assert changes.conflicts == []
    assert [(each.column, each.workbook) for each in changes.kept] == [("asked", 33)]


def test_a_comma_between_names(desk: Desk) -> None:
    """The sheet says what stands between them, and where each has a row of its own."""
    with desk.open() as book:
        book.put("Cut list", 2, stocks="spruce 2x4 8ft, barn board")
        book.put("Consumables", 2, part="front, end")
    lines = refused(desk)

    assert any("semicolons stand between names" in line for line in lines)
    assert any("write a row for each of them" in line for line in lines)


def test_a_kind_that_is_none_counts_as_a_sale_in_a_file_too(tmp_path: Path) -> None:
    """The row stays, the year has its money, `check` names the line, and the exit code is 1."""
    sales = "date,receipt,project,tier,quantity,price,kind\n"
    sales += "2026-05-05,1,herb rail,market stall,1,31.00,sale\n"
    sales += "2026-05-06,2,herb rail,market stall,1,29.00,gift\n"
    shop = write_shop(tmp_path, **{"ledgers/sales.csv": sales, "ledgers/statements.csv": None})
    done = CliRunner().invoke(main, ["check", str(shop)])
    cells = load(shop, AS_OF).cells("Sales ledger")
    filled = worked({"Sales ledger": cells, "Projects": [project() | {"project": "herb rail"}]})

    assert done.exit_code == 1
    assert "ledgers/sales.csv:3: kind: 'gift' is not known; write 'sale', 'return'" in done.stderr
    assert [each["kind"] for each in cells] == ["sale", "gift"]
    assert filled.lines["Year-end", "gross_receipts"] == 60
