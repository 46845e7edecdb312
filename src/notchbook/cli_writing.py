"""The commands that write files of their own: drafts, edits, years, ledgers, copies, pages."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

import click

from notchbook.base.progress import watched
from notchbook.base.sentences import counted, fitted
from notchbook.terminal import (
    FOLDER,
    agreed,
    as_of_option,
    refusals,
    shape_option,
    stop,
    tell,
    tell_all,
    tell_if_open,
)

MOST_BATCH = 1_000


@click.command()
@click.argument("shop", type=FOLDER)
@click.argument("idea")
@click.option("--yes", is_flag=True, help="Write without asking.")
@as_of_option
def draft(shop: Path, idea: str, yes: bool, as_of: date | None) -> None:
    """Write an IDEA of SHOP as the file of a project.

    Every guess is marked; the file is shown first.
    """
    from notchbook.commands.drafting import draft_file

    with refusals():
        found = draft_file(shop, idea, as_of)
        click.echo(f"{found.name}:\n\n{found.text}")
        for what in found.left_out:
            tell("notice", f"left out: {what}")
        if yes or agreed(f"Write {found.name}?"):
            click.echo(found.write())
            click.echo("Mend there what is marked as a guess, then compile.")


@click.command()
@click.argument("shop", type=FOLDER)
@click.option("--yes", is_flag=True, help="Write without asking.")
def adopt(shop: Path, yes: bool) -> None:
    """Write the workbook's edits into SHOP's definition files."""
    from notchbook.commands.adopting import adoption, finish

    with refusals():
        if finished := finish(shop):
            click.echo(f"Finished what was broken off.\n{finished}")
        found = adoption(shop)
        files = list(found.changed())
        alike = (
            "No file changes."
            if found.left
            else "Files and workbook already agree; nothing to adopt."
        )
        click.echo(found.diff() if files else alike)
        tell_all("notice", found.moved)
        tell_all("look", found.left)
        if files and (yes or agreed(f"Write {counted(len(files), 'file')}?")):
            click.echo(found.write())
    sys.exit(1 if found.left else 0)


@click.command("next-year")
@click.argument("shop", type=FOLDER)
@click.option(
    "--output", type=FOLDER, default=None, help="The new folder (beside the old one if left out)."
)
def next_year(shop: Path, output: Path | None) -> None:
    """Begin SHOP's next year in a new folder.

    Prices, stock and tools are carried; ledgers are empty.
    """
    from notchbook.commands.next_year import roll_forward

    with refusals():
        found = roll_forward(shop, output)
        for name in found.write():
            click.echo(f"  {name}")
        click.echo(f"Made {found.folder} for {found.year}. Next: notchbook compile {found.folder}")
    for what in found.stays:
        tell("notice", f"{what}: it stays in the workbook of {found.year - 1}")
    tell_all("notice", found.notices)
    tell_all("look", found.look)
    sys.exit(1 if found.look else 0)


@click.command()
@click.argument("shop", type=FOLDER)
@click.option("--output", type=FOLDER, required=True, help="The folder to make.")
def ledgers(shop: Path, output: Path) -> None:
    """Write SHOP's ledgers as CSV files.

    A new shop reads these as they are; the year's slips stand by the lines of the form beside them.
    """
    from notchbook.commands.ledgers import export_ledgers

    with refusals():
        found = export_ledgers(shop)
        for name in found.write(output):
            click.echo(f"  {name}")
        click.echo(f"Wrote {counted(len(found.files), 'file')} into {output}.")
    tell_all("notice", found.notices)
    tell_all("look", found.look)
    sys.exit(1 if found.look else 0)


@click.command("hand-over")
@click.argument("shop", type=FOLDER)
@click.argument("projects", metavar="PROJECT...", nargs=-1, required=True)
@click.option("--output", type=FOLDER, required=True, help="The copy to write, an .xlsx file.")
@shape_option("--prices-only", "PRICES", "A price list, without any cost.")
@click.option("--tier", "tiers", multiple=True, help="With --prices-only: this tier alone.")
@click.option("--channel", "channels", multiple=True, help="With --prices-only: its tiers alone.")
@shape_option("--frozen", "FROZEN", "Values only, no formulas.")
@shape_option("--no-money", "PLANS", "Plans to give away: no cost and no price.")
@as_of_option
def hand_over(
    shop: Path,
    projects: tuple[str, ...],
    output: Path,
    shapes: tuple[str, ...],
    tiers: tuple[str, ...],
    channels: tuple[str, ...],
    as_of: date | None,
) -> None:
    """Write a priced copy of some projects for a partner.

    Nothing else of SHOP is in it.
    """
    from notchbook.commands.hand_over import Contents, write
    from notchbook.commands.hand_over import hand_over as copy_for_partner
    from notchbook.commands.hand_over_text import statement

    if len(set(shapes)) > 1:
        stop(["--prices-only, --frozen and --no-money exclude one another; choose one of them"])
    if (tiers or channels) and "PRICES" not in shapes:
        stop(["--tier and --channel choose the prices of a price list; write --prices-only, too"])
    contents = Contents[next(iter(shapes), "LIVE")]
    with refusals():
        found = copy_for_partner(shop, projects, output, as_of, contents, watched, tiers, channels)
        data = found.file()
        click.echo(statement(found))
        tell_if_open(found.priced.definitions)
        tell_all("look", found.look)
        tell_all("notice", found.notices)
        write(data, output)
        click.echo(f"\nWrote {output}")
    sys.exit(1 if found.look else 0)


@click.command("print")
@click.argument("shop", type=FOLDER)
@click.argument("projects", metavar="[PROJECT[=UNITS]]...", nargs=-1)
@click.option("--next", "of_next", is_flag=True, help="For the numbers on Next batches.")
@click.option("--output", type=FOLDER, required=True, help="The pages to write, an .xlsx file.")
@as_of_option
def print_pages(
    shop: Path, projects: tuple[str, ...], of_next: bool, output: Path, as_of: date | None
) -> None:
    """Write pages for paper, ready to print.

    What to buy, shop sheets, labels and prices, for the projects named or for all, at their batch
    sizes or for so many units; values only.
    """
    from notchbook.commands.cuts import parse_wanted
    from notchbook.commands.print_pages import make_pages

    if of_next and projects:
        stop(["--next prints the numbers on Next batches; leave out the projects"])
    with refusals():
        wanted = None if of_next else parse_wanted(projects, MOST_BATCH)
        found = make_pages(shop, wanted, output, as_of, watched)
        found.write(output)
        tell_if_open(found.priced.definitions)
        click.echo(fitted("\n".join(found.list_contents()), sys.stdout))
        click.echo(f"\nWrote {output}")
    tell_all("look", found.look)
    sys.exit(1 if found.look else 0)


COMMANDS = (draft, adopt, next_year, ledgers, hand_over, print_pages)
