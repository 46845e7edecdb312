"""Projects with variants: what each has of its own, in files, workbook and back again."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from notchbook.cli import main
from notchbook.commands.adopting import adoption
from notchbook.commands.next_year import roll_forward
from notchbook.definitions import DefinitionError, Definitions
from notchbook.gathering import load
from notchbook.sheets.making.consumables import UseRow
from notchbook.sheets.making.pricing_tiers import PriceRow
from notchbook.sheets.making.projects import ProjectRow
from notchbook.sheets.making.seen_prices import SeenRow
from notchbook.sheets.making.work_steps import StepRow

from .desk import AS_OF, Desk, Sheets, compiled
from .maker import SHOP
from .shops import GOOD, write_shop

PEGS = """\
project: peg board
title: Peg board  # as on the label
batch: 4
sizes: {long: 20}
local_factor: 0.5
asked: {online: 20}
variants:
  small: {long: 16, batch: 6}
  large:  # for the hall
    long: 32
    title: Peg board, for the hall
    batch: 3
    seen:
      - {where: "shop, far off", price: 48, on: 2026-03-02}
    asked: {market stall: 30}
    spoilage: 10%
    pace: 120%
    uses: [{stock: oak knob, each: 5}]
    steps:
      - {step: cut, setup: 10, minutes: 5}
      - {step: sand, setup: 0, minutes: 2}
  standard: {}
parts:
  - {part: board, make: 1, size: 1 1/2 x 3 1/2 x long, from: [spruce 2x4 8ft]}
uses:
  - {stock: oak knob, each: 3}
steps:
  - {step: cut, setup: 10, minutes: 3}
"""
FILE = "projects/peg-board.yaml"
SMALL, LARGE, STANDARD = "peg board small", "peg board large", "peg board standard"


def _write(folder: Path) -> Path:
    return write_shop(folder, **{**dict.fromkeys(GOOD), **SHOP, FILE: PEGS})


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Definitions:
    return load(_write(tmp_path_factory.mktemp("variants")), AS_OF)


@pytest.fixture
def pegs(tmp_path: Path, few_rows: None) -> Desk:
    """A desk with three variants and a rail, as compiled."""
    return Desk(tmp_path, compiled(_write))


def problems(folder: Path, **files: str) -> str:
    with pytest.raises(DefinitionError) as told:
        load(write_shop(folder, **{**dict.fromkeys(GOOD), **SHOP, **files}), AS_OF)
    return str(told.value)


def adopted(desk: Desk) -> str:
    """The file once the workbook was adopted; nothing is left in the workbook alone."""
    found = adoption(desk.folder)
    assert found.left == []
    return found.after[FILE] or ""


def test_what_a_variant_has_of_its_own(shop: Definitions) -> None:
    """It stands whole in place of the project's; what it does not say is the project's."""
    rows = {row.project: row for row in shop.table("Projects", ProjectRow)}
    own = [
        (rows[name].title, rows[name].batch, rows[name].spoilage, rows[name].pace)
        for name in (SMALL, LARGE, STANDARD)
    ]
    base = ("Peg board", 4, 0, 1)
    assert own == [("Peg board", 6, 0, 1), ("Peg board, for the hall", 3, 0.1, 1.2), base]
    assert [rows[name].local_factor for name in (SMALL, LARGE)] == [0.5, 0.5]
    prices = {(r.project, r.tier): r.asked for r in shop.table("Pricing tiers", PriceRow)}
    assert (prices[SMALL, "online"], prices[LARGE, "online"]) == (20, None)
    assert (prices[SMALL, "market stall"], prices[LARGE, "market stall"]) == (None, 30)
    steps = [(r.project, r.step, r.minutes) for r in shop.table("Work steps", StepRow)]
    assert (SMALL, "cut", 3) in steps
    assert [row for row in steps if row[0] == LARGE] == [(LARGE, "cut", 5), (LARGE, "sand", 2)]
    uses = {r.project: r.amount for r in shop.table("Consumables", UseRow)}
    assert (uses[SMALL], uses[LARGE], uses[STANDARD]) == (3, 5, 3)
    assert [row.project for row in shop.table("Seen prices", SeenRow)] == [LARGE]


def test_faults_are_told_where_they_stand(tmp_path: Path) -> None:
    """At the line of the variant's key; a name that is no size and no key is told of both."""
    told = problems(tmp_path, **{FILE: PEGS.replace("    batch: 3", "    batch: three")})
    assert told.startswith(f"{FILE}:12: batch: 'three' is not a whole number")
    told = problems(tmp_path, **{FILE: PEGS.replace("    pace: 120%", "    paces: 120%")})
    assert f"{FILE}:17: variants: 'paces' is not in sizes (nearest known: pace)" in told


