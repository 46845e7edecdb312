"""Paths that lead to no plain file, or to one that may not be written: told before any opening."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from notchbook.cli import main
from notchbook.commands.new import copy_starter

from .desk import Desk
from .maker import shop
from .searching import seldom
from .test_no_room import run

NAME = "Bench and Burr 2026.xlsx"


def lead_to(target: str) -> Callable[[Path], None]:
    return lambda path: path.symlink_to(target)


ODD: dict[str, tuple[Callable[[Path], None], str]] = {
    "a pipe": (os.mkfifo, "is no file"),
    "a folder": (Path.mkdir, "is no file"),
    "a link to a device": (lead_to("/dev/zero"), "is no file"),
    "a link to nothing": (lead_to("gone.xlsx"), "is a link to nothing"),
    "a link to itself": (lead_to(NAME), "cannot be looked at"),
}


def told(*words: object) -> tuple[int, str, str]:
    """Exit code, stdout and stderr of a command in this process."""
    done = CliRunner().invoke(main, [str(word) for word in words])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exc_info
    return done.exit_code, done.stdout, done.stderr


@pytest.mark.parametrize("what", ODD)
def test_a_workbook_that_is_no_file(tmp_path: Path, what: str) -> None:
    """It is looked at before it is opened, as a pipe waits for ever and a device has no end."""
    make, says = ODD[what]
    folder = tmp_path / "shop"
    shutil.copytree(shop(), folder)
    (folder / NAME).unlink()
    make(folder / NAME)
    code, _, wrong = run("check", folder, seconds=60)

    assert code == "2"
    assert says in wrong
    assert wrong.count("\n") == 1


@pytest.mark.parametrize("what", ["a folder", "a link to itself"])
def test_an_output_that_is_no_file(tmp_path: Path, what: str) -> None:
    """As of --output."""
    make, says = ODD[what]
    make(tmp_path / NAME)
    code, _, wrong = told("compile", shop(), "--output", tmp_path / NAME)

    assert code == 2
    assert says in wrong


@pytest.mark.parametrize("name", ["", ".", *seldom("..", "/", ".xlsx")])
@pytest.mark.parametrize("command", ["compile SHOP", "hand-over SHOP herb-rail"])
def test_an_output_without_a_name(name: str, command: str) -> None:
    """A sentence, with a name that could be written."""
    words = {"SHOP": str(shop()), "herb-rail": "herb rail"}
    code, said, wrong = told(*(words.get(word, word) for word in command.split()), "--output", name)

    assert (code, said) == (2, "")
    assert "a workbook's name ends in .xlsx; name it" in wrong


@pytest.mark.usefixtures("few_rows")
def test_a_read_only_workbook_is_left_alone(tmp_path: Path) -> None:
    """Who marks a file read-only wants it kept as it is; so no compile replaces it untold."""
    desk = Desk(tmp_path, shop())
    before = desk.path.read_bytes()
    desk.path.chmod(0o444)
    desk.replace("stock.yaml", "4.15", "5.15")
    code, _, wrong = told("compile", desk.folder)

    assert code == 2
    assert f"{NAME} is read-only" in wrong
    assert desk.path.read_bytes() == before
    assert not (tmp_path / "backups").exists()


@pytest.mark.deep
@pytest.mark.usefixtures("few_rows")
def test_a_read_only_file_is_not_adopted_into(tmp_path: Path) -> None:
    """Nor are the others that `adopt` would change with it."""
    desk = Desk(tmp_path, shop())
    with desk.open() as book:
        book.put("Stock", 0, price=9.5)
        book.put("Projects", 0, batch=9)
    desk.compile()
    (tmp_path / "stock.yaml").chmod(0o444)
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    code, _, wrong = told("adopt", tmp_path, "--yes")

    assert code == 2
    assert "stock.yaml is read-only" in wrong
    assert before == {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}


def test_a_starter_is_there_whole_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Broken off in the middle, `new` leaves no half a shop, and its folder can be named again."""
    written: list[Path] = []
    write = Path.write_bytes

    def break_off(path: Path, data: bytes) -> int:
        written.append(path)
        if len(written) == 3:
            raise KeyboardInterrupt
        return write(path, data)

    with monkeypatch.context() as broken:
        broken.setattr(Path, "write_bytes", break_off)
        with pytest.raises(KeyboardInterrupt):
            list(copy_starter("small-goods-inch", tmp_path / "shop"))
    assert not (tmp_path / "shop").exists()
    files = list(copy_starter("small-goods-inch", tmp_path / "shop"))

    assert len(files) > len(written)
    assert all(Path(file).is_file() for file in files)


@pytest.mark.parametrize(("suffix", "beside"), [(".ods", True), (".XLSM", True), (".xls", False)])
def test_a_copy_in_another_format_is_not_passed_over(
    tmp_path: Path, suffix: str, beside: bool
) -> None:
    """What was typed there is newer than the workbook that is read, or all there is."""
    folder = tmp_path / "shop"
    shutil.copytree(shop(), folder)
    book = folder / NAME
    other = book.with_suffix(suffix)
    shutil.copyfile(book, other) if beside else book.rename(other)
    later = time.time() + 5
    os.utime(other, (later, later))
    before = {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}

    code, _, wrong = told("compile", folder)

    assert code == 2
    assert wrong.startswith(f"{other.name} is ")
    assert f"save it as {NAME}" in wrong
    assert before == {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_an_older_copy_in_another_format_is_left_alone(tmp_path: Path) -> None:
    """It was made for somebody else."""
    folder = tmp_path / "shop"
    shutil.copytree(shop(), folder)
    os.utime(shutil.copyfile(folder / NAME, folder / "Bench and Burr 2026.ods"), (1, 1))

    assert told("check", folder)[0] == 0
