"""Every slip is told with its file and line, all of them at once, and never as a traceback."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notchbook.definitions import DefinitionError, Problem
from notchbook.definitions.syntax.places import SYNTAX
from notchbook.gathering import load
from notchbook.sheets.kit.written import Reads
from tests.malformed_cases import CASES, Case
from tests.shops import GOOD, write_shop

from .searching import examples

TODAY = date(2026, 6, 1)
FILES = sorted(GOOD)
SIGNS = st.text(
    st.one_of(st.sampled_from("{}[]:,-|>&*!%'\"#\t\n /x0123456789.="), st.characters()), max_size=6
)


def problems_of(folder: Path) -> list[Problem]:
    """What is told of a shop; nothing for a good one."""
    try:
        load(folder, TODAY)
    except DefinitionError as error:
        return error.problems
    return []


def told_of(folder: Path) -> list[str]:
    """What is told of a shop: its problems, else the rows that count all the same."""
    try:
        found = load(folder, TODAY)
    except DefinitionError as error:
        return [str(problem) for problem in error.problems]
    return [*found.look, *found.notices]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_slip_is_told_at_its_line(case: Case, tmp_path: Path) -> None:
    """The problem names the file and line, says what is wrong, and what to write instead."""
    told = told_of(write_shop(tmp_path, **case.changes))
    matching = [line for line in told if line.startswith(case.start) and case.says in line]
    assert matching, told
    assert all("\n" not in line and "; " in line and len(line) < 500 for line in told)


@pytest.mark.parametrize(
    ("file", "place", "key"),
    [
        (file, place, key.key)
        for file, place in (
            *(
                ("shop.yaml", "shop.yaml"),
                ("stock.yaml", "stock.yaml"),
                ("tools.yaml", "tools.yaml"),
            ),
            ("projects/peg-board.yaml", "project"),
        )
        for key in SYNTAX[place]
        if key.reads in (Reads.PLACES, Reads.TEXTS)
    ],
)
def test_an_empty_list_means_none(file: str, place: str, key: str, tmp_path: Path) -> None:
    """No list has to hold anything: what is told, if anything, is of those that refer to it."""
    lines = GOOD[file].split("\n")
    at = next((n for n, line in enumerate(lines) if line.startswith(f"{key}:")), None)
    if at is not None:
        end = next((n for n in range(at + 1, len(lines)) if lines[n][:1] not in (" ", "-")), at + 1)
        lines[at:end] = []
    text = "\n".join([*lines, f"{key}: []", ""])

    told = [str(problem) for problem in problems_of(write_shop(tmp_path, **{file: text}))]

    assert not [line for line in told if f" {key}: " in line or f" {key} is" in line], told


def test_each_case_is_another() -> None:
    """No two cases share a name, so that none hides another."""
    assert len({case.name for case in CASES}) == len(CASES)
    assert len(CASES) >= 70


def test_one_slip_is_told_once(tmp_path: Path) -> None:
    """A broken size is told where it stands, and not again wherever it is used."""
    text = GOOD["projects/herb-rail.yaml"].replace("deep: 5 1/2", "deep: 5 furlongs")
    (problem,) = problems_of(write_shop(tmp_path, **{"projects/herb-rail.yaml": text}))
    assert (problem.file, problem.line) == ("projects/herb-rail.yaml", 4)


def test_a_name_that_cannot_be_is_told_once(tmp_path: Path) -> None:
    """Where it is given, and not again for each part and step of the project."""
    text = GOOD["projects/herb-rail.yaml"].replace("project: herb rail", "project: =rail")
    (problem,) = problems_of(write_shop(tmp_path, **{"projects/herb-rail.yaml": text}))
    assert (problem.file, problem.line) == ("projects/herb-rail.yaml", 1)


def test_a_misspelt_key_is_told_once(tmp_path: Path) -> None:
    """The key that was meant is not called missing as well; nor is a column."""
    changes = {
        "shop.yaml": GOOD["shop.yaml"].replace("labor_rate", "labor_rates"),
        "ledgers/sales.csv": GOOD["ledgers/sales.csv"].replace("receipt", "reciept"),
    }
    problems = problems_of(write_shop(tmp_path, **changes))
    assert [each.file for each in problems] == ["ledgers/sales.csv", "shop.yaml"]


def test_a_missing_stock_file_hides_no_other_slip(tmp_path: Path) -> None:
    """Names that an unreadable file would have given are not called unknown."""
    (problem,) = problems_of(write_shop(tmp_path, **{"stock.yaml": None}))
    assert str(problem).startswith("stock.yaml:1: the file is missing")


def test_slips_in_several_files_are_told_together(tmp_path: Path) -> None:
    """One run tells of all files, sorted by file and line."""
    changes = {
        "stock.yaml": GOOD["stock.yaml"].replace("pack: 10", "pack: ten"),
        "shop.yaml": GOOD["shop.yaml"].replace("year: 2026", "year: soon"),
        "ledgers/sales.csv": GOOD["ledgers/sales.csv"].replace("2026-05-02", "May"),
    }
    problems = problems_of(write_shop(tmp_path, **changes))
    assert [(each.file, each.line) for each in problems] == [
        ("ledgers/sales.csv", 2),
        ("shop.yaml", 2),
        ("stock.yaml", 10),
    ]


@pytest.mark.parametrize("name", ["nowhere", "file"])
def test_no_folder(name: str, tmp_path: Path) -> None:
    """A shop that is not there, or is a file, is told like any other slip."""
    (tmp_path / "file").write_text("x")
    (problem,) = problems_of(tmp_path / name)
    assert "folder" in problem.message


def test_no_project(tmp_path: Path) -> None:
    """A shop without a project says so, and does not call the ledgers' projects unknown."""
    none = {name: None for name in GOOD if name.startswith("projects/")}
    (problem,) = problems_of(write_shop(tmp_path, **none))
    assert str(problem).startswith("projects:1: there is no project; write one")