@pytest.mark.parametrize("name", ["batch", "seen", "uses"])
def test_no_size_is_called_as_a_key_of_variants(tmp_path: Path, name: str) -> None:
    """It could be read as either; another name is proposed."""
    text = PEGS.replace("sizes: {long: 20}", f"sizes: {{long: 20, {name}: 3}}")
    assert f"{FILE}:4: sizes: {name} is a key of variants" in problems(tmp_path, **{FILE: text})


@pytest.mark.parametrize("plain", [True, False])
def test_a_base_that_is_not_made_is_told(tmp_path: Path, plain: bool) -> None:
    """Unless one of its variants changes nothing."""
    text = PEGS if plain else PEGS.replace("  standard: {}\n", "")
    write_shop(tmp_path, **{**dict.fromkeys(GOOD), **SHOP, FILE: text})
    done = CliRunner().invoke(main, ["check", str(tmp_path)])
    told = " ".join(f"{done.stdout} {done.stderr}".split())
    assert done.exit_code == 0
    assert ("peg board itself is not made, only its variants" in told) is not plain


def project_row(book: Sheets, name: str) -> int:
    return int(book.row_of("Projects", "project", name))


@pytest.mark.deep
def test_what_was_typed_for_one_variant_goes_into_it(pegs: Desk) -> None:
    """Cells, whole lists and prices where it had the project's, else entry by entry.

    What is typed for all of them is the project's.
    """
    with pegs.open() as book:
        for name in (SMALL, LARGE, STANDARD):
            book.put("Projects", project_row(book, name), local_factor=0.6)
        book.put("Projects", project_row(book, SMALL), title="Small peg board", batch=5)
        book.put("Projects", project_row(book, LARGE), spoilage=0.2, pace=None)
        steps = book.column("Work steps", "project")
        book.put("Work steps", steps.index(SMALL), minutes=2.5)
        book.put("Work steps", steps.index(LARGE) + 1, minutes=4)
        book.add("Seen prices", project=STANDARD, where="web", price=25, on=datetime(2026, 5, 1))
        book.delete("Consumables", book.column("Consumables", "project").index(LARGE))
        prices = [book.column("Pricing tiers", name) for name in ("project", "tier")]
        rows = list(zip(*prices, strict=True))
        book.put("Pricing tiers", rows.index((SMALL, "market stall")), asked=18)
        book.put("Pricing tiers", rows.index((LARGE, "market stall")), asked=None)
    text = adopted(pegs)
    assert "\nlocal_factor: 0.6\nasked: {online: 20}\n" in text
    assert (
        "small: {long: 16, batch: 5, title: Small peg board,"
        " asked: {market stall: 18.00, online: 20.00},"
        " steps: [{step: cut, setup: 10, minutes: 2.5}]}\n"
    ) in text
    assert "title: Peg board  # as on the label\n" in text
    assert "large:  # for the hall\n" in text
    assert "    asked: {}\n    spoilage: 20%\n    pace: 100%\n    uses: []\n" in text
    assert "      - {step: sand, setup: 0, minutes: 4}\n" in text
    assert "standard: {seen: [{where: web, price: 25.00, on: 2026-05-01}]}" in text
    assert text.endswith("steps:\n  - {step: cut, setup: 10, minutes: 3}\n")


@pytest.mark.deep
def test_a_blank_in_one_variant_is_none_of_the_project(pegs: Desk) -> None:
    """A variant cannot say that it has no factor, so its siblings say theirs."""
    with pegs.open() as book:
        book.put("Projects", project_row(book, STANDARD), local_factor=None)
    text = adopted(pegs)
    assert "\nlocal_factor" not in text
    assert "small: {long: 16, batch: 6, local_factor: 0.5}" in text
    assert "    local_factor: 0.5\n" in text
    assert "standard: {}" in text


