"""The commands as a maker runs them: what they say, how they end, what they leave."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import tempfile
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from notchbook.cli import main
from notchbook.commands.new import starters
from notchbook.definitions.syntax.places import SYNTAX
from notchbook.measure import UNIT_WORDS
from notchbook.merging.changes import LISTS
from notchbook.shop.pipeline import check
from notchbook.terminal import tell_first

from .every_book import BOOKS
from .examples import AS_OF, INCH, SHOPS, STARTERS
from .malformed_cases import CASES, NAMED, Case
from .searching import seldom
from .shops import GOOD, write_shop

DAY = f"--as-of={AS_OF}"


def run(*words: str | Path) -> Result:
    """A command in this process; anything but an exit is a fault of the program."""
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return result


def copy_of_inch(folder: Path) -> Path:
    """A copy of the inch example, without a workbook."""
    shutil.copytree(INCH, folder, ignore=shutil.ignore_patterns("*.xlsx"))
    return folder


@cache
def _folder() -> tempfile.TemporaryDirectory[str]:
    return tempfile.TemporaryDirectory(prefix="notchbook-cli-")


@cache
def compiled() -> tuple[Path, Result]:
    """The inch example compiled by the command, once: its folder and what was said.

    Later commands in it find its plans in the workbook.
    """
    folder = copy_of_inch(Path(_folder().name) / "shop")
    return folder, run("compile", folder, DAY)


@cache
def small() -> tuple[Path, Result]:
    """The small shop compiled once, with all made that it sold: its folder and what was told."""
    made = GOOD["ledgers/production.csv"] + "2026-04-25,peg board small,4,0,30\n"
    folder = write_shop(Path(_folder().name) / "small", **{"ledgers/production.csv": made})
    return folder, run("compile", folder, DAY, "--json")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A copy of the small shop with its workbook."""
    return shutil.copytree(small()[0], tmp_path / "shop")


