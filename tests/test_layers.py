"""Data flows one way: what may import what, and what the documentation must name."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from notchbook.cli import main

from .examples import INCH, ROOT, SHOPS, workbook

SOURCE = ROOT / "src" / "notchbook"
FORBIDDEN = {
    "language": ("sheets", "definitions", "planning", "workbook", "measure", "tax", "shop"),
    "measure": ("language", "sheets", "definitions", "planning", "workbook", "tax", "shop"),
    "planning": ("language", "sheets", "definitions", "workbook", "tax", "shop", "planned"),
    "tax": ("language", "sheets", "definitions", "planning", "workbook", "shop"),
    "sheets": ("definitions", "planning", "workbook", "shop", "planned", "jobs"),
    "definitions": ("planning", "workbook", "shop", "planned", "jobs"),
    "merging": ("definitions", "planning", "workbook", "tax", "sheets", "shop", "gather"),
    "workbook": ("definitions", "planning", "shop", "planned", "jobs"),
}


def imports(file: Path) -> Iterator[str]:
    """The full names of all modules that a file imports, wherever it does."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module


@pytest.mark.parametrize("package", FORBIDDEN)
def test_imports_run_one_way(package: str) -> None:
    """No package imports what comes after it."""
    barred = tuple(f"notchbook.{name}" for name in FORBIDDEN[package])
    wrong = [
        (file.name, name)
        for file in (SOURCE / package).rglob("*.py")
        for name in imports(file)
        if name.startswith(barred)
    ]

    assert wrong == []


def test_one_package_knows_openpyxl() -> None:
    """Only the workbook package imports openpyxl."""
    knowing = {
        file.relative_to(SOURCE).parts[0]
        for file in SOURCE.rglob("*.py")
        if any(name.split(".")[0] == "openpyxl" for name in imports(file))
    }

    assert knowing == {"workbook"}


def test_readme_names_every_command() -> None:
    """Each command stands in README's table."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")

    for name in main.commands:
        assert f"| `{name}" in readme


def test_readme_names_the_workbook() -> None:
    """The file that README tells to open is the one that the first command writes."""
    from notchbook.definitions import load
    from notchbook.gathering import workbook_path

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
