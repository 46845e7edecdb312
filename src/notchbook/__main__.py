"""`python -m notchbook` is the command `notchbook`."""

from __future__ import annotations

from notchbook.cli import main

main(prog_name="notchbook")
