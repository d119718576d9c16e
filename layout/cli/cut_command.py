"""``layout cut``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, get_args

import click

from layout.cli.options import anyway_option, json_option, out_option, paper_option, show_json, told_written
from layout.units.length import Unit

if TYPE_CHECKING:
    from layout.model.cutting import CutPlan


@click.command("cut")
@click.argument("project", metavar="[PROJECT]", required=False)
@click.option("--parts", metavar="CSV", help="A table of parts: name, count, length, width, material, grain.")
@click.option("--sheets", metavar="CSV", help="A table of sheets: name, material, length, width, price, count.")
@click.option(
    "--units", type=click.Choice(get_args(Unit)), default="mm", show_default=True, help="Units of the tables."
)
@click.option("--kerf", default="3 mm", show_default=True, help="What the blade takes, with --parts.")
@click.option("--trim", default="0 mm", show_default=True, help="Taken off every sheet edge, with --parts.")
@out_option("the lists and diagrams")
@paper_option
@json_option
@anyway_option
@click.pass_context
def command(context: click.Context, /, **said: str) -> None:
    r"""Cut the panels of PROJECT, or a table of parts without any van, from sheets, edge to edge.

    Prints the sheets to buy; with -o writes cut list, diagrams and tables; with --json every cut.

    \b
    Examples:
      layout cut my-van.yaml -o cutting
      layout cut --parts parts.csv --sheets sheets.csv --kerf 3 --trim 10 -o cutting
    """
    from layout.cutting.as_json import as_json
    from layout.export.write import write_files
    from layout.jobs import cut
    from layout.jobs.draw import Paper, options_for

    plan, units, currency, title = _solved(context, **said)
    if said["out"]:
        files = cut.files(plan, units, currency, options_for(units, title, Paper(name=said["paper"])))
        write_files(Path(said["out"]), files)
        told_written(tuple(files), said["out"])
    if said["as_json"]:
        show_json(as_json(plan))
    else:
        click.echo(cut.summary(plan, currency), nl=False)


def _solved(context: click.Context, /, **said: str) -> tuple[CutPlan, Unit, str, str]:
    """Return the cut plan, its units, currency and title, of a project or of two tables."""
    from layout.jobs import cut
    from layout.jobs.load import load
    from layout.jobs.panels import solve_plan

    if said["project"]:
        if said["parts"] or said["sheets"]:
            raise click.UsageError("give either a PROJECT, or --parts and --sheets")
        plan = load(said["project"])
        if plan.fails and not said["anyway"]:
            click.echo("the plan fails a check, so nothing is cut; run layout check, or say --anyway", err=True)
            context.exit(1)
        workshop = plan.project.said.workshop
        return solve_plan(plan), plan.project.said.units, workshop.currency if workshop else "", plan.project.said.title
    if not (said["parts"] and said["sheets"]):
        raise click.UsageError("give a PROJECT, or both --parts and --sheets")
    units: Unit = said["units"]  # type: ignore[assignment]  # click has checked it
    job = cut.job_from_tables(said["parts"], said["sheets"], units, said["kerf"], said["trim"])
    return cut.solve(job), units, "", "Parts"
