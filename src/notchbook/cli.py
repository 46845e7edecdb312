"""The command line: thin, and with heavy imports inside the commands."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from notchbook import cli_writing
from notchbook.base.progress import watched
from notchbook.base.sentences import counted, fitted
from notchbook.base.version import VERSION
from notchbook.terminal import (
    DAY,
    FOLDER,
    CommandGroup,
    answer,
    as_of_option,
    check_line,
    full_option,
    json_option,
    refusals,
    stop,
    tell_all,
    tell_first,
    tell_if_open,
    tell_rows,
)

if TYPE_CHECKING:
    from notchbook.commands.cuts_asked import CutsAsked

MOST_UNITS = 10_000
MOST_HOURS, MOST_MONEY = 10_000, 1e9


@click.group(cls=CommandGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(VERSION)
def main() -> None:
    """Turn a small wood shop's text files into a spreadsheet with live formulas.

    SHOP is the folder of a shop. Save and close its workbook before any of these.
    """


@main.command()
@click.argument("folder", type=FOLDER)
@click.option(
    "--from", "starter", default=None, help="The starter to copy: small-goods-inch, small-goods-mm."
)
def new(folder: Path, starter: str | None) -> None:
    """Make a starter shop in FOLDER, ready to compile."""
    from notchbook.commands.new import copy_starter, default_starter

    with refusals():
        chosen = starter or default_starter()
        for name in copy_starter(chosen, folder):
            click.echo(f"  {name}")
        click.echo(f"Made {folder} from {chosen}. Next: notchbook compile {folder}")


@main.command()
@click.argument("shop", type=FOLDER)
@as_of_option
def check(shop: Path, as_of: date | None) -> None:
    """Look for mistakes in SHOP's definition files and workbook."""
    from notchbook.shop.pipeline import check as check_shop

    with refusals():
        found = check_shop(shop, as_of)
        what = "nothing to refuse" if found.look else "no mistakes"
        click.echo(f"{shop}: {what} in {counted(len(found.projects), 'project')}.")
    tell_if_open(found)
    sys.exit(tell_rows(found))


@main.command()
@click.argument("shop", type=FOLDER)
@click.option(
    "--output", type=FOLDER, default=None, help="Write to this workbook instead of the shop's own."
)
@click.option(
    "--accept-loss",
    is_flag=True,
    help="Go on without your charts, pictures, macros; the old file stays in backups.",
)
@as_of_option
@full_option
@json_option
def compile(
    shop: Path,
    output: Path | None,
    accept_loss: bool,
    as_of: date | None,
    full: bool,
    as_json: bool,
) -> None:
    """Plan the cuts of SHOP and write its workbook.

    All that was typed into the last one is kept.
    """
    from notchbook.commands.compile import compile_shop
    from notchbook.commands.compile_report import report_text

    with refusals():
        report = compile_shop(shop, output, as_of, accept_loss, watched)
    answer(as_json, report.as_json(), lambda: fitted(report_text(report, full), sys.stdout))
    off = (check_line(each) for each in report.checks if not each["ok"])
    tell_first("look", [*report.look, *off], full)
    tell_first("notice", report.notices, full)
    sys.exit(1 if report.needs_a_look else 0)


@main.command()
@click.argument("shop", type=FOLDER)
@click.argument("project", required=False)
@as_of_option
@json_option
def prices(shop: Path, project: str | None, as_of: date | None, as_json: bool) -> None:
    """Show what a unit costs and what it brings, tier by tier."""
    from notchbook.commands.prices import build_price_list, format_price_list
    from notchbook.shop.pipeline import list_shortages, price

    with refusals():
        priced = price(shop, as_of, watched)
        found = build_price_list(priced, project)
    answer(as_json, found, lambda: format_price_list(found, priced.definitions.settings))
    tell_if_open(priced.definitions)
    tell_all("look", list_shortages(priced))
    sys.exit(tell_rows(priced.definitions) or int(bool(list_shortages(priced))))


@main.command()
@click.argument("shop", type=FOLDER)
@as_of_option
@json_option
def ideas(shop: Path, as_of: date | None, as_json: bool) -> None:
    """Tell which ideas are worth a closer look, the best first."""
    from notchbook.commands.ideas import build_ideas, format_ideas
    from notchbook.shop.pipeline import price

    with refusals():
        priced = price(shop, as_of, watched)
        found = build_ideas(priced)
    answer(as_json, found, lambda: format_ideas(found, priced.definitions.settings.currency))
    tell_if_open(priced.definitions)
    sys.exit(tell_rows(priced.definitions))


@main.command("year-end")
@click.argument("shop", type=FOLDER)
@as_of_option
@full_option
@json_option
def year_end(shop: Path, as_of: date | None, full: bool, as_json: bool) -> None:
    """Sum up SHOP's year by the lines of the tax form.

    Also shows what to set aside, what each project earned, and which checks fail.
    """
    from notchbook.commands.year_end import format_summary, read_books, summarize

    with refusals():
        books = read_books(shop, as_of)
    found = summarize(books.priced)
    answer(as_json, found, lambda: format_summary(books.priced, full))
    tell_if_open(books.priced.definitions)
    off = [check_line(each) for each in found["checks"] if not each["ok"]]
    tell_first("look", [*books.look, *off], full)
    tell_first("notice", books.notices, full)
    sys.exit(1 if off or books.look else 0)


