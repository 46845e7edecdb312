"""A project typed in as made from another gets its rows, once, and a file of its own at adopt."""

from __future__ import annotations

from pathlib import Path

import pytest

from notchbook.commands.adopting import adoption
from notchbook.definitions import DefinitionError
from notchbook.gathering import Gathered, gather
from notchbook.sheets.making.cut_list import CutRow
from notchbook.sheets.making.pricing_tiers import PriceRow
from notchbook.sheets.making.projects import ProjectRow
from notchbook.sheets.making.work_steps import StepRow

from .desk import AS_OF, Desk
from .maker import shop


@pytest.fixture
def little(tmp_path: Path, few_rows: None) -> Desk:
    """A desk with one rail, of 1 part, 1 use and 1 step."""
    return Desk(tmp_path, shop())


def read(desk: Desk) -> Gathered:
    return gather(desk.folder, AS_OF)


@pytest.mark.deep
def test_a_compile_copies_the_rows_and_empties_the_cell(little: Desk) -> None:
    """What the new row says stays, what it leaves blank is the other's; nothing twice."""
    with little.open() as book:
        book.add("Projects", project="key rail", batch=3, made_from="Herb Rail")
    report = little.compile()
    made = read(little).definitions
    rows = {row.project: row for row in made.table("Projects", ProjectRow)}

    key, herb = rows["key rail"], rows["herb rail"]
    assert (key.batch, key.title, herb.batch) == (3, herb.title, 6)
    assert [row.project for row in made.table("Cut list", CutRow)] == ["herb rail", "key rail"]
    assert [row.project for row in made.table("Work steps", StepRow)] == ["herb rail", "key rail"]
    asked = {(r.project, r.tier): r.asked for r in made.table("Pricing tiers", PriceRow)}
    assert asked["herb rail", "market stall"] == 32
    assert asked["key rail", "market stall"] is None
    told = "key rail is made from 'Herb Rail': 3 rows copied; the cell is emptied"
    assert any(told in line for line in report.notices)
    assert little.look().column("Projects", "made_from") == []
    text = adoption(little.folder).after["projects/key-rail.yaml"] or ""
    assert "{part: front, make: 1, size: 1 1/2 x 3 1/2 x 40, from: [spruce 2x4 8ft]}" in text
    for word in ("made_from", "pace", "spoilage"):  # blank, or what a blank stands for
        assert word not in text


def test_nothing_is_copied_over_rows_or_from_itself(little: Desk) -> None:
    """It is told, and no row comes."""
    with little.open() as book:
        book.put("Projects", 0, made_from="key rail")
        book.add("Projects", project="key rail", batch=3, made_from="key rail")
    found = read(little)

    assert len(found.definitions.table("Cut list", CutRow)) == 1
    told = " ".join(found.notices)
    assert "herb rail is not made from 'key rail', as it has rows of its own" in told
    assert "key rail is not made from 'key rail', as that is the project itself" in told


@pytest.mark.deep
def test_a_copy_of_a_copy_and_a_name_that_nothing_bears(little: Desk) -> None:
    """A chain is followed, whichever row comes first; a wrong name is refused at its cell."""
    with little.open() as book:
        book.add("Projects", project="towel rail", made_from="key rail")
        book.add("Projects", project="key rail", made_from="herb rail")
    parts = read(little).definitions.table("Cut list", CutRow)
    assert sorted(row.project for row in parts) == ["herb rail", "key rail", "towel rail"]
    with little.open() as book:
        book.put("Projects", 1, batch=2)
        book.put("Projects", 2, batch=2, made_from="herb rial")
    with pytest.raises(DefinitionError, match="made from: there is no project 'herb rial'"):
        read(little)
