"""``layout cut``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args

import click

from layout.cli.options import (
    anyway_option,
    effort_options,
    end_progress,
    json_option,
    out_option,
    paper_option,
    saw_options,
    show_json,
    tell_progress,
    told_written,
)
from layout.units.length import Unit

if TYPE_CHECKING:
    from layout.jobs.cut_result import Result, Wish


@click.command("cut")
@click.argument("project", metavar="[PROJECT]", required=False)
@click.option("--parts", metavar="CSV", help="Parts: name, count, length, width, material, grain, good_face, edges.")
@click.option(
    "--sheets",
    metavar="CSV",
    multiple=True,
    help="Sheets: name, material, length, width, price, count, thickness, trim_left ..., damage, offcut; "
    "may be given again, for leftovers.",
)
@click.option(
    "--units", type=click.Choice(get_args(Unit)), default="mm", show_default=True, help="Units of tables and options."
)
@saw_options
@effort_options
@click.option("--what-if", is_flag=True, help="Say what the grain, other sheets or smaller parts would change.")
@click.option("--less", default="5 mm", show_default=True, help="How much smaller --what-if may make a part.")
@click.option("--one-sheet", metavar="NAME", help="Only fill one sheet of that name as well as can be.")
@out_option("the lists and diagrams")
@paper_option
@json_option
@anyway_option
@click.pass_context
def command(context: click.Context, /, **said: Any) -> None:
    r"""Cut the panels of PROJECT, or tables of parts and sheets without any van, edge to edge.

    Prints the sheets to buy and whether fewer could do; with -o writes cut list, diagrams and tables; with
    --json every cut. Exit code 1 when the sheets on hand do not hold every part. Rows without a width are
    lengths, cut from bars. A project says its saw and shop under workshop; the options for them go with --parts.

    \b
    Examples:
      layout cut my-van.yaml --what-if -o cutting
      layout cut --parts parts.csv --sheets sheets.csv --kerf 3 --trim 10 -o cutting
      layout cut --parts parts.csv --sheets sheets.csv --sheets cutting/leftovers.csv
    """
    from layout.export.write import write_files

    result = _result(context, said)
    files = result.files(said["paper"]) if said["out"] else {}
    end_progress()
    if files:
        write_files(Path(said["out"]), files)
        told_written(tuple(files), said["out"])
    if said["as_json"]:
        show_json(result.as_json())
    else:
        click.echo(result.shown, nl=False)
    for line in result.missing:
        click.echo(line, err=True)
    context.exit(1 if result.missing else 0)


def _result(context: click.Context, said: dict[str, Any]) -> Result:
    from layout.jobs.cut_words import CutWords

    words = CutWords(**{name: said[name] for name in CutWords.__slots__})
    if said["project"]:
        if said["parts"] or said["sheets"]:
            raise click.UsageError("give either a PROJECT, or --parts and --sheets")
        if words.said():
            raise click.UsageError(f"a project says its saw under workshop; write {', '.join(words.said())} there")
        return _of_project(context, said)
    if not (said["parts"] and said["sheets"]):
        raise click.UsageError("give a PROJECT, or both --parts and --sheets")
    from layout.jobs.cut_result import of_tables
    from layout.jobs.cut_tables import job_from_tables

    wish = _wish(said, said["units"])
    asked = job_from_tables(said["parts"], said["sheets"], said["units"], words)
    return of_tables(asked, said["units"], wish)


def _of_project(context: click.Context, said: dict[str, Any]) -> Result:
    from layout.jobs.cut_result import of_project
    from layout.jobs.load import load

    plan = load(said["project"], tell_progress)
    if plan.fails and not said["anyway"]:
        click.echo("the plan fails a check, so nothing is cut; run layout check, or say --anyway", err=True)
        context.exit(1)
    return of_project(plan, _wish(said, plan.project.said.units))


def _wish(said: dict[str, Any], units: Unit) -> Wish:
    from layout.cutting.effort import Effort
    from layout.jobs.cut_result import Wish
    from layout.jobs.cut_words import size_of

    effort = Effort(seed=said["seed"], level=said["effort"], seconds=said["seconds"], tell=tell_progress)
    less = size_of(said["less"], "--less", units)
    return Wish(effort=effort, less=less if said["what_if"] else None, one_sheet=said["one_sheet"])
