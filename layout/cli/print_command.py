"""``layout print``."""

from __future__ import annotations

from pathlib import Path

import click

from layout.cli.options import (
    end_progress,
    out_option,
    paper_option,
    project_argument,
    scale_number,
    scale_option,
    tell_progress,
    told_written,
)


@click.command("print")
@project_argument
@out_option("the drawings", required=True)
@paper_option
@scale_option
@click.option("--state", help="Draw this state only.")
@click.pass_context
def command(context: click.Context, project: str, out: str, paper: str, scale: str | None, state: str | None) -> None:
    r"""Draw the floor plan, both side elevations and the rear elevation of PROJECT, as SVG and PDF.

    Print at 100 %, without fitting to the page, and measure the check length. Exit code 1 when a finding
    fails; the drawings show it.

    \b
    Example: layout print my-van.yaml -o drawings --paper A3 --scale 1:20
    """
    from layout.export.write import write_files
    from layout.jobs.draw import Paper, drawing_files, drawings
    from layout.jobs.load import load

    plan = load(project, tell_progress)
    end_progress()
    sheets = drawings(plan, Paper(name=paper, scale=scale_number(scale)), state, tell_progress)
    end_progress()
    files = drawing_files(sheets, plan.project.said.title)
    write_files(Path(out), files)
    told_written(tuple(files), out)
    context.exit(1 if plan.fails else 0)
