"""The command line: thin, and with heavy imports inside the commands."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from notchbook.progress import watched
from notchbook.say import counted

if TYPE_CHECKING:
    from collections.abc import Iterator

FOLDER = click.Path(path_type=Path)
MOST_UNITS = 10_000


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
    help="The day from which the age of prices is counted (today if left out).",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON.")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="notchbook")
def main() -> None:
    """Turn a small wood shop's definitions into a workbook with live formulas."""


@main.command()
@click.argument("folder", type=FOLDER)
@click.option("--from", "starter", default=None, help="The starter to copy.")
def new(folder: Path, starter: str | None) -> None:
    """Make a starter shop in FOLDER, ready to compile."""
    from notchbook.starters import copy_starter, default_starter

    with refusals():
        chosen = starter or default_starter()
        for name in copy_starter(chosen, folder):
            click.echo(f"  {name}")
        click.echo(f"Made {folder} from {chosen}. Next: notchbook compile {folder}")


@main.command()
@click.argument("shop", type=FOLDER)
@as_of_option
def check(shop: Path, as_of: date | None) -> None:
    """Look for mistakes in SHOP's definition files."""
    from notchbook.shop import check as check_shop

    with refusals():
        found = check_shop(shop, as_of or date.today())
        click.echo(f"{shop}: no mistakes in {counted(len(found.projects), 'project')}.")


@main.command()
@click.argument("shop", type=FOLDER)
@click.option("--output", type=FOLDER, default=None, help="The workbook to write.")
@as_of_option
@json_option
def compile(shop: Path, output: Path | None, as_of: date | None, as_json: bool) -> None:
    """Plan the cuts of SHOP and write its workbook."""
    from notchbook.shop import compile_shop

    with refusals():
        report = compile_shop(shop, output, as_of or date.today(), watched)
    if as_json:
        click.echo(json.dumps(report.as_json(), indent=1, ensure_ascii=False))
    else:
        click.echo(f"Wrote {report.workbook}")
        ties = sum(1 for each in report.checks if each["ok"])
        click.echo(f"{ties} of {counted(len(report.checks), 'check')} OK")
    for short in report.not_enough:
        click.echo(f"look: {short}", err=True)
    for each in report.checks:
        if not each["ok"]:
            click.echo(f"look: {each['check']}: {each['difference']:g}", err=True)
    for notice in report.notices:
        click.echo(f"notice: {notice}", err=True)
    sys.exit(1 if report.needs_a_look else 0)


@main.command()
@click.argument("shop", type=FOLDER)
@click.argument("project", required=False)
@as_of_option
@json_option
def prices(shop: Path, project: str | None, as_of: date | None, as_json: bool) -> None:
    """Show what a unit costs and what it brings, tier by tier."""
    from notchbook.prices import price_list, price_text
    from notchbook.shop import NOT_READ, not_enough, price, workbook_path

    with refusals():
        priced = price(shop, as_of or date.today(), watched)
        found = price_list(priced, project)
    if workbook_path(priced.definitions).exists():
        click.echo(f"notice: {NOT_READ}", err=True)
    if as_json:
        click.echo(json.dumps(found, indent=1, ensure_ascii=False))
    else:
        click.echo(price_text(found, priced.definitions.settings.currency))
    for short in not_enough(priced):
        click.echo(f"look: {short}", err=True)
    sys.exit(1 if not_enough(priced) else 0)


@main.command("year-end")
@click.argument("shop", type=FOLDER)
@as_of_option
@json_option
def year_end(shop: Path, as_of: date | None, as_json: bool) -> None:
    """Sum up SHOP's year: the lines of the tax form, what they ask for, and the checks."""
    from notchbook.profit_summary import read_books, summary, summary_text
    from notchbook.shop import NOT_READ, notices_of, workbook_path

    with refusals():
        books = read_books(shop, as_of or date.today())
    found = summary(books)
    if as_json:
        click.echo(json.dumps(found, indent=1, ensure_ascii=False))
    else:
        click.echo(summary_text(books))
    off = [each for each in found["checks"] if not each["ok"]]
    for each in off:
        click.echo(f"look: {each['check']}: {each['difference']:g}", err=True)
    told = [NOT_READ] if workbook_path(books.definitions).exists() else []
    for notice in [*told, *notices_of(books)]:
        click.echo(f"notice: {notice}", err=True)
    sys.exit(1 if off else 0)


@main.command()
@click.argument("shop", type=FOLDER)
@click.argument("project", required=False)
@click.option(
    "--units",
    type=click.IntRange(1, MOST_UNITS),
    default=None,
    help="How many units (the batch size if left out).",
)
@click.option("--all", "together", is_flag=True, help="One plan for all projects together.")
@json_option
def cuts(shop: Path, project: str | None, units: int | None, together: bool, as_json: bool) -> None:
    """Show how the boards are cut, step by step; every project if none is named."""
    from notchbook.cut_text import cuts_text
    from notchbook.cuts import cuts as plan_cuts
    from notchbook.cuts import cuts_together
    from notchbook.shop import NOT_READ, workbook_path

    if together and (project is not None or units is not None):
        stop(["--all plans every project at its batch size; leave out the project and --units"])
    with refusals():
        if together:
            found = cuts_together(shop, date.today(), watched)
        else:
            found = plan_cuts(shop, date.today(), project, units, watched)
        told = found.as_json() if as_json else cuts_text(found)
    if workbook_path(found.definitions).exists():
        click.echo(f"notice: {NOT_READ}", err=True)
    if as_json:
        one = told[0] if together or project is not None else told
        click.echo(json.dumps(one, indent=1, ensure_ascii=False))
    else:
        click.echo(told)
    for short in found.not_enough():
        click.echo(f"look: {short}", err=True)
    sys.exit(1 if found.not_enough() else 0)


@main.command()
def reference() -> None:
    """Print every key of the definition files and every column of the workbook."""
    from notchbook.reference import reference_text

    click.echo(reference_text())


@contextmanager
def refusals() -> Iterator[None]:
    """Mistakes of the maker are told on stderr, one line each, and end with exit code 2."""
    from notchbook.definitions.problems import DefinitionError
    from notchbook.refusals import RefusedError

    try:
        yield
    except DefinitionError as error:
        stop(str(problem) for problem in error.problems)
    except RefusedError as error:
        stop([str(error)])
    except OSError as error:
        stop([f"{error.filename or 'a file'}: {error.strerror or error}"])


def stop(messages: Iterable[str]) -> NoReturn:
    """Tell what is wrong and leave."""
    for message in messages:
        click.echo(message, err=True)
    sys.exit(2)
