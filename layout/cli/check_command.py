"""``layout check``."""

from __future__ import annotations

import click

from layout.cli.options import end_progress, json_option, project_argument, show_json, tell_progress


@click.command("check")
@project_argument
@json_option
@click.option("--at", "height", metavar="HEIGHT", help="Only say what is free at this height above the finished floor.")
@click.option("--from", "low", metavar="X", help="With --at: from here along the space.")
@click.option("--to", "high", metavar="X", help="With --at: to here.")
@click.pass_context
def command(
    context: click.Context, project: str, as_json: bool, height: str | None, low: str | None, high: str | None
) -> None:
    r"""Say what fits in PROJECT, what does not and by how much, and the smallest change that helps.

    PROJECT is a YAML file; - reads standard input. Exit code 1 when a finding fails.

    \b
    Example: layout check my-van.yaml
    Example: layout check my-van.yaml --at 805 --from 60 --to 1360
    """
    from layout.jobs import check, room
    from layout.jobs.load import load

    plan = load(project, tell_progress)
    end_progress()
    if height is None and (low is not None or high is not None):
        raise click.UsageError("--from and --to go with --at HEIGHT")
    if height is not None:
        at = room.RoomWish.read(plan, height, low, high)
        if as_json:
            show_json(room.room_json(plan, at))
        else:
            click.echo(room.room_report(plan, at), nl=False)
        return
    if as_json:
        show_json(check.as_json(plan))
    else:
        click.echo(check.report(plan), nl=False)
    context.exit(1 if plan.fails else 0)
