"""One door: each fault of a row is told alike at a file's line and at a workbook's cell.

All rows of `fault_cases` are written into one shop's files, and typed as cells beside the rows of
a good one. Both go through the door once; the state column shows the same.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from notchbook.base.problems import Problems
from notchbook.commands.reference import reference_text
from notchbook.definitions import LEDGER_TABLES, Stated, read_files
from notchbook.definitions.reading.rows import Candidate
from notchbook.gathering.door import Entered, enter
from notchbook.gathering.sides import MODELS
from notchbook.sheets.kit.faults import Strength

from .engine_cases import Example, Examples, by_pandas
from .every_book import BOOKS
from .fault_cases import BASE, CASES, DAY, FILES, PROJECT, Case
from .searching import seldom
from .shops import GOOD, write_shop

Told = Mapping[str, list[str]]
UNSAID = (
    *("no number", "value off", "quantity off"),
    *("in the mileage rate", "listed property", "road vehicle?"),  # see test_road_vehicles
)
"""Text in place of a number is told where the cell is read; what hangs on other rows' cells is not
told while those cannot be read, as here.
"""
FAULTS = {
    (table.name, fault.words): fault
    for book in BOOKS.values()
    for table in book.tables.values()
    for fault in table.faults
}


def of_workbook(name: str, row: int, cells: Mapping[str, Any]) -> Candidate:
    """A row as the workbook holds it, its cells named by row and column."""
    headers = {each.name: each.header.split(" (")[0] for each in BOOKS["us"].tables[name].columns}
    values = {column: value for column, value in cells.items() if value is not None}
    return Candidate(values, lambda column: (f"{name}!{column}{row}", 0), headers.__getitem__)


@cache
def good() -> Stated:
    """The good shop with one more project, as its files state it."""
    folder = write_shop(Path(tempfile.mkdtemp()), **{"projects/faulty.yaml": PROJECT})
    found = read_files(folder, DAY)
    assert not found.problems.sorted()
    return found


def told(problems: Problems, entered: Entered) -> Told:
    """What is told, by place."""
    found: dict[str, list[str]] = {}
    for line in (*map(str, problems.sorted()), *entered.look, *entered.notices):
        place, _, sentence = line.partition(": ")
        found.setdefault(place, []).append(sentence)
    return found


@cache
def at_cells() -> Told:
    """What is told of all rows typed into a workbook."""
    stated, rows = good(), dict[str, list[Candidate]]()
    for name, said in stated.rows.items():
        rows[name] = [of_workbook(name, n, row.cells(MODELS[name])) for n, row in enumerate(said)]
    for n, case in enumerate(CASES):
        rows[case.table].append(of_workbook(case.table, 1000 + n, case.row))
    problems = Problems()
    assert stated.said is not None
    return told(problems, enter(BOOKS["us"], stated.said, rows, problems))


@cache
def in_files() -> tuple[Told, Mapping[int, str]]:
    """What is told of all rows written into files, and the line of each."""
    files = {**GOOD, "projects/faulty.yaml": PROJECT}
    for name, more in (("sales", ",return_of,discount"), ("counts", ",stage")):
        first, rest = files[f"ledgers/{name}.csv"].split("\n", 1)
        files[f"ledgers/{name}.csv"] = f"{first}{more}\n{rest}"
    marks: dict[int, str] = {}
    for n, case in enumerate(CASES):
        if case.written:
            write(files, n, case)
    for name, text in files.items():
        for line, content in enumerate(text.split("\n"), 1):
            for number in re.findall(r"#(\d+)#", content):
                marks[int(number)] = f"{name}:{line}"
        files[name] = re.sub(r" *#\d+#", "", text)
    stated = read_files(write_shop(Path(tempfile.mkdtemp()), **files), DAY)
    assert not stated.problems.sorted()
    assert stated.said is not None
    problems = Problems()
    return told(problems, enter(BOOKS["us"], stated.said, stated.rows, problems)), marks


def write(files: dict[str, str], n: int, case: Case) -> None:
    """Write a case into the files of a shop, marked with its number."""
    if case.table == "Projects":
        files[f"projects/x{n}.yaml"] = case.written.replace("\n", f" #{n}#\n", 1)
    elif case.table == "Pricing tiers":
        files["projects/faulty.yaml"] = files["projects/faulty.yaml"].replace(
            "asked: {}", f"asked: {{{case.written}: 3}} #{n}#"
        )
    elif case.table in LEDGER_TABLES:
        name = FILES[case.table][0]
        files[name] = files[name].rstrip("\n") + f"\n{case.written}#{n}#\n"
    elif case.table == "Stock":
        of = "lumber" if "length" in case.written else "consumables"
        of = of if "pack: 1" in case.written or of == "lumber" else "hardware"
        below(files, "stock.yaml", f"{of}:", f"  - {case.written} #{n}#")
    elif case.written.startswith("tools "):
        below(files, "projects/faulty.yaml", "  # tools", f"  - {case.written[6:]} #{n}#")
    else:
        below(files, *FILES[case.table], f"  - {case.written} #{n}#")


def below(files: dict[str, str], name: str, line: str, entry: str) -> None:
    """Write an entry below a line, or at the end of the list that it begins."""
    lines = files[name].split("\n")
    at = lines.index(line) + 1
    while line.endswith(":") and at < len(lines) and lines[at].startswith(" "):
        at += 1
    files[name] = "\n".join([*lines[:at], entry, *lines[at:]])


def sentences(case: Case, lines: list[str]) -> list[str]:
    """The sentences that tell a case's fault, without the names of column and place."""
    bare = [re.sub(r"^(?:[^:;']+: )+", "", line) for line in lines]
    bare = [re.sub(r"stands at .+ already", "stands at a place", line) for line in bare]
    fault = FAULTS[case.table, case.words]
    if case.says:
        wanted = case.says
    elif fault.twice:
        wanted = "stands at"
    elif fault.unknown:
        wanted = case.words.replace("no ", "there is no ", 1)
    else:
        wanted = case.words
    return [line.casefold() for line in bare if wanted in line]


