"""``layout catalog``."""

from __future__ import annotations

from pathlib import Path

import click

from layout.cli.options import json_option, show_json


@click.command("catalog")
@click.argument("shelf", required=False)
@json_option
def command(shelf: str | None, as_json: bool) -> None:
    r"""List the catalogue entries, of one SHELF (bins, bicycles, spaces, ...) or of all.

    Your own entries, in catalogs/SHELF.yaml beside where you are, are listed too and come first.

    \b
    Example: layout catalog bins
    """
    from layout.jobs.catalogue import entries, listing

    found = entries(shelf, Path.cwd())
    if as_json:
        show_json(found)
    else:
        click.echo(listing(found), nl=False)