@main.command()
@click.argument("shop", type=FOLDER)
@click.argument("projects", nargs=-1, metavar="[PROJECT[=UNITS]]...")
@click.option(
    "--units",
    type=click.IntRange(1, MOST_UNITS),
    default=None,
    help="How many units (the batch size if left out).",
)
@click.option("--all", "every", flag_value="all", help="One plan for all projects together.")
@click.option("--next", "every", flag_value="next", help="One plan for what Next batches says.")
@click.option("--boards", type=click.IntRange(1, MOST_UNITS), help="The most from so many boards.")
@click.option("--stock", help="With --boards: of this stock (the one that costs it most).")
@click.option("--part", help="With --boards: pieces of this part alone.")
@click.option("--keep", is_flag=True, help="It was cut: put what it leaves on the sheet Offcuts.")
@click.option("--withdraw", is_flag=True, help="It was not cut after all: take back what was kept.")
@click.option("--run", help="With --keep (pieces and day if left out) or --withdraw: the run.")
@click.option("--drawn", is_flag=True, help="All of it: boards drawn, each step, cautions.")
@json_option
def cuts(shop: Path, projects: tuple[str, ...], **options: Any) -> None:
    """Show what to buy, how boards are cut, the saw's settings.

    Every project if none is named; several in one plan; with --boards, how many come out of so
    many.
    """
    from notchbook.commands.cuts import parse_wanted
    from notchbook.commands.cuts_asked import CutsAsked
    from notchbook.commands.cuts_text import format_cuts

    with refusals():
        asked = CutsAsked(parse_wanted(projects, MOST_UNITS), **options)
    if wrong := asked.list_contradictions():
        stop(wrong)
    if asked.keep:
        _keep(shop, asked)
    if asked.withdraw:
        _withdraw(shop, asked.run)
    with refusals():
        found = asked.find(shop, watched)
    plans = found.as_json() if asked.as_json else []
    one = plans[0] if plans and asked.is_one_plan else plans
    answer(asked.as_json, one, lambda: format_cuts(found, asked.drawn))
    tell_if_open(found.definitions)
    tell_all("look", found.list_shortages())
    sys.exit(1 if found.list_shortages() else 0)


def _keep(shop: Path, asked: CutsAsked) -> NoReturn:
    """Keep the offcuts of a plan that was cut, tell of it and leave."""
    from notchbook.commands.cut_and_keep import cut_and_keep

    with refusals():
        report, kept = cut_and_keep(shop, asked.plan, asked.run, watched)
    logged = "Write the run on Production log when it is made: it takes what was cut here."
    for line in (*kept.list_lines(), logged, f"Wrote {report.workbook}"):
        click.echo(fitted(line, sys.stdout))
    tell_first("look", report.look, full=False)
    sys.exit(1 if report.look else 0)


def _withdraw(shop: Path, run: str | None) -> NoReturn:
    """Take back a cut that was kept, tell of it and leave."""
    from notchbook.commands.withdrawing import withdraw

    with refusals():
        report, withdrawn = withdraw(shop, run, watched)
    for line in (*withdrawn.list_lines(), f"Wrote {report.workbook}"):
        click.echo(fitted(line, sys.stdout))
    tell_first("look", report.look, full=False)
    sys.exit(1 if report.look else 0)


@main.command("next")
@click.argument("shop", type=FOLDER)
@click.option("--hours", type=click.FloatRange(0, MOST_HOURS), help="The hours there are.")
@click.option("--money", type=click.FloatRange(0, MOST_MONEY), help="The money there is.")
@click.option("--until", type=DAY, help="The day by which all is to be sold.")
@as_of_option
@json_option
def next_batches(
    shop: Path,
    hours: float | None,
    money: float | None,
    until: date | None,
    as_of: date | None,
    as_json: bool,
) -> None:
    """Tell what to make next, and what to buy for it.

    With the hours, the money and the day typed on Next batches, or those given here.
    """
    from notchbook.commands.next_batches import build_next, find_next, format_next

    with refusals():
        found = find_next(shop, {"hours": hours, "money": money, "until": until}, as_of, watched)
    answer(as_json, build_next(found), lambda: format_next(found))
    tell_if_open(found.priced.definitions)
    sys.exit(tell_rows(found.priced.definitions))


@main.command()
@click.argument("words", nargs=-1, metavar="[WORD]...")
def reference(words: tuple[str, ...]) -> None:
    """Print every key, caution and column, or those about a WORD."""
    from notchbook.commands.reference import reference_of, reference_text

    with refusals():
        click.echo(reference_of(" ".join(words)) if words else reference_text())


for command in cli_writing.COMMANDS:
    main.add_command(command)


if __name__ == "__main__":
    main(prog_name="notchbook")