def test_help_is_quick() -> None:
    """--help loads none of the heavy libraries."""
    code = (
        "import sys\n"
        "from notchbook.cli import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass\n"
        "heavy = ('pandas', 'numpy', 'openpyxl', 'highspy', 'pydantic', 'ruamel', 'PIL')\n"
        "print([name for name in heavy if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.splitlines()[-1] == "[]"


@pytest.mark.parametrize("module", ["notchbook", "notchbook.cli"])
def test_run_as_a_module(module: str) -> None:
    """`python -m` runs the command, whichever of both is named."""
    command = [sys.executable, "-m", module, "--help"]
    done = subprocess.run(command, capture_output=True, text=True, check=True)

    assert done.stdout.startswith("Usage: notchbook ")


def test_every_command_has_help() -> None:
    """Each command says what it does."""
    for name, command in main.commands.items():
        result = run(name, "--help")
        assert result.exit_code == 0
        assert (command.help or "").strip().endswith(".")
    listed = [line for line in run("--help").stdout.splitlines() if line.startswith("  ")]
    assert [line for line in listed if line.endswith("...")] == []  # nothing is cut off
    assert all(name in run("new", "--help").stdout for name in starters())


@pytest.mark.parametrize("name", SHOPS)
def test_check_finds_no_mistakes_in_the_examples(name: str) -> None:
    """Both example shops are right."""
    result = run("check", SHOPS[name], DAY)

    assert result.exit_code == 0
    assert all(
        "itself is not made, only its variants" in each for each in result.stderr.splitlines()
    )
    assert "no mistakes" in result.stdout


def test_a_first_compile_is_told_in_few_lines() -> None:
    """The costs of all sales are kept at once: that is one line, as are its notices each."""
    _, result = compiled()
    said = [*result.stdout.splitlines(), *result.stderr.splitlines()]

    assert any(line.startswith("Saved the costs of 135 sales") for line in said)
    assert len(said) <= 20


def test_compile_writes_beside_the_definitions() -> None:
    """The workbook is named after the shop and its year; nothing else is left behind."""
    folder, result = compiled()
    before = {path.name for path in INCH.iterdir() if path.suffix != ".xlsx"}
    (made,) = {path.name for path in folder.iterdir()} - before

    assert result.exit_code == 0, result.stderr
    assert made.endswith(" 2026.xlsx")
    assert made in result.stdout


@pytest.mark.deep
def test_compile_again_changes_nothing(shop: Path) -> None:
    """With nothing changed the same file is written, the old one kept, and nothing reported."""
    (workbook,) = shop.glob("*.xlsx")
    before = workbook.read_bytes()
    again = run("compile", shop, "--json")
    told = json.loads(again.stdout)

    assert again.exit_code == 0
    assert workbook.read_bytes() == before
    assert Path(told["backup"]).read_bytes() == before
    assert not any(told[name] for name in (*LISTS, "frozen", "look"))


@pytest.mark.deep
def test_another_output_takes_what_was_typed(shop: Path) -> None:
    """The shop's own workbook is merged into a new file elsewhere, and stays as it is."""
    (workbook,) = shop.glob("*.xlsx")
    before = workbook.read_bytes()
    elsewhere = run("compile", shop, "--output", shop / "other.xlsx")

    assert elsewhere.exit_code == 0
    assert workbook.read_bytes() == before
    assert (shop / "other.xlsx").read_bytes() == before


def test_compile_tells_as_json() -> None:
    """The report has the fields that scripts rely on."""
    told = json.loads(small()[1].stdout)

    assert list(told) == [
        *("workbook", "backup", "kept", "taken", "conflicts", "added", "deleted", "frozen"),
        *("checks", "notices", "renamed", "look", "moved"),
    ]
    assert Path(told["workbook"]).exists()
    assert told["checks"]
    assert all(check["ok"] for check in told["checks"])


def test_compile_into_a_missing_folder(tmp_path: Path) -> None:
    """A folder that is not there is named."""
    shop = write_shop(tmp_path)
    result = run("compile", shop, "--output", shop / "nowhere" / "a.xlsx")

    assert result.exit_code == 2
    assert "nowhere" in result.stderr


def test_not_enough_reclaimed_stock(tmp_path: Path) -> None:
    """Too little of what cannot be bought: the workbook is written, the project is named."""
    stock = GOOD["stock.yaml"].replace("on_hand: 9", "on_hand: 0")
    shop = write_shop(tmp_path, **{"stock.yaml": stock})
    result = run("compile", shop, DAY)

    assert result.exit_code == 1, result.stdout
    assert "herb rail: not enough" in result.stderr
    assert list(shop.glob("*.xlsx"))


def test_part_that_fits_nothing(tmp_path: Path) -> None:
    """A part wider than its stock is named with the measure that does not fit."""
    rail = GOOD["projects/herb-rail.yaml"].replace("3/4 x 5 1/2 x long", "3/4 x 90 x 91")
    shop = write_shop(tmp_path, **{"projects/herb-rail.yaml": rail})
    result = run("compile", shop, DAY)

    assert result.exit_code == 2
    assert "projects/herb-rail.yaml:" in result.stderr
    assert "90" in result.stderr
    assert not list(shop.glob("*.xlsx"))


@pytest.mark.parametrize(
    ("pattern", "strip"),
    [
        ("herringbone", "1/2 x 0.01 x 24"),
        ("chevron", "1/2 x 2 x 2.00001"),
        ("chevron", "1/2 x 2 x 1"),
        ("straight", "1/2 x 0.01 x 0.01"),
    ],
)
def test_strips_that_cannot_be_laid(tmp_path: Path, pattern: str, strip: str) -> None:
    """Strips beyond counting, or of a shape that no lay takes, are told at their line."""
    shop = copy_of_inch(tmp_path / "shop")
    (file,) = (path for path in (shop / "projects").iterdir() if "laid:" in path.read_text())
    lines = file.read_text().splitlines()
    at = next(n for n, line in enumerate(lines) if "surface: border" in line)
    line = re.sub(r"pattern: \w+", f"pattern: {pattern}", lines[at])
    lines[at] = re.sub(r"strip: [^,]+", f"strip: {strip}", line)
    file.write_text("\n".join(lines) + "\n")
    result = run("check", shop, DAY)

    assert result.exit_code == 2
    assert f"projects/{file.name}:{at + 1}: border" in result.stderr


@pytest.mark.parametrize("starter", [path.name for path in STARTERS])
def test_starters_compile_as_they_are(tmp_path: Path, starter: str) -> None:
    """A new shop is ready to compile."""
    folder = tmp_path / "mine"
    made = run("new", folder, "--from", starter)
    compiled = run("compile", folder, DAY)

    assert made.exit_code == 0
    assert compiled.exit_code == 0, compiled.stderr
    assert list(folder.glob("*.xlsx"))


def test_new_refuses(tmp_path: Path) -> None:
    """An unknown starter names the nearest; a folder with something in it stays as it is."""
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "mine.txt").write_text("mine")
    unknown = run("new", tmp_path / "a", "--from", "small-goods-inches")
    full = run("new", tmp_path / "full")

    assert (unknown.exit_code, full.exit_code) == (2, 2)
    assert "small-goods-inch" in unknown.stderr
    assert [path.name for path in (tmp_path / "full").iterdir()] == ["mine.txt"]


