"""`adopt` changes several files together: all of them or none, or it is finished the next time."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from notchbook.cli import main
from notchbook.commands.adopting import adoption

from .desk import Desk
from .maker import shop

STEPS = ("fsync", "replace", "rename", "unlink")


def full_disk() -> BaseException:
    return OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


BROKEN: dict[str, Callable[[], BaseException]] = {"killed": KeyboardInterrupt, "full": full_disk}


def broken_off(action: Callable[[], object], step: int, wrong: BaseException) -> bool:
    """Does something, which goes wrong from a step at the disk on; tells whether it got there."""
    done = 0

    def watched(name: str) -> Callable[..., Any]:
        call = getattr(os, name)

        def counted(*words: Any, **named: Any) -> Any:
            nonlocal done
            done += 1
            if done >= step and (name != "unlink" or isinstance(wrong, KeyboardInterrupt)):
                raise wrong
            return call(*words, **named)

        return counted

    with pytest.MonkeyPatch.context() as patch:
        for name in STEPS:
            patch.setattr(os, name, watched(name))
        try:
            action()
        except BaseException as error:
            assert isinstance(error, Exception | KeyboardInterrupt)
    return done >= step


def texts(folder: Path) -> dict[str, str]:
    """What the definition files say."""
    return {
        path.relative_to(folder).as_posix(): path.read_text("utf-8")
        for path in sorted(folder.rglob("*.yaml"))
        if not any(part.startswith((".", "backups")) for part in path.relative_to(folder).parts)
    }


@pytest.mark.usefixtures("few_rows")
@pytest.mark.parametrize(
    "how", [pytest.param(how, marks=pytest.mark.deep if n else ()) for n, how in enumerate(BROKEN)]
)
@pytest.mark.deep
def test_broken_off_at_any_step(tmp_path: Path, how: str) -> None:
    """A stock that has another name in stock.yaml only would leave a shop that does not load.

    Wherever it is broken off, the files are the old ones, or the next `adopt` makes them the new
    ones; until then every other command says what to do, and where the old files are.
    """
    desk = Desk(tmp_path / "shop", shop())
    with desk.open() as book:
        book.put("Stock", book.row_of("Stock", "stock", "brass cup pull"), stock="brass pull")
        book.put("Projects", 0, batch=9)
    desk.compile()
    found = adoption(desk.folder)
    before, after = texts(desk.folder), {**texts(desk.folder), **found.after}
    assert len(list(found.changed())) == 2
    step, ends = 1, set()
    while True:
        found.folder = tmp_path / str(step)
        shutil.copytree(desk.folder, found.folder)
        if not broken_off(found.write, step, BROKEN[how]()):
            break
        checked = CliRunner().invoke(main, ["check", str(found.folder)])
        if texts(found.folder) == before and checked.exit_code == 0:
            ends.add("as before")
        else:
            if texts(found.folder) != after:
                assert "run it again" in checked.stderr
                assert "backups/stock" in checked.stderr
            again = CliRunner().invoke(main, ["adopt", str(found.folder), "--yes"])
            assert again.exit_code == 0, again.stderr
            assert texts(found.folder) == after
            ends.add("finished")
        step += 1

    assert step > 8
    assert ends == {"as before", "finished"}


@pytest.mark.usefixtures("few_rows")
@pytest.mark.deep
def test_a_file_edited_before_it_is_finished(tmp_path: Path) -> None:
    """Broken off, then edited: what the maker wrote is not written over."""
    desk = Desk(tmp_path / "shop", shop())
    with desk.open() as book:
        book.put("Stock", book.row_of("Stock", "stock", "brass cup pull"), stock="brass pull")
    desk.compile()
    found = adoption(desk.folder)
    step = 1
    while True:
        found.folder = tmp_path / str(step)
        shutil.copytree(desk.folder, found.folder)
        broken_off(found.write, step, KeyboardInterrupt())
        half = texts(found.folder)
        if half != texts(desk.folder):
            break
        step += 1
    (name,) = (name for name in found.changed() if half[name] == texts(desk.folder)[name])
    edited = half[name] + "# mine\n"
    (found.folder / name).write_text(edited, encoding="utf-8")
    said = CliRunner().invoke(main, ["adopt", str(found.folder), "--yes"])

    assert said.exit_code == 2
    assert f"{name} was changed after" in said.stderr
    assert (found.folder / name).read_text(encoding="utf-8") == edited
