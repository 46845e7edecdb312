"""New definition files put in place all together, and finished where that was broken off.

All new texts are written into a hidden folder of the shop, which gets its name by one rename. From
then on the change is agreed; each file moves from there to its place, and whoever finds the folder
moves what is left of it.
"""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from notchbook.base.refusals import RefusedError
from notchbook.base.replace_file import BESIDE, move_over, new_folder, write_through

_STAGED = f"{BESIDE}adopt"
_PLAN = "plan.json"


def refuse_unfinished(folder: Path) -> None:
    """Looks whether a change of the files was broken off, since they may contradict each other.

    Raises RefusedError.
    """
    plan = _plan(folder)
    if plan is not None:
        raise RefusedError(
            f"`notchbook adopt` was broken off before all files were in place; run it again to"
            f" finish that. {_kept(plan['copies'])}"
        )


def stage(folder: Path, after: Mapping[str, str | None], copies: Iterable[str]) -> None:
    """Writes down a change of files, by name (None: it goes); `finish` puts them in place.

    Raises RefusedError where there is no room; then no file was changed.
    """
    place = folder / _STAGED
    shutil.rmtree(place, ignore_errors=True)  # what a finished one left
    data = {name: None if text is None else text.encode("utf-8") for name, text in after.items()}
    with new_folder(place) as made:
        for name, new in data.items():
            if new is not None:
                (made / name).parent.mkdir(exist_ok=True)
                write_through(made / name, new)
        sums = {name: [_sum_of(folder / name), _sum(new)] for name, new in data.items()}
        plan = json.dumps({"files": sums, "copies": list(copies)})
        write_through(made / _PLAN, plan.encode("utf-8"))


def finish(folder: Path) -> str:
    """Puts in place what was staged, if anything; gives what was done in words.

    Raises RefusedError, with the way to go on, where a file cannot be put in place.
    """
    plan = _plan(folder)
    if plan is None:
        return ""
    place, files = folder / _STAGED, plan["files"]
    _refuse_edited(folder, files)
    written = [name for name, (_, new) in files.items() if new is not None]
    removed = [name for name, (_, new) in files.items() if new is None]
    try:
        for name in written:
            if (place / name).exists():
                (folder / name).parent.mkdir(exist_ok=True)
                move_over(place / name, folder / name)
        for name in removed:  # what goes is the last to go
            if _sum_of(folder / name) == files[name][0]:
                (folder / name).unlink(missing_ok=True)
        (place / _PLAN).unlink()
    except (OSError, RefusedError) as error:
        raise RefusedError(
            f"not all files could be put in place: {getattr(error, 'strerror', None) or error}."
            f" Mend that, and run `notchbook adopt` again to finish it. {_kept(plan['copies'])}"
        ) from None
    shutil.rmtree(place, ignore_errors=True)
    done = (("Wrote", written), ("Removed", removed))
    said = [f"{word} {', '.join(names)}" for word, names in done if names]
    return "\n".join([*said, _kept(plan["copies"])]).rstrip()


def _refuse_edited(folder: Path, files: Mapping[str, Any]) -> None:
    """A file that the maker changed since the change was broken off is not written over."""
    for name, (old, _) in files.items():
        staged = folder / _STAGED / name
        if staged.exists() and _sum_of(folder / name) != old:
            raise RefusedError(
                f"{name} was changed after `notchbook adopt` was broken off. To keep it as it is"
                f" now, delete {staged}, which holds the text it was to get; then run adopt again"
            )


def _plan(folder: Path) -> Any:
    """The change that was agreed and is not finished."""
    path = folder / _STAGED / _PLAN
    return json.loads(path.read_bytes()) if path.is_file() else None


def _kept(copies: Iterable[str]) -> str:
    names = ", ".join(copies)
    return f"The old files are kept as {names}" if names else ""


def _sum_of(path: Path) -> str | None:
    return _sum(path.read_bytes()) if path.is_file() else None


def _sum(data: bytes | None) -> str | None:
    return None if data is None else hashlib.sha256(data).hexdigest()
