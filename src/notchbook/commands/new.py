"""Starter shops that `notchbook new` copies."""

from __future__ import annotations

from pathlib import Path

from notchbook.base.problems import nearest
from notchbook.base.refusals import RefusedError
from notchbook.base.replace_file import new_folder


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


def copy_starter(name: str, folder: Path) -> list[str]:
    """Copy a starter to a new folder, whole; gives the files made.

    Raises RefusedError for an unknown starter or a folder that holds something.
    """
    if name not in starters():
        raise RefusedError(
            f"there is no starter {name!r}{nearest(name, starters())}; there are "
            + ", ".join(starters())
        )
    source = starters_folder() / name
    files = sorted(path.relative_to(source) for path in source.rglob("*") if path.is_file())
    with new_folder(folder) as made:
        for file in files:
            (made / file).parent.mkdir(parents=True, exist_ok=True)
            (made / file).write_bytes((source / file).read_bytes())
    return [str(folder / file) for file in files]