def test_a_variant_with_other_parts_moves(pegs: Desk) -> None:
    """To a file of its own with its sizes in it; what all do is done to what stays."""
    with pegs.open() as book:
        cuts = book.column("Cut list", "project")
        for name in (SMALL, LARGE, STANDARD):
            book.put("Cut list", cuts.index(name), width=3)
        book.put("Cut list", cuts.index(LARGE), make=2)
    found = adoption(pegs.folder)
    own = found.after["projects/peg-board-large.yaml"] or ""

    assert found.left == []
    assert found.moved == [
        "peg board large: it is a project of its own now, in projects/peg-board-large.yaml"
    ]
    assert "size: 1 1/2 x 3 x long" in str(found.after[FILE])
    assert "make: 1" in str(found.after[FILE])
    assert "large" not in str(found.after[FILE])
    assert own.startswith('project: peg board large\ntitle: "Peg board, for the hall"  # as')
    assert "sizes: {long: 32}" in own
    assert "{part: board, make: 2, size: 1 1/2 x 3 x long, from: [spruce 2x4 8ft]}" in own
    assert '{where: "shop, far off", price: 48, on: 2026-03-02}' in own
    assert "{step: sand, setup: 0, minutes: 2}" in own
    assert "variants" not in own


@pytest.mark.deep
def test_a_base_without_variants_goes(pegs: Desk) -> None:
    """Each has other parts; nothing is left to be a variant of."""
    with pegs.open() as book:
        cuts = book.column("Cut list", "project")
        for number, name in enumerate((SMALL, LARGE, STANDARD), start=2):
            book.put("Cut list", cuts.index(name), make=number)
    found = adoption(pegs.folder)
    assert (found.left, found.after[FILE]) == ([], None)
    assert found.moved[-1] == f"{FILE}: none of its variants is left, so it goes"


def test_variants_renamed_and_deleted(pegs: Desk) -> None:
    """A name that begins as the project's stays a variant; another is a project."""
    with pegs.open() as book:
        book.put("Projects", project_row(book, SMALL), project="peg board tiny")
        book.put("Projects", project_row(book, LARGE), project="hall board")
        book.delete("Projects", project_row(book, STANDARD))
    found = adoption(pegs.folder)
    assert found.left == []
    assert "  tiny: {long: 16, batch: 6}\n" in str(found.after[FILE])
    assert "standard" not in str(found.after[FILE])
    hall = str(found.after["projects/hall-board.yaml"])
    assert hall.startswith("project: hall board\n")
    assert "asked: {market stall: 30}" in hall


@pytest.mark.deep
def test_the_project_renamed_with_all_its_variants(pegs: Desk) -> None:
    """Its own key gets the new name, and the variants keep theirs."""
    with pegs.open() as book:
        for name in (SMALL, LARGE, STANDARD):
            new = name.replace("peg board", "hook board")
            book.put("Projects", project_row(book, name), project=new)
        for table in ("Seen prices", "Cut list", "Consumables", "Work steps", "Pricing tiers"):
            for row, name in enumerate(book.column(table, "project")):
                book.put(table, row, project=name.replace("peg board", "hook board"))
    text = adopted(pegs)
    assert text.startswith("project: hook board\n")
    assert "  small: {long: 16, batch: 6}\n" in text


@pytest.mark.deep
def test_next_year_keeps_what_was_typed_for_a_variant(pegs: Desk, tmp_path: Path) -> None:
    """Its batch, minutes, price seen and asked stand in the new folder's files."""
    with pegs.open() as book:
        book.put("Projects", project_row(book, SMALL), batch=7)
        steps = book.column("Work steps", "project")
        book.put("Work steps", steps.index(SMALL), minutes=2.5)
    rolled = roll_forward(pegs.folder, tmp_path / "next")
    text = rolled.files[FILE]
    assert "small: {long: 16, batch: 7, steps: [{step: cut, setup: 10, minutes: 2.5}]}" in text
