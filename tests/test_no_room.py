"""Terminals and disks that do not take what is written: a sentence, and nothing lost."""

from __future__ import annotations

import errno
import os
import resource
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from notchbook.base.refusals import RefusedError
from notchbook.base.replace_file import replace_old

from .desk import Desk
from .examples import ROOT
from .maker import shop
from .searching import seldom

COMMAND = [sys.executable, "-c", "from notchbook.cli import main; main()"]
SMALL = 20_000  # bytes that a file may hold


def run(
    *words: object,
    encoding: str = "utf-8",
    output: str = "",
    room: int = 0,
    seconds: int | None = None,
    closed: int | None = None,
) -> list[str]:
    """Exit code, stdout and stderr of a command; `output` names a file for stdout.

    `closed` is a stream that is not there, by its number.
    """
    environment = {
        "PYTHONPATH": str(ROOT / "src"),
        "PYTHONIOENCODING": encoding,
        "PYTHONDONTWRITEBYTECODE": "1",  # or there would be no room for that either
        "PATH": "/usr/bin:/bin",
    }

    def limit() -> None:
        if room:
            resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))
        if closed is not None:
            os.close(closed)

    with Path(output or "/dev/null").open("w") as target:
        done = subprocess.run(
            [*COMMAND, *map(str, words)],
            env=environment,
            stdout=target if output else subprocess.PIPE,
            stderr=subprocess.PIPE,
            check=False,
            preexec_fn=limit,
            timeout=seconds,
        )
    told = [] if output else [done.stdout.decode(encoding)]
    return [str(done.returncode), *told, done.stderr.decode(encoding)]


@pytest.mark.deep
def test_letters_that_a_terminal_lacks() -> None:
    """They give way to a question mark, and all the rest is there."""
    code, told, wrong = run("reference", encoding="cp1252")

    assert (code, wrong) == ("0", "")
    assert told.replace("?", "") == "".join(
        sign for sign in run("reference")[1] if sign.encode("cp1252", "ignore") and sign != "?"
    )


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_an_output_that_is_full() -> None:
    """As when the list is written to a full disk."""
    assert run("reference", output="/dev/full") == ["2", "the output: No space left on device\n"]


@pytest.mark.deep
def test_a_disk_that_is_full(tmp_path: Path) -> None:
    """The workbook stands as it was, with nothing beside it."""
    desk = Desk(tmp_path, shop())
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    code, told, wrong = run("compile", tmp_path, room=SMALL)

    assert (code, told) == ("2", "")
    assert "cannot be written: File too large" in " ".join(wrong.split())
    assert before == {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    assert desk.path in before


def test_no_room_beside_the_workbook(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the new file does not fit beside the old one, that is told by its name."""

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    target = tmp_path / "shop.xlsx"
    target.write_bytes(b"old")
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(RefusedError, match=r"shop.xlsx cannot be written: No space left"):
        replace_old(target, b"old", b"new", datetime(2026, 1, 1))

    assert target.read_bytes() == b"old"
    assert [path.name for path in tmp_path.iterdir()] == ["shop.xlsx"]


@pytest.mark.parametrize("name", ["copy.txt", *seldom("copy", "there.xlsx", "none/copy.xlsx")])
def test_a_place_for_no_workbook(tmp_path: Path, name: str) -> None:
    """Another ending, a folder, a folder that is not there: told before anything is planned."""
    (tmp_path / "there.xlsx").mkdir()
    code, told, wrong = run("compile", shop(), "--output", tmp_path / name)

    assert (code, told) == ("2", "")
    assert Path(name).name in wrong or "there is no folder" in wrong
    assert [path.name for path in tmp_path.iterdir()] == ["there.xlsx"]


@pytest.mark.deep
def test_nobody_to_answer(tmp_path: Path) -> None:
    """Without any input `adopt` says what to do, and writes nothing."""
    desk = Desk(tmp_path, shop())
    with desk.open() as book:
        book.put("Stock", 0, price=9.5)
    before = (tmp_path / "stock.yaml").read_bytes()
    code, _, wrong = run("adopt", tmp_path, closed=0)

    assert code == "2"
    assert wrong.splitlines()[-1].startswith("nothing was written; answer y or n")
    assert (tmp_path / "stock.yaml").read_bytes() == before


@pytest.mark.parametrize("closed", [1, 2])
@pytest.mark.deep
def test_nobody_to_listen(tmp_path: Path, closed: int) -> None:
    """Without output the work is done all the same."""
    desk = Desk(tmp_path, shop())
    desk.replace("stock.yaml", "4.15", "5.25")
    code, _, wrong = run("compile", tmp_path, closed=closed)

    assert (code, "Traceback" in wrong) == ("1", False)
    assert desk.look().cell("Stock", "price", 0).value == 5.25