def test_prices_in_80_columns() -> None:
    """The price list fits a terminal."""
    folder, _ = compiled()
    result = run("prices", folder, DAY)

    assert result.exit_code == 0
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    for project in check(INCH, AS_OF).projects:
        assert f"{project}: a batch of" in result.stdout


def test_prices_as_json(tmp_path: Path) -> None:
    """The fields that scripts rely on, of every project; a workbook is not needed."""
    (found, *_) = told = json.loads(run("prices", write_shop(tmp_path), DAY, "--json").stdout)
    costs = ["material", "hardware", "consumables", "tools", "labor", "overhead", "spoiled", "unit"]
    tier = found["tiers"][0]

    assert [each["project"] for each in told] == [
        *("herb rail", "peg board small", "peg board large"),
    ]
    assert list(found) == [
        *("project", "units", "cost", "minutes", "seen", "market", "verdict", "reason", "tiers"),
    ]
    assert list(found["cost"]) == costs
    assert list(tier) == [
        *("tier", "market", "break_even", "for_margin", "suggested", "asked", "price", "proceeds"),
        *("profit", "margin", "per_hour"),
    ]


def test_prices_of_an_unknown_project(shop: Path) -> None:
    """The nearest name is offered."""
    result = run("prices", shop, "herb rai?")

    assert result.exit_code == 2
    assert "herb rail" in result.stderr


def test_year_end_in_80_columns() -> None:
    """The summary fits a terminal, with the printed numbers and the usual caution."""
    result = run("year-end", compiled()[0], DAY, "--full")

    assert result.exit_code == 0
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    assert re.search(r"(?m)^27b +Other expenses +40\.00$", result.stdout)
    assert re.search(r"(?m)^6 +Other income +0\.00$", result.stdout)
    assert "no tax advice" in result.stdout
    assert re.search(r"(?m)^payment due 2026-04-15 ", result.stdout)


def test_year_end_in_short() -> None:
    """The form without lines of 0, what to set aside, what each project earned: one page."""
    folder = compiled()[0]
    result = run("year-end", folder, DAY)
    text = result.stdout
    lines = json.loads(run("year-end", folder, DAY, "--json").stdout)["lines"]
    filled = {each["line"] for each in lines if each["amount"]}

    assert len(text.splitlines()) + len(result.stderr.splitlines()) <= 60
    assert "figures of the year" in result.stderr
    assert "old price" not in result.stderr  # of prices, not of the year
    assert set(re.findall(r"(?m)^(\d+[ab]?) (?!of \d)", text)) == filled
    assert "to set aside" in text
    assert "no tax advice" in text


