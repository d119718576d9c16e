"""``layout new``."""

from __future__ import annotations

import click


@click.command("new")
@click.argument("target", metavar="FILE")
@click.option("--like", default="market-van", show_default=True, help="The example to start from.")
@click.option("--replace", is_flag=True, help="Replace FILE if it exists.")
def command(target: str, like: str, replace: bool) -> None:
    r"""Write FILE, a commented project to change into your own.

    \b
    Example: layout new my-van.yaml --like box-trailer
    """
    from layout.jobs.new import new

    new(target, like, replace=replace)
    click.echo(f"wrote {target}; now change it, and run: layout check {target}", err=True)
    click.echo("for completion in an editor: layout schema > layout.schema.json, in the same folder", err=True)