@pytest.mark.parametrize("case", CASES, ids=str)
def test_a_fault_is_told_alike_at_its_line_and_at_its_cell(case: Case) -> None:
    """The same sentence, whichever side says it."""
    if case.words in UNSAID:
        return
    n = CASES.index(case)
    here = sentences(case, at_cells().get(f"{case.table}!{case.column}{1000 + n}", []))
    assert len(here) == 1, at_cells().get(f"{case.table}!{case.column}{1000 + n}")
    if case.written:
        lines, marks = in_files()
        assert here[0] in sentences(case, lines.get(marks[n], [])), lines.get(marks[n])


def test_every_fault_has_its_case() -> None:
    """No fault is declared that no row here has."""
    tried = {(case.table, case.words) for case in CASES}
    elsewhere = {"no number"}  # see below, and the tests of ledgers
    missing = {(table, words) for table, words in set(FAULTS) - tried if words not in elsewhere}
    assert missing == set(), "add a row for each to tests/fault_cases.py"


def with_state() -> Example:
    """The good shop's rows with the faulty ones below, each of which shows what is wrong with it.

    A row that goes with another's name changes that one's state, too; only the last are expected.
    """
    rows: dict[str, list[dict[str, Any]]] = {
        name: [row.cells(MODELS[name]) for row in said] for name, said in good().rows.items()
    }
    expected: dict[Any, Any] = {}
    for case in CASES:
        if not FAULTS[case.table, case.words].listed:
            expected[case.table, "state", len(rows[case.table])] = case.shows or case.words
        rows[case.table].append(blank_ones(case))
    settings = {"main_tier": "market stall", "target_margin": 0.45}
    return Example("declared beside the columns", rows, expected, settings=settings)


def blank_ones(case: Case) -> dict[str, Any]:
    """A row with all its columns."""
    defaults = dict.fromkeys(MODELS[case.table].model_fields)
    return {**defaults, **case.row}


STATES = Examples({"states": with_state()})


@pytest.mark.parametrize("engine", ["pandas", *seldom("calc")])
def test_the_state_column_shows_the_same(engine: str) -> None:
    """Calculated by pandas, and by LibreOffice from the formulas."""
    one = STATES["states"]
    found = by_pandas(one) if engine == "pandas" else STATES.by_libreoffice("states")
    assert {place: word for place, word in found.items() if word != one.expected[place]} == {}


def test_a_method_that_no_form_knows() -> None:
    """Without a tax form there are no classes."""
    book = BOOKS["none"]
    rows = dict(good().rows)
    row = {**BASE["Tool depreciation"], "tool": "t", "tax_method": "macrs 7"}
    rows["Tool depreciation"] = [of_workbook("Tool depreciation", 9, row)]
    rows["Consumables"] = rows["Purchases"] = []
    said = good().said
    assert said is not None
    entered = enter(
        book, replace(said, values={**said.values, "tax": "none"}), rows, problems := Problems()
    )
    (problem,) = problems.sorted()
    assert "'macrs 7' is not known; write 'straight line'" in str(problem)
    assert entered.look == []


@pytest.mark.parametrize(
    ("column", "value", "says"),
    [
        ("worth_per_hour", 10.0, "worth making from less than skip below; write the greater here"),
        ("main_tier", "stall", "there is no tier 'stall' (nearest known: market stall)"),
    ],
)
def test_single_values_that_do_not_go_together(column: str, value: object, says: str) -> None:
    """Those of Settings, wherever they were written."""
    stated, problems = good(), Problems()
    assert stated.said is not None
    said = replace(stated.said, values={**stated.said.values, column: value})
    enter(BOOKS["us"], said, stated.rows, problems)
    (problem,) = problems.sorted()
    assert says in problem.message
    assert problem.line > 1


def test_reference_lists_the_faults() -> None:
    """Each in words, with what to write instead and what comes of it."""
    text = " ".join(reference_text().split())
    for table in BOOKS["us"].tables.values():
        for fault in table.faults:
            assert f"fault: {fault.words} (" in text
            assert fault.write in text
    assert "disposed before it was in service (disposed); write a day after it. Refused." in text


def test_what_comes_of_a_fault() -> None:
    """In a ledger nothing is refused; a row that belongs to nothing is left out."""
    for (table, _), fault in FAULTS.items():
        assert table not in LEDGER_TABLES or fault.strength is Strength.LOOK