def test_a_flood_of_problems_ends(tmp_path: Path) -> None:
    """A ledger whose every row is wrong is told of a hundred times, not ten thousand."""
    rows = "".join(f"May,{n},no such,no tier,1,1\n" for n in range(3000))
    text = "date,receipt,project,tier,quantity,price\n" + rows
    problems = problems_of(write_shop(tmp_path, **{"ledgers/sales.csv": text}))
    assert len(problems) == 101
    assert "more than 100 problems" in problems[-1].message


def test_control_characters_stay_out_of_the_message() -> None:
    """A problem is one line even where a file's name or text is not."""
    text = str(Problem("a\nb.yaml", 3, "x\x1b[31m" + "y" * 5000))
    assert text.startswith("a?b.yaml:3: x?[31my")
    assert len(text) < 500


@examples(60)
@given(st.sampled_from(FILES), st.integers(0, 10_000), st.integers(0, 12), SIGNS)
@pytest.mark.deep
def test_a_mutated_file_is_read_or_told(
    tmp_path_factory: pytest.TempPathFactory, file: str, at: int, cut: int, put: str
) -> None:
    """Whatever is cut out of a file or typed into it, nothing but problems comes of it."""
    text = GOOD[file]
    at %= len(text) + 1
    mutated = (text[:at] + put + text[at + cut :]).encode("utf-8", "surrogatepass")
    folder = write_shop(tmp_path_factory.mktemp("shop"), **{file: mutated})
    for problem in problems_of(folder):
        assert problem.line >= 1
        assert "; " in problem.message


@examples(50)
@given(st.sampled_from(FILES), st.binary(max_size=200))
@pytest.mark.deep
def test_any_bytes_are_read_or_told(
    tmp_path_factory: pytest.TempPathFactory, file: str, raw: bytes
) -> None:
    """Any bytes at all may stand in a file."""
    folder = write_shop(tmp_path_factory.mktemp("shop"), **{file: raw})
    assert all(problem.line >= 1 for problem in problems_of(folder))