def test_what_needs_a_look_ends_after_ten(capsys: pytest.CaptureFixture[str]) -> None:
    """Ten lines and how many more, or all where they are asked for."""
    tell_first("look", range(12), full=False)
    short = capsys.readouterr().err.splitlines()
    tell_first("look", range(12), full=True)

    assert short == [
        *(f"look: {n}" for n in range(10)),
        "look: and 2 more; --full tells all of them",
    ]
    assert capsys.readouterr().err.splitlines() == [f"look: {n}" for n in range(12)]


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("kerf", "saw\n  kerf: "),
        ("labor rate", "shop.yaml\n  labor_rate: "),
        ("narrow rips", "\n  narrow rips: "),
        ("spoilage", "\nProjects\n  spoilage: "),
        ("push stick", "push stick"),
        ("2x4", "\n  2x4: 1 1/2 x 3 1/2 in, 38 x 89 mm"),
        ("plywood", "\n  plywood 3/4: from 0.719 to 0.781 in"),
    ],
)
def test_reference_of_a_word(word: str, says: str) -> None:
    """Keys, cautions and columns of that name, else those that speak of it."""
    found = run("reference", *word.split())

    assert found.exit_code == 0
    assert says in found.stdout
    assert len(found.stdout) < 6_000  # a page or two, where all of it is a book


def test_reference_of_an_unknown_word() -> None:
    """The nearest names are offered."""
    found = run("reference", "kerv")

    assert (found.exit_code, found.stdout) == (2, "")
    assert "nearest: kerf" in found.stderr


@pytest.mark.deep
def test_year_end_as_json() -> None:
    """The fields that scripts rely on; the lines add up as the form says."""
    found = json.loads(run("year-end", compiled()[0], DAY, "--json").stdout)
    amounts = {each["line"]: each["amount"] for each in found["lines"]}
    expenses = [
        each["amount"]
        for each in found["lines"]
        if re.fullmatch(r"([89]|1\d|2[0-7])[ab]?", each["line"])
    ]

    assert list(found) == ["year", "lines", "estimates", "checks", "results"]
    keys = ["project", "pieces", "minutes", "earned"]
    keys += ["per_hour", "per_hour_real", "planned_per_hour"]
    assert found["results"]
    assert all(list(each) == keys for each in found["results"])
    assert list(found["lines"][0]) == ["line", "label", "amount"]
    assert list(found["estimates"][0]) == ["label", "amount"]
    assert list(found["checks"][0]) == ["check", "ok", "difference", "named"]
    assert amounts["7"] == pytest.approx(amounts["1"] - amounts["2"] - amounts["42"])
    assert amounts["28"] == pytest.approx(sum(expenses))
    assert amounts["31"] == pytest.approx(amounts["7"] - amounts["28"] - amounts["30"])
    assert all(each["ok"] for each in found["checks"])


def test_year_end_without_a_form() -> None:
    """Income and expense by category; the category stands where a form has its line."""
    found = json.loads(run("year-end", SHOPS["metric"], DAY, "--json").stdout)
    amounts = {each["line"]: each["amount"] for each in found["lines"]}

    assert amounts["booth and rent"] == 90
    assert amounts["profit"] == pytest.approx(
        amounts["income"] - amounts["expenses with cost of goods"]
    )


