"""A workbook put in place of another: complete or not at all, with a dated copy of the old one."""

from __future__ import annotations

import os
import re
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from notchbook.base.refusals import RefusedError

BACKUPS = "backups"
KEPT = 20
BESIDE = ".notchbook-"  # begins the names of what is not yet in its place
_AN_HOUR = 3_600  # seconds; no compile takes as long
_NEW_MODE = 0o644
_MAY_WRITE = stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH
_STAMP = "%Y-%m-%d %H%M%S"  # in the names of copies


def stands(path: Path) -> bool:
    """Tell whether a file stands at a path; it is looked at and not opened.

    Raises RefusedError for what is no plain file: a pipe or a device may never end, and a link may
    lead nowhere, or to itself.
    """
    try:
        mode = path.stat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        if path.is_symlink():
            raise RefusedError(f"{path} is a link to nothing; delete it, or name another") from None
        return False
    except OSError as error:
        raise RefusedError(f"{path} cannot be looked at: {error.strerror or error}") from None
    if not stat.S_ISREG(mode):
        raise RefusedError(f"{path} is no file; name another, or move it away")
    return True


def refuse_place(target: Path) -> None:
    """Refuse, before any work is done, a place where no workbook can be written.

    Raises RefusedError.
    """
    if target.suffix.lower() != ".xlsx":
        name = target.with_suffix(".xlsx").name if target.name else "copy.xlsx"
        raise RefusedError(f"{target}: a workbook's name ends in .xlsx; name it {name}")
    if not target.parent.is_dir():
        raise RefusedError(f"there is no folder {target.parent}; make it first, or name another")
    if stands(target):
        refuse_read_only(target)


def refuse_read_only(path: Path) -> None:
    """Looks whether a file that is to be replaced may be written to, as far as it says itself.

    A file can be replaced by whoever may write to its folder, so that the system would let it go.
    Raises RefusedError.
    """
    if not (os.access(path, os.W_OK) and path.stat().st_mode & _MAY_WRITE):
        raise RefusedError(
            f"{path.name} is read-only, so it was left as it is; allow writing to it, or move it"
            " away. Nothing was written"
        )


def refuse_other(path: Path, target: Path) -> None:
    """Refuse to give a file the name of another.

    Raises RefusedError where another file bears it.
    """
    if path != target and target.exists() and not target.samefile(path):
        raise RefusedError(
            f"{path.name} should be called {target.name}, as the shop is, but there is another file"
            " of that name; move one of them away. Nothing was written"
        )


def rename(path: Path, target: Path) -> None:
    """Give a file another name.

    Raises RefusedError where another file bears it, or where it is held open.
    """
    refuse_other(path, target)
    if path == target:
        return
    try:
        path.rename(target)
    except OSError as error:
        raise RefusedError(
            f"{path.name} cannot be called {target.name}: {error.strerror or error}"
        ) from None


def write_new(target: Path, data: bytes) -> None:
    """Put a new file in place, unless one has come there meanwhile.

    Raises RefusedError.
    """
    with _beside(target, data) as written:
        try:
            os.link(written, target)
        except FileExistsError:
            raise RefusedError(f"there is a file {target} already; nothing was written") from None
        except OSError:  # a file system without links
            written.replace(target)


def move_over(written: Path, target: Path) -> None:
    """Put a file that is written already in place of another; a link stays one.

    Raises RefusedError.
    """
    place = target.resolve()
    written.chmod(_mode(place))
    try:
        written.replace(place)
    except OSError:  # a link may lead to another disk
        replace_bytes(place, written.read_bytes())
        written.unlink()


def write_through(path: Path, data: bytes) -> None:
    """Write a file that is on the disk afterwards, and in no cache only."""
    with path.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def replace_bytes(target: Path, data: bytes) -> None:
    """Put a file in place, whole; a link to a file elsewhere stays one."""
    place = target.resolve()
    with _beside(place, data, _mode(place)) as written:
        written.replace(place)


