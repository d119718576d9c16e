"""``layout check``."""

from __future__ import annotations

import click

from layout.cli.options import json_option, project_argument, show_json


@click.command("check")
@project_argument
@json_option
@click.pass_context
def command(context: click.Context, project: str, as_json: bool) -> None:
    r"""Say what fits in PROJECT, what does not and by how much, and the smallest change that helps.

    PROJECT is a YAML file; - reads standard input. Exit code 1 when a finding fails.

    \b
    Example: layout check my-van.yaml
    """
    from layout.jobs import check
    from layout.jobs.load import load

    plan = load(project)
    if as_json:
        show_json(check.as_json(plan))
    else:
        click.echo(check.report(plan), nl=False)
    context.exit(1 if plan.fails else 0)
