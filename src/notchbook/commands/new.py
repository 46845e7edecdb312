"""Starter shops that `notchbook new` copies."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from notchbook.base.problems import nearest
from notchbook.base.refusals import RefusedError


def starters_folder() -> Path:
    """Where the starters are: inside the installed package, or beside the sources."""
    inside = Path(__file__).parents[1] / "templates"
    return inside if inside.is_dir() else Path(__file__).parents[3] / "templates"


def starters() -> list[str]:
    """The names of all starters."""
    return sorted(
        each.name for each in starters_folder().iterdir() if (each / "shop.yaml").is_file()
    )


def default_starter() -> str:
    """The starter taken where none is named."""
    return "small-goods-inch"


def copy_starter(name: str, folder: Path) -> Iterator[str]:
    """Copy a starter to a new folder; gives the files made.

    Raises RefusedError for an unknown starter or a folder that holds something.
    """
    if name not in starters():
        raise RefusedError(
            f"there is no starter {name!r}{nearest(name, starters())}; there are "
            + ", ".join(starters())
        )
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise RefusedError(f"{folder} is there already and not empty; name a new folder")
    source = starters_folder() / name
    for file in sorted(path for path in source.rglob("*") if path.is_file()):
        target = folder / file.relative_to(source)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(file.read_bytes())
        yield str(target)
