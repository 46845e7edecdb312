"""A definition file's text: there, a file, not too long, and UTF-8."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from notchbook.base.problems import Problems, SourceFile
from notchbook.definitions.syntax.shop import LIST_FILES, SHOP_FILE

MOST_BYTES = {".yaml": 1_000_000, ".csv": 20_000_000}
"""A hundred times what a shop writes: a thousand projects in a file, ten years of sales."""
SHOP_FILES = (SHOP_FILE, *LIST_FILES)
PROJECTS = "projects"
PROJECT_SUFFIX = ".yaml"


def definition_files(folder: Path) -> list[Path]:
    """The YAML files of a shop that are read and are there; those of its projects by name."""
    shop = [path for name in SHOP_FILES if (path := folder / name).is_file()]
    projects = folder / PROJECTS
    inside = _shown(projects) if projects.is_dir() else []
    return [*shop, *(path for path in inside if path.suffix == PROJECT_SUFFIX)]


def read_text(source: SourceFile, path: Path) -> str | None:
    """The text of a file; None, with the reason reported, where there is none to read."""
    most = MOST_BYTES[path.suffix]
    try:
        if path.is_dir():
            source.report(1, "this is a folder; put a file of this name in its place")
            return None
        if not path.is_file():
            missing = not path.exists() and not path.is_symlink()
            what = "the file is missing" if missing else "this is no plain file"
            source.report(1, f"{what}; write it, or start from `notchbook new`")
            return None
        if path.stat().st_size > most:
            source.report(1, f"the file is over {most // 1_000_000} MB; write a shorter one")
            return None
        raw = path.read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "it cannot be opened"
        source.report(1, f"the file cannot be read ({reason}); see to its permissions and its disk")
        return None
    return _decoded(source, raw)


def exact_text(path: Path) -> str:
    """The text of a file that was read before, with the line ends that it has."""
    return path.read_bytes().decode("utf-8")


def is_there(path: Path) -> bool:
    """Something has this name, even if it cannot be looked into."""
    try:
        return path.exists() or path.is_symlink()
    except OSError:
        return True


def is_folder(path: Path) -> bool:
    """A folder has this name, and its parent may be looked into."""
    try:
        return path.is_dir()
    except OSError:
        return False


def _decoded(source: SourceFile, raw: bytes) -> str | None:
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        source.report(line, "a character here is not UTF-8; save the file as UTF-8 text")
        return None
    if not text.strip():
        source.report(1, "the file is empty; write its keys, or delete it if it may be left out")
        return None
    return text


def entries(folder: Path, name: str, problems: Problems) -> Iterator[Path]:
    """What lies in a folder of the shop, by name and without hidden files; nothing if not there."""
    place = folder / name
    source = SourceFile(name, problems)
    try:
        if place.is_dir():
            yield from _shown(place)
        elif place.exists():
            source.report(1, "this is a file; make it a folder and put the files into it")
    except OSError as error:
        reason = error.strerror or "it cannot be opened"
        source.report(1, f"the folder cannot be read ({reason}); see to its permissions")


def _shown(folder: Path) -> list[Path]:
    """What lies in a folder, by name, without the hidden files that systems and editors leave."""
    return sorted(each for each in folder.iterdir() if not each.name.startswith("."))
