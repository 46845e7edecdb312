"""Data flows one way: what may import what, and what the documentation must name."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

from notchbook.cli import main

from .examples import INCH, ROOT, SHOPS, workbook

SOURCE = ROOT / "src" / "notchbook"
ALLOWED: Mapping[str, str] = {
    "measure": "",
    "base": "measure",
    "books": "",
    "language": "",
    "sheets.kit": "base language measure",
    "tax": "",
    "sheets.ledgers": "language sheets.kit tax",
    "sheets.making": "books language sheets.kit sheets.ledgers",
    "sheets.tax": "language sheets.kit sheets.ledgers tax",
    "sheets.results": "language sheets.kit sheets.ledgers sheets.tax",
    "sheets.checks": "language sheets.kit sheets.ledgers sheets.tax",
    "sheets": "base language sheets.checks sheets.kit sheets.tax",
    "definitions.syntax": "measure sheets.kit sheets.making",
    "merging": "",
    "trade": "measure",
    "definitions.reading": (
        "base definitions.syntax measure merging sheets.kit sheets.making trade"
    ),
    "definitions": "base definitions.reading definitions.syntax sheets.kit",
    "definitions.editing": "base definitions.reading definitions.syntax merging sheets.kit",
    "workbook.file": "base",
    "workbook.layout": "base language measure sheets.kit workbook.file",
    "workbook.memory": "language merging sheets.kit workbook.file workbook.layout",
    "workbook.read": (
        "base language measure merging sheets.kit workbook.file workbook.layout workbook.memory"
    ),
    "gathering": (
        "base definitions definitions.reading definitions.syntax language measure merging sheets "
        "sheets.kit sheets.ledgers sheets.making sheets.tax trade workbook.read"
    ),
    "commands.adopting": (
        "base definitions definitions.editing definitions.reading definitions.syntax "
        "gathering measure merging sheets sheets.kit sheets.making trade workbook.read"
    ),
    "planning.model": "",
    "jobs": "definitions measure planning.model sheets.kit sheets.making",
    "planning.geometry": "",
    "planning.saw": "base measure planning.model",
    "plan_views": (
        "base definitions jobs measure planning.geometry "
        "planning.model planning.saw sheets.kit sheets.making trade"
    ),
    "plan_views.letters": "base plan_views",
    "planning.search": "planning.geometry planning.model",
    "planning": "planning.geometry planning.model planning.saw planning.search",
    "sheets.partner": "base language sheets.kit",
    "sheets.paper": "language sheets.kit",
    "plan_views.ink": "base measure plan_views planning.geometry",
    "shop": (
        "base books definitions definitions.syntax gathering jobs language measure merging "
        "plan_views plan_views.ink planning planning.geometry planning.model planning.saw sheets "
        "sheets.checks sheets.kit sheets.ledgers sheets.making sheets.results sheets.tax trade "
        "workbook.layout"
    ),
    "workbook.carry": (
        "language merging sheets.kit sheets.making workbook.file workbook.layout workbook.memory "
        "workbook.read"
    ),
    "workbook.write": (
        "base language merging sheets.checks sheets.kit workbook.carry "
        "workbook.file workbook.layout workbook.memory workbook.read"
    ),
    "commands": (
        "base books commands.adopting definitions definitions.editing definitions.reading "
        "definitions.syntax gathering jobs language measure merging plan_views plan_views.letters "
        "planning planning.model planning.saw sheets sheets.kit sheets.ledgers "
        "sheets.making sheets.paper sheets.partner sheets.tax shop tax trade workbook.carry "
        "workbook.file workbook.read workbook.write"
    ),
    "terminal": "base definitions workbook.read",
    "cli_writing": "base commands commands.adopting terminal",
    "cli": "base cli_writing commands shop terminal",
    "__main__": "cli",
    "workbook": "",
}
"""By room, in the order in which data flows: the rooms it may import, and no others."""


def imports(file: Path) -> Iterator[str]:
    """The full names of all modules that a file imports, wherever it does."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def room_of(file: Path) -> str:
    """The folder that a module stands in; a module of the hall is a room by itself."""
    return ".".join(file.relative_to(SOURCE).parts[:-1]) or file.stem


def rooms() -> dict[str, list[Path]]:
    """The modules of each room; folders that only hold others are none."""
    found: dict[str, list[Path]] = {}
    for file in sorted(SOURCE.rglob("*.py")):
        if file != SOURCE / "__init__.py":
            found.setdefault(room_of(file), []).append(file)
    return found


def room_imported(name: str) -> str:
    """The room of an imported module or name."""
    parts = name.split(".")[1:]
    while parts:
        path = SOURCE.joinpath(*parts)
        if path.with_suffix(".py").is_file():
            return room_of(path.with_suffix(".py"))
        if (path / "__init__.py").is_file():
            return ".".join(parts)
        parts = parts[:-1]
    return ""


@pytest.mark.parametrize("room", rooms())
def test_imports_run_one_way(room: str) -> None:
    """A room imports what its line allows, and its line allows no more than it imports."""
    files = rooms()[room]
    names = {name for file in files for name in imports(file) if name.startswith("notchbook.")}
    used = {room_imported(name) for name in names} - {room}

    assert used == set(ALLOWED[room].split())


def test_rooms_stand_in_order() -> None:
    """Every room imports only from rooms above its own line, so that there is no circle."""
    met: set[str] = set()
    for room, others in ALLOWED.items():
        assert set(others.split()) <= met, room
        met.add(room)

    assert met == set(rooms())


def test_one_package_knows_openpyxl() -> None:
    """Only the workbook package imports openpyxl."""
    knowing = {
        file.relative_to(SOURCE).parts[0]
        for file in SOURCE.rglob("*.py")
        if any(name.split(".")[0] == "openpyxl" for name in imports(file))
    }

    assert knowing == {"workbook"}


def private_names(file: Path) -> Iterator[str]:
    """The private names of others that a file reads, sets or imports."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Attribute) and node.attr.startswith("_"):
            owner = ast.unparse(node.value)
            if owner not in ("self", "cls", "super()") and not node.attr.endswith("__"):
                yield f"{owner}.{node.attr}"
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("openpyxl."):
            yield from (part for part in str(node.module).split(".") if part.startswith("_"))


def test_one_module_knows_raw_cells() -> None:
    """Private names of openpyxl stand where cells are kept and where sheets are written."""
    knowing = {
        file.relative_to(SOURCE).as_posix()
        for file in (SOURCE / "workbook").rglob("*.py")
        if any(private_names(file))
    }

    assert knowing == {"workbook/file/raw_cells.py", "workbook/file/saving.py"}


def test_readme_names_every_command() -> None:
    """Each command stands in README's table."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")

    for name in main.commands:
        assert f"| `{name}" in readme


def test_readme_names_the_workbook() -> None:
    """The file that README tells to open is the one that the first command writes."""
    from notchbook.gathering import load, workbook_path

    from .examples import AS_OF

    readme = (ROOT / "README.md").read_text(encoding="utf-8")

    assert f"compile example_projects/{INCH.name}" in readme
    assert workbook_path(load(INCH, AS_OF)).relative_to(ROOT).as_posix() in readme


def test_examples_are_ours() -> None:
    """Both example shops are compiled in the tests."""
    assert {path.name for path in SHOPS.values()} == {
        path.name for path in (ROOT / "example_projects").iterdir() if path.is_dir()
    }
    assert workbook("inch").stat().st_size > 0