def replace_old(target: Path, old: bytes, data: bytes, now: datetime) -> Path:
    """Put a file in the place of one that was read as `old`; return the copy of the old one.

    Where the target is a link, the file that it leads to is replaced; copies stay beside the link.
    Raises RefusedError where the old one was changed since it was read.
    """
    refuse_read_only(target)
    place = target.resolve()
    for folder in {target.parent, target.parent / BACKUPS, place.parent}:
        _clear_leftovers(folder, now)
    with _beside(place, data, _mode(place)) as written:
        copy = back_up(target, old, target.parent, now)
        if place.read_bytes() != old:
            raise RefusedError(f"{target.name} was saved while it was read; compile again")
        try:
            written.replace(place)
        except PermissionError:
            raise RefusedError(
                f"{target.name} is open in a spreadsheet program; close it, and compile again"
            ) from None
    return copy


def back_up(target: Path, old: bytes, shop: Path, now: datetime) -> Path:
    """Keep a dated copy of a file of a shop, and of all such copies the newest ones.

    Raises RefusedError where there is no room for it, or no right to write there.
    """
    folder = shop / BACKUPS
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise RefusedError(f"{folder} cannot be made: {error.strerror or error}") from None
    before, today = _copies(target, folder), f"{now:{_STAMP}}"
    number = max((n for stamp, n in before if stamp == today), default=0) + 1
    copy = folder / f"{target.stem} {today}{'' if number == 1 else f'-{number}'}{target.suffix}"
    with _beside(copy, old, _mode(target)) as written:
        written.replace(copy)
    # those dated later than now come of a wrong clock; else each new copy would be the oldest
    oldest_first = sorted(before, key=lambda made: (made[0] <= today, made))
    for made in oldest_first[: max(len(before) + 1 - KEPT, 0)]:
        before[made].unlink(missing_ok=True)
    return copy


def _copies(target: Path, folder: Path) -> dict[tuple[str, int], Path]:
    """List the copies that compiles made of a file, and no one else's, in order of time."""
    stem, suffix = re.escape(target.stem), re.escape(target.suffix)
    ours = re.compile(rf"{stem} (\d{{4}}-\d\d-\d\d \d{{6}})(?:-(\d+))?{suffix}")
    named = ((ours.fullmatch(path.name), path) for path in folder.iterdir())
    return {(name[1], int(name[2] or 1)): path for name, path in named if name is not None}


def _clear_leftovers(folder: Path, now: datetime) -> None:
    """Remove files of compiles that were killed while they wrote."""
    for path in folder.glob(f"{BESIDE}*"):
        if path.is_file() and now.timestamp() - path.stat().st_mtime > _AN_HOUR:
            path.unlink(missing_ok=True)


def _mode(path: Path) -> int:
    """Who may read and write a file: as it is, or as a new one's."""
    return stat.S_IMODE(path.stat().st_mode) if path.exists() else _NEW_MODE


@contextmanager
def new_folder(folder: Path) -> Iterator[Path]:
    """Give a folder to fill, which then is put in place whole, by one rename.

    Raises RefusedError where something stands there, or where it cannot be made.
    """
    if folder.is_symlink() and not folder.exists():
        raise RefusedError(f"{folder} is a link to nothing; name a new folder")
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise RefusedError(f"{folder} already exists and is not empty; give another name")
    place = folder.resolve()
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=BESIDE, dir=place.parent) as beside:
            made = Path(beside) / place.name
            made.mkdir()
            yield made
            if place.exists():
                place.rmdir()  # an empty one, which some systems put nothing in place of
            made.rename(place)
    except OSError as error:
        raise RefusedError(f"{folder} cannot be made: {error.strerror or error}") from None


@contextmanager
def _beside(target: Path, data: bytes, mode: int = _NEW_MODE) -> Iterator[Path]:
    """Write a complete file beside its target, on the disk before anything is moved.

    Raises RefusedError where there is no room for it, or no right to write there.
    """
    written: Path | None = None
    try:
        try:
            handle, name = tempfile.mkstemp(prefix=BESIDE, suffix=target.suffix, dir=target.parent)
            written = Path(name)
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            written.chmod(mode)
        except OSError as error:
            raise RefusedError(f"{target} cannot be written: {error.strerror or error}") from None
        yield written
    finally:
        if written is not None:
            written.unlink(missing_ok=True)
