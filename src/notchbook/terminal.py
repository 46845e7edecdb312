"""What the commands share at a terminal: options, refusals, and how things are told."""

from __future__ import annotations

import errno
import io
import json
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from notchbook.base.sentences import MOST, fitted

if TYPE_CHECKING:
    from notchbook.definitions import Definitions

FOLDER = click.Path(path_type=Path)


class DayType(click.ParamType[date]):
    """A date as YYYY-MM-DD."""

    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """The date, or a usage error."""
        if isinstance(value, date):
            return value
        try:
            return datetime.strptime(value, "%Y-%m-%d").date()  # a day has no zone
        except ValueError:
            self.fail(f"{value!r} is no date; write it as 2026-03-14", param, ctx)


DAY = DayType()
as_of_option = click.option(
    "--as-of",
    type=DAY,
    default=None,
    help="Count the age of prices from this day (else as of on Settings, or today).",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON.")
full_option = click.option("--full", is_flag=True, help="Tell all, however long it is.")


def shape_option(
    flag: str, name: str, says: str
) -> Callable[[click.decorators.FC], click.decorators.FC]:
    """A flag for one of the shapes that an answer has; a command is given those asked for."""
    return click.option(flag, "shapes", flag_value=name, multiple=True, help=says)


class CommandGroup(click.Group):
    """The commands; letters that a terminal cannot show, and one that takes no more, are no fault.

    A reader that closes the pipe early is left to click.
    """

    def invoke(self, ctx: click.Context) -> Any:
        """Runs a command."""
        for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
            if getattr(sys, name) is None:  # closed by whoever started this
                setattr(sys, name, os.fdopen(os.open(os.devnull, os.O_RDWR), mode))
        for stream in (sys.stdout, sys.stderr):
            if isinstance(stream, io.TextIOWrapper):
                stream.reconfigure(errors="replace")
        try:
            return super().invoke(ctx)
        except OSError as error:
            if error.errno == errno.EPIPE:
                raise
            stop([f"{error.filename or 'the output'}: {error.strerror or error}"])


@contextmanager
def refusals() -> Iterator[None]:
    """Mistakes of the maker are told on stderr, one line each, and end with exit code 2."""
    from notchbook.base.problems import DefinitionError
    from notchbook.base.refusals import RefusedError

    try:
        yield
    except DefinitionError as error:
        stop(str(problem) for problem in error.problems)
    except RefusedError as error:
        stop([str(error)])


def tell(kind: str, what: object) -> None:
    """One line on stderr, of what to look at or to know."""
    click.echo(fitted(f"{kind}: {what}", sys.stderr), err=True)


def tell_all(kind: str, lines: Iterable[object]) -> None:
    """A line on stderr for each."""
    for line in lines:
        tell(kind, line)


def tell_first(kind: str, lines: Iterable[object], full: bool) -> None:
    """A line on stderr for each, of the first ones where not all are asked for."""
    every = list(lines)
    shown = every if full else every[:MOST]
    tell_all(kind, shown)
    if len(every) > len(shown):
        tell(kind, f"and {len(every) - len(shown)} more; --full tells all of them")


def print_json(found: object) -> None:
    """JSON on stdout, letters of all languages as they are."""
    click.echo(json.dumps(found, indent=1, ensure_ascii=False))


def answer(as_json: bool, found: object, text: Callable[[], str]) -> None:
    """What was asked for on stdout, as JSON or in words."""
    if as_json:
        print_json(found)
    else:
        click.echo(text())


def tell_if_open(found: Definitions) -> None:
    """What is typed into an open workbook and not saved is in no answer."""
    if found.workbook is None:
        return
    from notchbook.workbook.read.safety import lock_file

    if lock_file(found.workbook) is not None:
        tell(
            "notice",
            f"{found.workbook.name} is open in a spreadsheet program; what is not saved there is"
            " not in this",
        )


def tell_rows(found: Definitions) -> int:
    """Name the rows with faults that count all the same; give the exit code."""
    tell_all("look", found.look)
    tell_all("notice", found.notices)
    return 1 if found.look else 0


def check_line(check: Mapping[str, object]) -> str:
    """A check that does not hold: by how much, and up to three rows that it counts."""
    named = f" ({check['named']})" if check["named"] else ""
    by = "off by " if " = " in str(check["check"]) else ""
    return f"{check['check']}: {by}{check['difference']:,.12g}{named}"


def stop(messages: Iterable[str]) -> NoReturn:
    """Tell what is wrong and leave."""
    for message in messages:
        click.echo(fitted(message, sys.stderr), err=True)
    sys.exit(2)


def agreed(question: str) -> bool:
    """What the maker answers; where nobody can, the command ends."""
    try:
        return click.confirm(question)
    except click.Abort:
        click.echo()  # the question is left standing without an answer
        stop(["nothing was written; answer y or n at a terminal, or add --yes"])
