"""notchbook as a program of its own: the script of that name, and `python -m notchbook`."""

from __future__ import annotations

import atexit
import gc

from notchbook.cli import main


def run() -> None:
    """Run one command; its end frees what it made, so nobody looks for garbage before or then."""
    gc.disable()
    atexit.register(gc.freeze)
    main(prog_name="notchbook")


if __name__ == "__main__":
    run()
