"""``layout print``."""

from __future__ import annotations

from pathlib import Path
from typing import Any, get_args

import click

from layout.cli.options import (
    end_progress,
    out_option,
    paper_option,
    scale_number,
    scale_option,
    tell_progress,
    told_written,
)
from layout.units.length import Unit


@click.command("print")
@click.argument("project", metavar="[PROJECT]", required=False)
@out_option("the drawings")
@paper_option
@scale_option
@click.option("--state", help="Draw this state only.")
@click.option(
    "--sheet",
    "sheets",
    metavar="NAME",
    multiple=True,
    help="Draw this kind of sheet; may be given again. 'list' tells all.",
)
@click.option(
    "--at", "heights", metavar="HEIGHT", multiple=True, help="The plan cut at this height; may be given again."
)
@click.option("--x", "xs", metavar="LENGTH", multiple=True, help="A section across, so far forward of the cross line.")
@click.option("--y", "ys", metavar="LENGTH", multiple=True, help="A section along, so far left of the centreline.")
@click.option(
    "--toward", type=click.Choice(("front", "rear", "left", "right")), help="Which way to look in those sections."
)
@click.option("--zones", is_flag=True, help="Show in plans what must stay free: doors, lids, room to keep clear.")
@click.option("--blank", metavar="SPACE", help="A blank sheet to measure a van, a trailer or a truck bed; no PROJECT.")
@click.option("--units", type=click.Choice(get_args(Unit)), default="mm", show_default=True, help="Units of --blank.")
@click.pass_context
def command(context: click.Context, /, **said: Any) -> None:
    r"""Draw sheets of PROJECT as SVG and PDF: the floor plan and the elevations, or those named by --sheet.

    Print at 100 %, without fitting to the page, and measure the check length. Exit code 1 when a finding
    fails; the drawings show it.

    \b
    Examples:
      layout print my-van.yaml -o drawings --paper A3 --scale 1:20
      layout print my-van.yaml -o drawings --sheet plan --sheet cutting
      layout print my-van.yaml -o drawings --state sleep --at 500 --x 900 --y 0
      layout print --blank van -o to-measure
    """
    if "list" in said["sheets"]:
        from layout.jobs.sheets import sheet_list

        click.echo(sheet_list(), nl=False)
        return
    if (said["project"] is None) == (said["blank"] is None):
        raise click.UsageError("give either a PROJECT or --blank")
    if said["out"] is None:
        raise click.UsageError("say with -o which folder the drawings go to")
    context.exit(_blank(said) if said["blank"] else _printed(said))


def _blank(said: dict[str, Any]) -> int:
    """Write blank sheets to measure a space by; return the exit code."""
    from layout.jobs.draw import Paper, drawing_files
    from layout.jobs.measure_sheets import blank_measure_sheets
    from layout.jobs.sheets import Made, in_one_count, sheets_called

    drawings = blank_measure_sheets(said["units"], Paper(name=said["paper"]), said["blank"])
    made = in_one_count([Made(sheet=sheets_called(["measure"])[0], drawings=drawings)])
    _write(said["out"], drawing_files(made, "To be measured", "measure"))
    return 0


def _printed(said: dict[str, Any]) -> int:
    """Write the sheets of a project; return 1 where it fails a check."""
    from layout.jobs.asked_cuts import AskedCuts, asked_cuts
    from layout.jobs.draw import VIEWS, Paper, drawing_files
    from layout.jobs.load import load
    from layout.jobs.making import Making
    from layout.jobs.sheets import in_one_count, make_sheets, sheets_called

    asked = AskedCuts(heights=said["heights"], xs=said["xs"], ys=said["ys"], toward=said["toward"])
    wanted = sheets_called(said["sheets"] or (() if asked else VIEWS))
    plan = load(said["project"], tell_progress)
    making = Making(plan=plan, state=said["state"], zones=said["zones"], tell=tell_progress)
    paper = Paper(name=said["paper"], scale=scale_number(said["scale"]))
    made = (*make_sheets(wanted, making, paper), *asked_cuts(making, paper, asked))
    end_progress()
    for sheet in wanted:
        if sheet not in [one.sheet for one in made]:
            why = "" if making.builds else ": the plan fails a check, so nothing is cut or built"
            click.echo(f"nothing to draw on sheet {sheet.name!r}{why}", err=True)
    if made:
        _write(said["out"], drawing_files(in_one_count(made), plan.project.said.title))
    return 1 if plan.fails else 0


def _write(out: str, files: dict[str, bytes]) -> None:
    from layout.export.write import write_files

    write_files(Path(out), files)
    told_written(tuple(files), out)