@pytest.mark.parametrize(("currency", "decimals"), [("JPY", 0), ("KWD", 3), ("USD", 2)])
def test_year_end_in_other_currencies(currency: str, decimals: int, tmp_path: Path) -> None:
    """Amounts have the decimals of the currency."""
    folder = write_shop(
        tmp_path,
        **{"shop.yaml": GOOD["shop.yaml"].replace("currency: USD", f"currency: {currency}")},
    )
    result = run("year-end", folder, DAY, "--json")
    amounts = [each["amount"] for each in json.loads(result.stdout)["lines"]]

    assert all(round(each, decimals) == each for each in amounts)
    assert all(isinstance(each, int) for each in amounts) is (decimals == 0)
    shown = run("year-end", folder, DAY).stdout.splitlines()[3]
    assert re.search(r"\d\." + r"\d" * decimals + "$" if decimals else r" \d+$", shown)


def test_year_end_with_a_check_that_fails(tmp_path: Path) -> None:
    """Exit 1, and the check is told on stderr with its amount."""
    sales = GOOD["ledgers/sales.csv"].replace(
        "101,herb rail,market stall,2", "101,herb rail,market stall,20"
    )
    result = run("year-end", write_shop(tmp_path, **{"ledgers/sales.csv": sales}), DAY)

    assert result.exit_code == 1
    assert "look: projects with more sold than made: 2" in result.stderr


def test_reference_names_every_key_and_column() -> None:
    """Nothing is left out of the reference, and it fits a terminal."""
    told = run("reference").stdout

    assert max(len(line) for line in told.splitlines()) <= 80
    for keys in SYNTAX.values():
        for key in keys:
            assert f"  {key.key}:" in told
    for table in BOOKS["us"].tables.values():
        for column in table.columns:
            units = {name: each["inch"] for name, each in UNIT_WORDS.items()}
            header = column.header.format(**units)
            assert f"  {header}:" in told


@pytest.mark.parametrize("case", [each for each in CASES if each.name in NAMED], ids=str)
def test_rows_that_are_named(case: Case, tmp_path: Path) -> None:
    """Nothing is refused; the file and line are named by `check`."""
    result = run("check", write_shop(tmp_path, **case.changes), DAY)

    assert result.exit_code == (0 if case.name == "no parts" else 1)
    assert f": {case.start}" in result.stderr


REFUSED = [each for each in CASES if each.name not in NAMED]


@pytest.mark.parametrize(
    "case",
    [*REFUSED[::6], *seldom(*(each for n, each in enumerate(REFUSED) if n % 6))],
    ids=lambda case: case.name,
)
def test_malformed_definitions(case: Case, tmp_path: Path) -> None:
    """Exit 2, the file and line named, no traceback, nothing written."""
    folder = write_shop(tmp_path, **case.changes)
    before = sorted(path for path in folder.rglob("*"))
    result = run("compile", folder, DAY)

    assert result.exit_code == 2
    assert re.search(r"(?m)^[^:\n]+:\d+: ", result.stderr)
    assert result.stdout == ""
    assert "Traceback" not in result.stderr
    assert sorted(path for path in folder.rglob("*")) == before


def test_missing_shop(tmp_path: Path) -> None:
    """A folder that is not there, or a file in its place, is told without a traceback."""
    (tmp_path / "file").write_text("x")

    for path in (tmp_path / "none", tmp_path / "file"):
        for command in ("check", "compile", "prices", "year-end"):
            result = run(command, path)
            assert result.exit_code == 2
            assert result.stderr


def test_crumbs_are_refused_at_their_line(tmp_path: Path) -> None:
    """More than 5,000 pieces out of one board are a slip; named for each board, nothing planned."""
    rail = GOOD["projects/herb-rail.yaml"].replace("3/8 x 1 x inner", "0.05 x 0.05 x 0.05")
    result = run("check", write_shop(tmp_path, **{"projects/herb-rail.yaml": rail}))
    assert result.exit_code == 2
    told = [line for line in result.stderr.splitlines() if "is too small for" in line]
    assert all(line.startswith("projects/herb-rail.yaml:") for line in told)
    assert [line.split(": ")[1].split(" is ")[0] for line in told] == ["slat of herb rail"] * 2
